//! Where the pace plan says that the pupil would be, said calmly.

use super::desk::Desk;
use crate::dialogue::{AgainstPlan, Pace};
use crate::words::plan::{leave_this, plan_lines};
use crate::words::sitting::page as words;

/// The checkpoint line, where there is a plan and the clock runs: sentences, the first one first.
pub(super) fn sentences(desk: &Desk<'_>) -> Vec<String> {
    let Some(pace) = Pace::of(&desk.scene()) else {
        return Vec::new();
    };
    let plan = desk.sitting.header().plan.as_ref();
    let left = plan.and_then(|plan| plan.leave.as_ref());
    let open = desk.sitting.open();
    let leave = open.filter(|open| left.is_some_and(|left| left.holds(*open)));
    let mut sentences: Vec<_> = leave.map(leave_this).into_iter().collect();
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
    sentences.extend(plan.map(plan_lines).unwrap_or_default());
    sentences
}
