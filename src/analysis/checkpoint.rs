//! Checkpoints of a pace plan: one is kept when every question up to it was answered, or opened and
//! left, by its moment.

use super::fold::Analysis;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{RowState, Sitting};
use crate::domain::time::Elapsed;

/// The last question up to which every one asked is answered, or opened and left, as things stand.
pub fn done_to(sitting: &Sitting) -> Option<QuestionNo> {
    let done = sitting.rows().iter().take_while(|row| match row.state() {
        RowState::NotSeen => false,
        RowState::Seen => sitting.open() != Some(row.number),
        RowState::Answered | RowState::Skipped => true,
    });
    done.last().map(|row| row.number)
}

/// When the questions up to a checkpoint were done, in time used; nothing for those that never were.
pub(super) struct Passage {
    done: Vec<Option<Elapsed>>,
    /// When the last of them was; nothing where one never was.
    pub(super) reached: Option<Elapsed>,
}

impl Passage {
    pub(super) fn of(analysis: &Analysis, checkpoint: QuestionNo) -> Self {
        let upto = analysis.questions().iter();
        let upto = upto.filter(|pace| pace.number <= checkpoint);
        let used = |at: Elapsed| analysis.used_at(at);
        let done: Vec<_> = upto.map(|pace| pace.done.map(used)).collect();
        let all: Option<Vec<_>> = done.iter().copied().collect();
        Self {
            reached: all.and_then(|all| all.into_iter().max()),
            done,
        }
    }

    /// How many were done by a moment of the time used.
    pub(super) fn done_by(&self, used: Elapsed) -> usize {
        let in_time = self.done.iter().flatten().filter(|done| **done <= used);
        in_time.count()
    }

    /// Of how many.
    pub(super) fn of_all(&self) -> usize {
        self.done.len()
    }
}
