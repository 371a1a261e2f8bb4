//! Where a value stands in a RON text, so that whatever is wrong with it can be told by line and column.
//!
//! The RON reader gives values without their places. This walker gives the places and reads no
//! values: it follows brackets, strings and comments, never refuses, and on a text that is no RON it
//! gives the nearest place that it understood.

use std::cell::Cell;
use std::fmt;

mod syntax_hint;
mod walk;

use syntax_hint::SyntaxHint;
use walk::{MapEntry, Node, Walker, char_starts};

/// How many characters of a name are shown.
const MOST_OF_A_NAME: usize = 40;

/// How many steps of a way are shown; no value of a sound file lies deeper.
const MOST_STEPS: usize = 8;

/// A place in a text, both counted from 1; columns count characters, not bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// The line.
    pub line: usize,
    /// The column.
    pub col: usize,
}

/// The way from the top of a file to one of its values.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Spot(Vec<PathStep>);

#[derive(Clone, Debug, PartialEq, Eq)]
enum PathStep {
    Name(String),
    Item(usize),
}

impl Spot {
    /// The file's one outermost value.
    pub const fn top() -> Self {
        Self(Vec::new())
    }

    /// The value of a field, or of a map's key, in this one.
    #[must_use]
    pub fn at(&self, name: impl fmt::Display) -> Self {
        self.then(PathStep::Name(name.to_string()))
    }

    /// An entry of this list, counted from 0.
    #[must_use]
    pub fn item(&self, index: usize) -> Self {
        self.then(PathStep::Item(index))
    }

    fn then(&self, step: PathStep) -> Self {
        Self(self.0.iter().cloned().chain([step]).collect())
    }
}

impl fmt::Display for Spot {
    /// As people say it, everything counted from 1: `question 3, option 2`, `award 2, boundary`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut steps = self.0.iter().peekable();
        let mut comma = "";
        let mut shown_steps = 0;
        while let Some(step) = steps.next() {
            if shown_steps == MOST_STEPS {
                return f.write_str(", ..");
            }
            shown_steps += 1;
            let next = steps.peek();
            match (step, next) {
                (PathStep::Name(list), Some(PathStep::Item(index))) => {
                    write!(f, "{comma}{} {}", one_of(list), index + 1)?;
                    steps.next();
                }
                // Sections stand in the rule, and nowhere else.
                (PathStep::Name(rule), Some(PathStep::Name(list)))
                    if rule == "rule" && list == "sections" =>
                {
                    continue;
                }
                (PathStep::Name(list), Some(PathStep::Name(number)))
                    if matches!(list.as_str(), "also_right" | "void" | "notes")
                        && number.parse::<i64>().is_ok() =>
                {
                    write!(f, "{comma}{list}, question {number}")?;
                    steps.next();
                }
                (PathStep::Name(name), _) => write!(f, "{comma}{}", shown(name))?,
                (PathStep::Item(index), _) => write!(f, "{comma}entry {}", index + 1)?,
            }
            comma = ", ";
        }
        Ok(())
    }
}

/// A name as a sentence may show it: its beginning, and nothing that could paint the screen.
fn shown(name: &str) -> String {
    let mut short = String::new();
    for letter in name.chars() {
        let letter: String = letter.escape_debug().collect();
        if short.chars().count() + letter.chars().count() > MOST_OF_A_NAME {
            return short + "..";
        }
        short += &letter;
    }
    short
}

/// What an entry of a list is called.
fn one_of(list: &str) -> String {
    let one = match list {
        "questions" => "question",
        "sections" => "section",
        "awards" => "award",
        "past" => "past year",
        "conditions" => "condition",
        "topics" => "topic",
        "options" => "option",
        "answers" => "answer",
        "checkpoints" => "checkpoint",
        "pupils" => "pupil",
        other => return format!("{}, entry", shown(other)),
    };
    one.to_owned()
}

/// The places of all values of a text.
#[derive(Debug)]
pub struct Places<'a> {
    text: &'a str,
    line_starts: Vec<usize>,
    root: Node,
    /// Whether a bracket or a quotation mark is still open at the end.
    pub unclosed: bool,
    /// The last place asked for, in bytes, and how many characters of its line come before it.
    last: Cell<(usize, usize)>,
}

impl<'a> Places<'a> {
    /// Walks through `text` once.
    pub fn new(text: &'a str) -> Self {
        let line_starts = [0].into_iter();
        let line_starts = line_starts.chain(text.match_indices('\n').map(|(at, _)| at + 1));
        let (root, unclosed) = Walker::root(text);
        Self {
            text,
            line_starts: line_starts.collect(),
            root,
            unclosed,
            last: Cell::new((0, 0)),
        }
    }

    /// The place of a value, or of the nearest one around it when it is not written.
    pub fn place(&self, spot: &Spot) -> Place {
        self.place_at(self.nearest(spot).start)
    }

    /// The place of the character of a string, counted from 0 in what the string means.
    pub fn place_of_char(&self, spot: &Spot, index: usize) -> Place {
        let node = self.nearest(spot);
        let written = self.text.get(node.start..node.end).unwrap_or_default();
        let at = char_starts(written).nth(index).unwrap_or(0);
        self.place_at(node.start + at)
    }

    /// A value as it is written, when it is.
    pub fn written(&self, spot: &Spot) -> Option<&'a str> {
        let node = self.node(spot)?;
        self.text.get(node.start..node.end)
    }

    fn node(&self, spot: &Spot) -> Option<&Node> {
        let mut steps = spot.0.iter();
        steps.try_fold(&self.root, |node, s| step(node, s))
    }

    /// Names that stand twice in one struct or map: the second, and its place.
    pub fn twice(&self) -> Vec<(Spot, Place)> {
        let mut found = Vec::new();
        let mut open = vec![(Spot::top(), &self.root)];
        while let Some((spot, node)) = open.pop() {
            let mut seen = std::collections::BTreeSet::new();
            for (index, entry) in node.entries.iter().enumerate() {
                let here = match &entry.name {
                    Some(name) => spot.at(name),
                    None => spot.item(index),
                };
                if entry.name.as_ref().is_some_and(|name| !seen.insert(name)) {
                    found.push((here.clone(), self.place_at(entry.start)));
                }
                open.push((here, &entry.node));
            }
        }
        found.sort_by_key(|(_, place)| *place);
        found
    }

    /// The place itself, or, where there is only white space or a comment, that of what comes next.
    pub fn past_blanks(&self, place: Place) -> Place {
        self.place_at(Walker::past_blanks(self.text, self.offset(place)))
    }

    /// Whether nothing stands at or after a place.
    pub fn is_end(&self, place: Place) -> bool {
        self.offset(self.past_blanks(place)) >= self.text.len()
    }

    /// Why a text that cannot be read on from a place probably cannot: where, and in a sentence.
    pub fn syntax_hint(&self, place: Place) -> Option<(Place, &'static str)> {
        let (hint, _) = syntax_hint::look(self.text, self.offset(place));
        Some(match hint? {
            SyntaxHint::Unclosed(at) => (
                self.place_at(at),
                "the text that begins here has no closing quotation mark; add one",
            ),
            SyntaxHint::Curly(at) => (
                self.place_at(at),
                "this quotation mark is curly; use straight ones, \", and switch off smart quotes in the editor",
            ),
        })
    }

    /// Where a comma belongs that is missing before a place, in a sentence.
    pub fn missing_comma(&self, place: Place) -> String {
        let at = self.offset(place);
        let (_, before) = syntax_hint::look(self.text, at);
        let line = self.place_at(before.end).line;
        if line < place.line {
            format!("a comma is missing before this; add one at the end of line {line}")
        } else if before.quoted && before.end == at {
            "a comma or a quotation mark is missing before this; add it (inside a text, write a quotation mark as \\\")"
                .to_owned()
        } else {
            "a comma is missing before this; add one".to_owned()
        }
    }

    /// How many values stand in a value, when it is written.
    pub fn count(&self, spot: &Spot) -> Option<usize> {
        Some(self.node(spot)?.entries.len())
    }

    /// The innermost value that a place lies in.
    pub fn around(&self, place: Place) -> Spot {
        let at = self.offset(place);
        let (mut spot, mut node) = (Spot::top(), &self.root);
        let holds = |entry: &(usize, &MapEntry)| (entry.1.start..=entry.1.node.end).contains(&at);
        while let Some((index, entry)) = node.entries.iter().enumerate().rfind(holds) {
            spot = match &entry.name {
                Some(name) => spot.at(name),
                None => spot.item(index),
            };
            node = &entry.node;
        }
        spot
    }

    fn offset(&self, place: Place) -> usize {
        let line = self.line_starts.get(place.line.saturating_sub(1));
        let rest = line.and_then(|start| Some((*start, self.text.get(*start..)?)));
        rest.map_or(0, |(start, rest)| {
            let mut columns = rest.char_indices().skip(place.col.saturating_sub(1));
            start + columns.next().map_or(rest.len(), |(at, _)| at)
        })
    }

    fn nearest(&self, spot: &Spot) -> &Node {
        let mut node = &self.root;
        for next in &spot.0 {
            let Some(inner) = step(node, next) else { break };
            node = inner;
        }
        node
    }

    fn place_at(&self, at: usize) -> Place {
        let line = self.line_starts.partition_point(|start| *start <= at);
        let start = self.line_starts.get(line.saturating_sub(1)).copied();
        let start = start.unwrap_or(0);
        // Places are mostly asked for in order: on a long line the last one saves counting from its start.
        let (known, counted) = self.last.get();
        let (from, counted) = if (start..=at).contains(&known) {
            (known, counted)
        } else {
            (start, 0)
        };
        let between = self.text.get(from..at).unwrap_or_default();
        let counted = counted + between.chars().count();
        self.last.set((at, counted));
        Place {
            line,
            col: counted + 1,
        }
    }
}

fn step<'n>(node: &'n Node, step: &PathStep) -> Option<&'n Node> {
    let entry = match step {
        PathStep::Item(index) => node.entries.get(*index),
        PathStep::Name(name) => node.entries.iter().find(|e| e.name.as_ref() == Some(name)),
    };
    entry.map(|entry| &entry.node)
}
