//! What is asked once more before it is done.

use crate::domain::sitting::Phase;

/// Something that no single move does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Confirm {
    /// End the sitting.
    Finish,
    /// Give it up.
    GiveUp,
    /// Stop the program.
    Leave,
    /// Fill the blanks at random.
    Fill,
    /// Begin the guess round.
    Guess,
}

/// What was asked, and the phase in which it was: it is dropped when the phase is another one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Pending {
    pub(super) confirm: Confirm,
    pub(super) asked_in: Phase,
}

impl Pending {
    pub(super) fn holds_in(self, phase: Phase) -> Option<Confirm> {
        (self.asked_in == phase).then_some(self.confirm)
    }
}
