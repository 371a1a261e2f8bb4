//! What is wrong with a file: each problem with its place, all of them with their file.

use std::fmt;
use std::path::{Path, PathBuf};

use super::locate::{Place, Places, Spot};
use crate::storage::disk;

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
}

impl Problem {
    /// A problem of the file as a whole, as one sentence: what is wrong; the way out.
    pub fn whole(sentence: impl fmt::Display) -> Self {
        let sentence = sentence.to_string();
        let (what, remedy) = sentence.split_once("; ").unwrap_or((&sentence, ""));
        Self {
            place: None,
            field: String::new(),
            what: what.to_owned(),
            remedy: remedy.to_owned(),
            severity: Severity::Wrong,
        }
    }

    /// The same, said of a place and a field.
    #[must_use]
    pub fn about(self, place: Place, field: impl fmt::Display) -> Self {
        Self {
            place: Some(place),
            field: field.to_string(),
            ..self
        }
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
            Some(Place { line, col }) => format!("{}:{line}:{col}: {problem}", path.display()),
            None => format!("{}: {problem}", path.display()),
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
}

impl<'a> Findings<'a> {
    /// Starts with what is wrong whatever the text means: names that stand twice.
    pub(super) fn new(places: &'a Places<'a>) -> Self {
        let twice = places.twice().into_iter();
        let twice = twice.map(|(spot, place)| {
            Problem::whole("this is there twice; keep one of the two").about(place, spot)
        });
        Self {
            places,
            problems: twice.collect(),
        }
    }

    /// Notes that the value at `spot` is wrong: what is wrong; the way out.
    pub(super) fn wrong(&mut self, spot: &Spot, sentence: impl fmt::Display) {
        let place = self.places.place(spot);
        self.problems
            .push(Problem::whole(sentence).about(place, spot));
    }

    /// Notes that a character of the string at `spot` is wrong.
    pub(super) fn wrong_char(&mut self, spot: &Spot, index: usize, sentence: impl fmt::Display) {
        let place = self.places.place_of_char(spot, index);
        self.problems
            .push(Problem::whole(sentence).about(place, spot));
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
        let place = self.places.place(spot);
        self.problems.push(Problem {
            severity: Severity::Note,
            ..Problem::whole(sentence).about(place, spot)
        });
    }

    /// Everything found, in the order of the file.
    pub(super) fn finish(mut self) -> Vec<Problem> {
        self.problems.sort_by_key(|problem| problem.place);
        self.problems
    }
}
