//! The rows of the answer sheet.

use std::collections::BTreeSet;

use crate::domain::event::How;
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;

/// An answer as it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Given {
    /// The option chosen.
    pub option: Label,
    /// How it was come by.
    pub how: How,
}

/// What can be said of a question on the answer sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RowState {
    /// Never opened.
    NotSeen,
    /// Opened and left blank.
    Seen,
    /// Answered.
    Answered,
    /// Left for later.
    Skipped,
}

/// One question's row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// The question.
    pub number: QuestionNo,
    /// Whether it was opened.
    pub seen: bool,
    /// Whether it was left for later.
    pub skipped: bool,
    /// Whether there is a flag beside it.
    pub flagged: bool,
    /// The options that are crossed out. That changes no answer.
    pub crossed: BTreeSet<Label>,
    /// The answer in time.
    pub in_time: Option<Given>,
    /// The answer of the guess round.
    pub after_time: Option<Given>,
    /// Every option chosen in time, in order, one after another never the same.
    pub history: Vec<Label>,
}

impl Row {
    pub(super) const fn new(number: QuestionNo) -> Self {
        Self {
            number,
            seen: false,
            skipped: false,
            flagged: false,
            crossed: BTreeSet::new(),
            in_time: None,
            after_time: None,
            history: Vec::new(),
        }
    }

    /// The answer that stands: in time, or else of the guess round.
    pub const fn standing(&self) -> Option<Given> {
        match self.in_time {
            Some(given) => Some(given),
            None => self.after_time,
        }
    }

    /// What can be said of it.
    pub const fn state(&self) -> RowState {
        match (self.standing(), self.skipped, self.seen) {
            (Some(_), _, _) => RowState::Answered,
            (None, true, _) => RowState::Skipped,
            (None, false, true) => RowState::Seen,
            (None, false, false) => RowState::NotSeen,
        }
    }
}

/// A question on the screen, from one moment to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Visit {
    /// The question.
    pub question: QuestionNo,
    /// When it was opened.
    pub from: Elapsed,
    /// When it was left; nothing while it is open.
    pub to: Option<Elapsed>,
}
