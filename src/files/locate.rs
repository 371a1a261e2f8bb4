//! Where a value stands in a RON text, so that whatever is wrong with it can be told by line and column.
//!
//! The RON reader gives values without their places. This walker gives the places and reads no
//! values: it follows brackets, strings and comments, never refuses, and on a text that is no RON it
//! gives the nearest place that it understood.

use std::fmt;

mod walk;

use walk::{Entry, Node, Walker, char_starts};

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
pub struct Spot(Vec<Step>);

#[derive(Clone, Debug, PartialEq, Eq)]
enum Step {
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
        self.then(Step::Name(name.to_string()))
    }

    /// An entry of this list, counted from 0.
    #[must_use]
    pub fn item(&self, index: usize) -> Self {
        self.then(Step::Item(index))
    }

    fn then(&self, step: Step) -> Self {
        Self(self.0.iter().cloned().chain([step]).collect())
    }
}

impl fmt::Display for Spot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (depth, step) in self.0.iter().enumerate() {
            match step {
                Step::Name(name) if depth == 0 => write!(f, "{}", name.escape_debug())?,
                Step::Name(name) => write!(f, ".{}", name.escape_debug())?,
                Step::Item(index) => write!(f, "[{index}]")?,
            }
        }
        Ok(())
    }
}

/// The places of all values of a text.
#[derive(Debug)]
pub struct Places<'a> {
    text: &'a str,
    line_starts: Vec<usize>,
    root: Node,
    /// Whether a bracket or a quotation mark is still open at the end.
    pub unclosed: bool,
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
        let node = spot
            .0
            .iter()
            .try_fold(&self.root, |node, s| step(node, s))?;
        self.text.get(node.start..node.end)
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

    /// The innermost value that a place lies in.
    pub fn around(&self, place: Place) -> Spot {
        let at = self.offset(place);
        let (mut spot, mut node) = (Spot::top(), &self.root);
        let holds = |entry: &(usize, &Entry)| (entry.1.start..=entry.1.node.end).contains(&at);
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
        let before = self.text.get(start.unwrap_or(0)..at).unwrap_or_default();
        Place {
            line,
            col: before.chars().count() + 1,
        }
    }
}

fn step<'n>(node: &'n Node, step: &Step) -> Option<&'n Node> {
    let entry = match step {
        Step::Item(index) => node.entries.get(*index),
        Step::Name(name) => node.entries.iter().find(|e| e.name.as_ref() == Some(name)),
    };
    entry.map(|entry| &entry.node)
}
