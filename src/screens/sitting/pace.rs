//! Where the pace plan says that the pupil would be, said calmly.

use super::desk::Desk;
use crate::dialogue::{AgainstPlan, Pace};
use crate::words::sitting::page as words;

/// The checkpoint line, where there is a plan and the clock runs: sentences, the first one first.
pub(super) fn sentences(desk: &Desk<'_>) -> Vec<String> {
    let Some(pace) = Pace::of(&desk.scene()) else {
        return Vec::new();
    };
    let mut sentences = Vec::new();
    if let Some(due) = pace.due {
        let standing = match pace.standing {
            AgainstPlan::Ahead => words::AHEAD,
            AgainstPlan::OnPlan => words::ON_PLAN,
            AgainstPlan::Behind => words::BEHIND,
        };
        sentences.push(words::plan_by_now(due, pace.done, standing));
        if pace.standing == AgainstPlan::Behind {
            sentences.push(words::LEAVE_HARD_ONES.to_owned());
        }
    }
    if let Some((question, left)) = pace.next {
        sentences.push(words::next_checkpoint(question, left, pace.due.is_none()));
    }
    sentences
}
