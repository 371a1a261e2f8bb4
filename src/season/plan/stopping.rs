//! When to leave a question: once another minute on it is worth less than a minute elsewhere.

use super::Task;
use crate::analysis::stay;
use crate::domain::thresholds::Thresholds;
use crate::domain::time::Elapsed;
use crate::stats::stopping_rule::StoppingRule;
use crate::stats::summary;

/// The shortest time after which a question is left, and the step that it is told in, in seconds.
const SHORTEST: u32 = 60;
const STEP: u32 = 30;
/// No question takes more than this part of the time.
const LARGEST_PART: u32 = 6;

/// For each question that is tried, when to leave it, in seconds; nothing for the others, and nothing where
/// leaving never pays.
///
/// The price of time is the best that a minute brings on what is not tried; where all is tried, the least that
/// it brings on what is.
pub(super) fn each(tasks: &[Task], tried: &[bool], limits: &Thresholds) -> Vec<Option<f64>> {
    let price = |task: &Task| task.gain() / f64::from(task.seconds.max(1));
    let of = |own: bool| {
        tasks
            .iter()
            .zip(tried)
            .filter(move |(_, tried)| **tried == own)
            .map(|(task, _)| price(task))
    };
    let undone = of(false)
        .filter(|price| *price > 0.0)
        .max_by(f64::total_cmp);
    let Some(price) = undone.or_else(|| of(true).min_by(f64::total_cmp)) else {
        return vec![None; tasks.len()];
    };
    let one = |(task, tried): (&Task, &bool)| {
        let rule = StoppingRule {
            solvable: task.chance(),
            typical: f64::from(task.seconds.max(1)),
            prize: task.right.to_f64() - task.left(),
        };
        let leave = tried.then(|| rule.leave_after(price))??;
        // Not before the time that the plan itself gives, nor after the one from which a stay is long.
        let planned = f64::from(task.seconds);
        let longest = stay::bound(limits, Elapsed::seconds(u64::from(task.seconds)));
        Some(leave.clamp(planned, longest.as_seconds()))
    };
    tasks.iter().zip(tried).map(one).collect()
}

/// One number for all: the middle of the single ones, in half minutes.
pub(super) fn for_all(each: &[Option<f64>], budget: u32) -> Option<u32> {
    let known: Vec<f64> = each.iter().copied().flatten().collect();
    let middle = summary::median(&known)?;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a positive time of less than a day"
    )]
    let steps = (middle / f64::from(STEP)).round() as u32;
    let longest = (budget / LARGEST_PART / STEP * STEP).max(SHORTEST);
    Some(steps.saturating_mul(STEP).clamp(SHORTEST, longest))
}
