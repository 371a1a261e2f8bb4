//! One row of the list: a sitting known by its file's name, read, or a file that cannot be read.

use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset, NaiveDateTime};

use crate::analysis::Totals;
use crate::domain::abridged::Abridged;
use crate::domain::character::on_one_line;
use crate::domain::header::Header;
use crate::domain::key::Key;
use crate::domain::paper::Outline;
use crate::domain::standing::{Exclusion, Standing};
use crate::words::time::{file_day, file_moment, moment, table_day, table_moment};

/// Which version of which paper, and whether it was really sat: what nobody sat is never held
/// against what somebody did.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Version {
    /// The paper's id.
    pub id: String,
    /// The version of its questions.
    pub fingerprint: String,
    /// Whether nobody sat it.
    pub invented: bool,
}

impl Version {
    fn new(paper: &Outline, invented: bool) -> Self {
        Self {
            id: paper.id.clone(),
            fingerprint: paper.fingerprint.to_string(),
            invented,
        }
    }

    /// The version that a sitting was sat on.
    pub fn of(header: &Header) -> Self {
        Self::new(&header.paper, header.invented)
    }
}

/// What a sitting's row shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Summary {
    /// The paper.
    pub version: Version,
    /// When it was started.
    pub started: DateTime<FixedOffset>,
    /// The marks, where a key is at hand.
    pub marks: Option<Totals>,
    /// Blanks when the time in which answers count ended.
    pub blanks: usize,
    /// Whether any was guessed or filled after it.
    pub guessed: bool,
    /// Flags at the end.
    pub flags: usize,
    /// How it was given.
    pub standing: Standing,
    /// Whether its last record was not written to its end.
    pub torn: bool,
    /// What the tutor is asked about it: whether so short a sitting counts.
    pub asks: Option<String>,
}

/// How far a row is known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum State {
    /// By its file's name only.
    Waiting,
    /// Read.
    Read(Box<Summary>),
    /// It cannot be read, or not to its end; the reason.
    Wrong(String),
}

/// A row of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listed {
    /// The file.
    pub path: PathBuf,
    /// Whose it is.
    pub pupil: String,
    /// When it was started, by the clock where it was sat; none where the file's name does not say.
    pub when: Option<NaiveDateTime>,
    /// The paper's title, or its id while only the file's name is known.
    pub paper: String,
    /// How far it is known.
    pub state: State,
}

impl Listed {
    /// What the file's name says: `PUPIL/2026-11-25-0912-PAPER.session.ron`.
    pub fn by_name(path: &Path) -> Self {
        let folder = path.parent().and_then(Path::file_name);
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let name = name.strip_suffix(".session.ron").unwrap_or(&name);
        let (when, paper) = dated(name).unzip();
        Self {
            path: path.to_owned(),
            pupil: on_one_line(&folder.unwrap_or_default().to_string_lossy()),
            when,
            paper: on_one_line(paper.unwrap_or(name)),
            state: State::Waiting,
        }
    }

    /// What the file itself says.
    pub fn read(path: &Path, sat: &Abridged, key: Option<&Key>, torn: bool) -> Self {
        Self {
            path: path.to_owned(),
            pupil: sat.pupil.to_string(),
            when: Some(sat.started.naive_local()),
            paper: sat.paper.title.clone(),
            state: State::Read(Box::new(Summary {
                version: Version::new(&sat.paper, sat.invented),
                started: sat.started,
                marks: key.and_then(|key| Totals::of(sat, key).ok()),
                blanks: sat.blanks(),
                guessed: sat.rows.iter().any(|row| row.after_time.is_some()),
                flags: sat.flags,
                standing: sat.standing,
                torn,
                asks: None,
            })),
        }
    }

    /// The same row with what the tutor is asked about it.
    #[must_use]
    pub fn asking(mut self, asks: Option<String>) -> Self {
        if let State::Read(summary) = &mut self.state {
            summary.asks = asks;
        }
        self
    }

    /// The same row, which cannot be read, or not to its end.
    #[must_use]
    pub fn wrong(self, reason: String) -> Self {
        Self {
            state: State::Wrong(reason),
            ..self
        }
    }

    /// The same row of a sitting that counts for nothing.
    #[must_use]
    pub fn withdrawn(mut self, reason: Exclusion) -> Self {
        if let State::Read(summary) = &mut self.state {
            summary.standing = summary.standing.withdrawn(Some(reason));
        }
        self
    }

    /// What the row shows, once it is read.
    pub const fn summary(&self) -> Option<&Summary> {
        match &self.state {
            State::Read(summary) => Some(summary),
            State::Waiting | State::Wrong(_) => None,
        }
    }

    /// The mark in time as a share of the most there could be, once the sitting is over.
    pub(super) fn share(&self) -> Option<f64> {
        let summary = self.summary().filter(|own| own.standing.ending.is_some())?;
        let marks = summary.marks?;
        let max = marks.max.to_f64();
        (max > 0.0).then(|| marks.in_time.to_f64() / max)
    }

    /// When it was started, in a column: a sheet that was typed in has a day, and no time of it.
    pub(super) fn when_in_a_table(&self) -> String {
        let typed_in = self.summary().is_some_and(|own| own.standing.typed_in);
        match self.when {
            Some(at) if typed_in => table_day(at.date()),
            Some(at) => table_moment(at),
            None => String::new(),
        }
    }

    /// What a filter looks through.
    pub(super) fn searched(&self) -> String {
        let id = self.summary().map_or("", |own| own.version.id.as_str());
        let when = self.when.map(|at| {
            let day = file_day(at.date());
            format!("{day} {}", moment(at))
        });
        let when = when.unwrap_or_default();
        format!("{} {when} {} {id}", self.pupil, self.paper).to_lowercase()
    }
}

/// `2026-11-25-0912-PAPER` as the moment and the paper.
fn dated(name: &str) -> Option<(NaiveDateTime, &str)> {
    let (when, rest) = file_moment(name)?;
    Some((when, rest.strip_prefix('-')?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_files_name_says_whose_when_and_which_paper() {
        let listed = Listed::by_name(Path::new("s/otter/2026-11-25-0912-heath-a.session.ron"));
        let when = "2026-11-25T09:12:00".parse().ok();
        let known = (&*listed.pupil, listed.when, &*listed.paper);
        assert_eq!(known, ("otter", when, "heath-a"));
        let other = Listed::by_name(Path::new("copy of heath.session.ron"));
        assert_eq!((other.when, &*other.paper), (None, "copy of heath"));
        assert!(
            Listed::by_name(Path::new("x/2026-11-2ä-0912-b.session.ron"))
                .when
                .is_none()
        );
        assert_eq!(
            listed.searched().trim_end(),
            "otter 2026-11-25 25 nov 2026, 09:12 heath-a"
        );
    }
}
