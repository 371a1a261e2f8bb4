//! What is wrong with a file: each problem with its place, all of them with their file.

use std::fmt;
use std::path::{Path, PathBuf};

use super::locate::{Place, Places, Spot};
use crate::domain::character::{ShownPath as _, on_one_line};
use crate::storage::disk;

/// How many problems of one severity are told of a file; of the others only how many there are.
pub(super) const MOST_PROBLEMS: usize = 100;

/// The most entries of a list in a file; no list that is meant comes near.
pub(super) const MOST_ENTRIES: usize = 500;

/// A sentence has no more characters than this: what it quotes may be a whole file.
const LONGEST_SENTENCE: usize = 600;

/// Of a longer one, how many characters are kept of its beginning; the end has the way out.
const KEPT_BEGINNING: usize = 360;

/// How much a problem matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The file can be used; somebody may want to know.
    Note,
    /// The file cannot be used.
    Wrong,
}

/// One thing that is wrong with a file, or worth knowing about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Where; nothing when it concerns the file as a whole.
    pub place: Option<Place>,
    /// The field as people say it, such as `section 2, first`; empty when there is none.
    pub field: String,
    /// What is wrong.
    pub what: String,
    /// The way out; empty when `what` holds it already.
    pub remedy: String,
    /// How much it matters.
    pub severity: Severity,
    /// Of how many others it only says that there are as many; nothing where it's a problem itself.
    pub others: usize,
}

impl Problem {
    /// A problem of the file as a whole, as one sentence: what is wrong; the way out. What it quotes of the file
    /// begins no line of its own.
    ///
    /// Of a sentence that quotes very much the beginning and the end are kept.
    pub fn whole(sentence: impl fmt::Display) -> Self {
        let sentence = shortened(on_one_line(&sentence.to_string()));
        let (what, remedy) = sentence.split_once("; ").unwrap_or((&sentence, ""));
        Self {
            place: None,
            field: String::new(),
            what: what.to_owned(),
            remedy: remedy.to_owned(),
            severity: Severity::Wrong,
            others: 0,
        }
    }

    /// How many problems it tells of.
    pub const fn count(&self) -> usize {
        if self.others > 0 { self.others } else { 1 }
    }

    /// Where it stands among others: in the order of the file, and behind them what counts the rest.
    pub const fn order(&self) -> (bool, Option<Place>) {
        (self.others > 0, self.place)
    }

    /// The same, said of a place and a field.
    #[must_use]
    pub fn about(self, place: Place, field: impl fmt::Display) -> Self {
        Self {
            place: Some(place),
            field: on_one_line(&field.to_string()),
            ..self
        }
    }
}

fn shortened(sentence: String) -> String {
    let count = sentence.chars().count();
    if count <= LONGEST_SENTENCE {
        return sentence;
    }
    let end = count - (LONGEST_SENTENCE - KEPT_BEGINNING);
    let mut kept: String = sentence.chars().take(KEPT_BEGINNING).collect();
    kept.push_str(" .. ");
    kept.extend(sentence.chars().skip(end));
    kept
}

/// Keeps the problems that are told, and gives how many are not.
pub(super) fn keep_told(problems: &mut Vec<Problem>) -> usize {
    let more = problems.len().saturating_sub(MOST_PROBLEMS);
    problems.truncate(MOST_PROBLEMS);
    more
}

/// How many more problems there are than are told, as the last of them.
pub(super) fn and_more(more: usize, severity: Severity) -> Problem {
    let sentence = match (severity, more) {
        (Severity::Wrong, 1) => "there's 1 more problem; correct these first".to_owned(),
        (Severity::Wrong, more) => format!("there are {more} more problems; correct these first"),
        (Severity::Note, more) => format!("and {more} more of this kind"),
    };
    Problem {
        severity,
        others: more,
        ..Problem::whole(sentence)
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.severity == Severity::Note {
            f.write_str("note: ")?;
        }
        if !self.field.is_empty() {
            write!(f, "{}: ", self.field)?;
        }
        f.write_str(&self.what)?;
        if !self.remedy.is_empty() {
            write!(f, "; {}", self.remedy)?;
        }
        Ok(())
    }
}

/// A file that cannot be used, and everything that is wrong with it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", Self::lines(path, problems))]
pub struct FileTrouble {
    /// The file.
    pub path: PathBuf,
    /// Its problems in the order of the file, notes included.
    pub problems: Vec<Problem>,
}

impl FileTrouble {
    /// A trouble of one problem.
    pub fn one(path: &Path, problem: Problem) -> Self {
        Self {
            path: path.to_owned(),
            problems: vec![problem],
        }
    }

    /// One line for each of `problems`, with the file before it and its line and column.
    pub fn lines(path: &Path, problems: &[Problem]) -> String {
        let line = |problem: &Problem| match problem.place {
            Some(Place { line, col }) => format!("{}:{line}:{col}: {problem}", path.shown()),
            None => format!("{}: {problem}", path.shown()),
        };
        problems.iter().map(line).collect::<Vec<_>>().join("\n")
    }
}

/// Why a table cannot be read on.
pub(super) fn broken(error: &csv::Error) -> Problem {
    let unfit = match error.kind() {
        csv::ErrorKind::Io(error) => disk::unfit(error),
        _ => None,
    };
    match unfit {
        Some(unfit) => Problem::whole(unfit),
        None => Problem::whole(format!(
            "the rest of the file cannot be read ({error}); try again, or copy it elsewhere"
        )),
    }
}

/// Collects what is wrong with one text.
pub(super) struct Findings<'a> {
    pub(super) places: &'a Places<'a>,
    problems: Vec<Problem>,
    wrong: usize,
    notes: usize,
}

impl<'a> Findings<'a> {
    /// Starts with what is wrong whatever the text means: names that stand twice.
    pub(super) fn new(places: &'a Places<'a>) -> Self {
        let mut findings = Self {
            places,
            problems: Vec::new(),
            wrong: 0,
            notes: 0,
        };
        for (spot, place) in places.twice() {
            if findings.is_told(Severity::Wrong) {
                let sentence = "this is there twice; keep one of the two";
                let problem = Problem::whole(sentence).about(place, spot);
                findings.problems.push(problem);
            }
        }
        findings
    }

    /// Counts one more, and says whether it is to be told.
    const fn is_told(&mut self, severity: Severity) -> bool {
        let count = match severity {
            Severity::Wrong => &mut self.wrong,
            Severity::Note => &mut self.notes,
        };
        *count += 1;
        *count <= MOST_PROBLEMS
    }

    /// Notes that the value at `spot` is wrong: what is wrong; the way out.
    pub(super) fn wrong(&mut self, spot: &Spot, sentence: impl fmt::Display) {
        if self.is_told(Severity::Wrong) {
            let place = self.places.place(spot);
            self.problems
                .push(Problem::whole(sentence).about(place, spot));
        }
    }

    /// Notes that a character of the string at `spot` is wrong.
    pub(super) fn wrong_char(&mut self, spot: &Spot, index: usize, sentence: impl fmt::Display) {
        if self.is_told(Severity::Wrong) {
            let place = self.places.place_of_char(spot, index);
            self.problems
                .push(Problem::whole(sentence).about(place, spot));
        }
    }

    /// Notes a list that is longer than any that is meant, and gives how many of its entries are looked at.
    pub(super) fn within(&mut self, spot: &Spot, count: usize) -> usize {
        if count > MOST_ENTRIES {
            self.wrong(
                spot,
                format!("there are {count} entries here, but the most is {MOST_ENTRIES}; delete those that are too many"),
            );
        }
        count.min(MOST_ENTRIES)
    }

    /// Notes that a field of the top level came with format 2, where the file says format 1.
    pub(super) fn of_format_2(&mut self, format: u32, field: &str, is_there: bool) {
        if is_there && format < 2 {
            self.wrong(
                &Spot::top().at(field),
                format!("the field `{field}` needs format 2; write format: 2 at the top"),
            );
        }
    }

    /// Notes what somebody may want to know about the value at `spot`.
    pub(super) fn note(&mut self, spot: &Spot, sentence: impl fmt::Display) {
        if self.is_told(Severity::Note) {
            let place = self.places.place(spot);
            self.problems.push(Problem {
                severity: Severity::Note,
                ..Problem::whole(sentence).about(place, spot)
            });
        }
    }

    /// Everything found, in the order of the file; behind it how many more there are.
    pub(super) fn finish(mut self) -> Vec<Problem> {
        self.problems.sort_by_key(Problem::order);
        for (count, severity) in [(self.notes, Severity::Note), (self.wrong, Severity::Wrong)] {
            if let Some(more @ 1..) = count.checked_sub(MOST_PROBLEMS) {
                self.problems.push(and_more(more, severity));
            }
        }
        self.problems
    }
}
