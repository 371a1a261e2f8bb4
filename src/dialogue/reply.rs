//! What comes of a move.

use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Command, Refusal};
use crate::words::sitting::Said;

/// What the shell is asked to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Act {
    /// Put this to the sitting.
    Wish(Command),
    /// Draw an option for each of these blanks and put [`Command::Fill`] to the sitting.
    FillBlanks(Vec<QuestionNo>),
    /// Stop the program; the sitting stays open unless it is closed.
    Leave,
}

/// What is said to a move, and what is to be done then, in order, up to the first refusal.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Reply {
    /// What is said.
    pub said: Vec<Said>,
    /// What is to be done.
    pub acts: Vec<Act>,
}

impl Reply {
    /// Only words.
    pub(super) fn said(said: Said) -> Self {
        Self {
            said: vec![said],
            acts: Vec::new(),
        }
    }

    /// Only one wish.
    pub(super) fn wish(command: Command) -> Self {
        Self::default().and_wish(command)
    }

    pub(super) fn and_say(mut self, said: Said) -> Self {
        self.said.push(said);
        self
    }

    /// The same, with this wish before all others.
    pub(super) fn first(mut self, command: Command) -> Self {
        self.acts.insert(0, Act::Wish(command));
        self
    }

    pub(super) fn and_wish(mut self, command: Command) -> Self {
        self.acts.push(Act::Wish(command));
        self
    }
}

impl From<Refusal> for Reply {
    fn from(refusal: Refusal) -> Self {
        Self::said(Said::Refused(refusal))
    }
}
