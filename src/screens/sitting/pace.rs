//! Where the pace plan says that the pupil would be, said calmly.

use super::desk::Desk;
use crate::dialogue::{AgainstPlan, Pace};
use crate::words::time::span;

/// The checkpoint line, where there is a plan and the clock runs: sentences, the first one first.
pub(super) fn sentences(desk: &Desk<'_>) -> Vec<String> {
    let Some(pace) = Pace::of(&desk.scene()) else {
        return Vec::new();
    };
    let mut sentences = Vec::new();
    if let Some(due) = pace.due {
        let you = pace
            .done
            .map_or_else(|| "You".to_owned(), |done| format!("You: {done}"));
        let standing = match pace.standing {
            AgainstPlan::Ahead => "ahead",
            AgainstPlan::OnPlan => "on plan",
            AgainstPlan::Behind => "a little behind",
        };
        sentences.push(format!("Plan: {due} done by now. {you}, {standing}."));
        if pace.standing == AgainstPlan::Behind {
            sentences.push("Leave hard ones for later.".to_owned());
        }
    }
    if let Some((question, left)) = pace.next {
        let what = if pace.due.is_some() { "Next" } else { "Plan" };
        let left = span(left);
        sentences.push(format!("{what}: {question} done at {left} left."));
    }
    sentences
}
