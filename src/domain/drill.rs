//! A drill: one habit tried for a short while, apart from sittings.

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use super::character::read_any_on_one_line;
use super::labels::{Label, Labels};
use super::rule::QuestionNo;
use super::time::Elapsed;

/// The version of the drill file that this program writes; it reads all up to it.
pub const DRILL_FORMAT: u32 = 1;

/// How long a sweep is tried.
pub const SWEEP_TIME: Elapsed = Elapsed::seconds(90);

/// Which habit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DrillKind {
    /// Filling blanks before time is up.
    Sweep,
    /// Finding the keys.
    Keys,
}

/// A drill that is over.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Drill {
    /// Which habit was tried.
    pub kind: DrillKind,
    /// The paper whose sheet it was, where one was named.
    #[serde(
        default,
        deserialize_with = "read_any_on_one_line",
        skip_serializing_if = "Option::is_none"
    )]
    pub paper: Option<String>,
    /// When it was begun.
    pub at: DateTime<FixedOffset>,
    /// How many blanks there were at the start; of keys, how many were asked for.
    pub blanks: u16,
    /// How many of them were filled.
    pub filled: u16,
    /// The time from the start to the last of them.
    pub took: Elapsed,
}

impl Drill {
    /// How many blanks were left.
    pub const fn left(&self) -> u16 {
        self.blanks.saturating_sub(self.filled)
    }

    /// The time for each blank that was filled; none where none was.
    pub const fn each(&self) -> Option<Elapsed> {
        match self.filled {
            0 => None,
            filled => Some(Elapsed(self.took.0 / filled as u64)),
        }
    }
}

/// A sweep being tried: the next letter goes to the next blank.
#[derive(Clone, Debug)]
pub struct SweepDrill {
    blanks: Vec<(QuestionNo, Labels)>,
    filled: Vec<(Label, Elapsed)>,
}

/// A letter that fills no blank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotFilled {
    /// The open question has no such option.
    NoOption,
    /// The time is up, or no blank is left.
    Over,
}

impl SweepDrill {
    /// A sheet of blanks.
    pub const fn new(blanks: Vec<(QuestionNo, Labels)>) -> Self {
        Self {
            blanks,
            filled: Vec::new(),
        }
    }

    /// The rows of the sheet, each with its letter where it has one.
    pub fn rows(&self) -> impl Iterator<Item = (QuestionNo, &Labels, Option<Label>)> {
        let filled = self.filled.iter().map(|(label, _)| Some(*label));
        let filled = filled.chain(std::iter::repeat(None));
        let rows = self.blanks.iter().zip(filled);
        rows.map(|((question, labels), filled)| (*question, labels, filled))
    }

    /// The blank that the next letter fills.
    pub fn open(&self) -> Option<(QuestionNo, &Labels)> {
        let (question, labels) = self.blanks.get(self.filled.len())?;
        Some((*question, labels))
    }

    /// How many blanks are left.
    pub const fn left(&self) -> usize {
        self.blanks.len() - self.filled.len()
    }

    /// The time left, `at` after the start.
    pub const fn time_left(at: Elapsed) -> Elapsed {
        SWEEP_TIME.since(at)
    }

    /// Whether no letter counts any more, `at` after the start.
    pub fn is_over(&self, at: Elapsed) -> bool {
        self.left() == 0 || at >= SWEEP_TIME
    }

    /// Fills the next blank.
    ///
    /// # Errors
    /// A letter that fills none.
    pub fn fill(&mut self, typed: char, at: Elapsed) -> Result<Label, NotFilled> {
        let (_, labels) = self.open().ok_or(NotFilled::Over)?;
        if at >= SWEEP_TIME {
            return Err(NotFilled::Over);
        }
        let label = labels.find(typed).ok_or(NotFilled::NoOption)?;
        self.filled.push((label, at));
        Ok(label)
    }

    /// What came of it.
    pub fn drill(&self, paper: Option<String>, at: DateTime<FixedOffset>) -> Drill {
        let count = |many: usize| u16::try_from(many).unwrap_or(u16::MAX);
        Drill {
            kind: DrillKind::Sweep,
            paper,
            at,
            blanks: count(self.blanks.len()),
            filled: count(self.filled.len()),
            took: self.filled.last().map_or(Elapsed::ZERO, |(_, at)| *at),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(blanks: u16) -> SweepDrill {
        let labels = Labels::new("ABCDE").unwrap();
        let rows = (1..=blanks).map(|n| (QuestionNo(n), labels.clone()));
        SweepDrill::new(rows.collect())
    }

    fn began() -> DateTime<FixedOffset> {
        DateTime::parse_from_rfc3339("2026-11-25T16:05:00+00:00").unwrap()
    }

    #[test]
    fn each_letter_fills_the_next_blank_and_another_key_none() {
        let mut sweep = sheet(3);
        assert_eq!(sweep.fill('z', Elapsed(500)), Err(NotFilled::NoOption));
        assert!(sweep.fill('b', Elapsed(1000)).is_ok());
        assert!(sweep.fill('E', Elapsed(4000)).is_ok());
        assert_eq!(sweep.open().map(|(question, _)| question.0), Some(3));
        let drill = sweep.drill(None, began());
        assert_eq!((drill.blanks, drill.filled, drill.left()), (3, 2, 1));
        assert_eq!(drill.each(), Some(Elapsed(2000)), "4 s for two");
        assert!(sweep.fill('a', Elapsed(5000)).is_ok());
        assert!(sweep.is_over(Elapsed(5000)));
        assert_eq!(sweep.fill('a', Elapsed(6000)), Err(NotFilled::Over));
    }

    #[test]
    fn nothing_counts_from_the_ninetieth_second_on() {
        let mut sweep = sheet(2);
        assert!(sweep.fill('a', Elapsed(89_999)).is_ok());
        assert!(sweep.is_over(Elapsed(90_000)));
        assert_eq!(sweep.fill('a', Elapsed(90_000)), Err(NotFilled::Over));
        assert_eq!(sweep.drill(None, began()).left(), 1);
        assert_eq!(sheet(2).drill(None, began()).each(), None);
    }
}
