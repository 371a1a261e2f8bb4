//! When to leave a question: once another minute on it is worth less than a minute elsewhere.

use super::Task;
use super::tasks::rounded;
use crate::analysis::stay;
use crate::domain::thresholds::Thresholds;
use crate::domain::time::Elapsed;
use crate::stats::stopping_rule::StoppingRule;
use crate::stats::summary;

/// The shortest time after which a question is left, and the step that it is told in, in seconds.
const SHORTEST: u32 = 60;
const STEP: u32 = 30;

/// For each question that is tried, when to leave it, in seconds; nothing for the others, and nothing where
/// leaving never pays.
///
/// The price of time is the best that a minute brings on what is not tried; where all is tried, the least that
/// it brings on what is.
pub(super) fn each(tasks: &[Task], tried: &[bool], limits: &Thresholds) -> Vec<Option<f64>> {
    let price = |task: &Task| task.gain / task.seconds;
    let of = |own: bool| {
        let all = tasks.iter().zip(tried);
        all.filter(move |(_, tried)| **tried == own)
            .map(|(task, _)| price(task))
    };
    let undone = of(false).filter(|price| *price > 0.0);
    let undone = undone.max_by(f64::total_cmp);
    let Some(price) = undone.or_else(|| of(true).min_by(f64::total_cmp)) else {
        return vec![None; tasks.len()];
    };
    let one = |(task, tried): (&Task, &bool)| {
        let rule = StoppingRule {
            solvable: task.chance,
            typical: task.seconds,
            prize: task.prize,
        };
        let leave = tried.then(|| rule.leave_after(price))??;
        // Not before the time that the pupil usually takes, nor after the one from which a stay is long.
        let longest = stay::bound(limits, Elapsed::seconds(u64::from(rounded(task.seconds))));
        let longest = longest.as_seconds().max(task.seconds);
        Some(leave.clamp(task.seconds, longest))
    };
    tasks.iter().zip(tried).map(one).collect()
}

/// One number for all, in half minutes: the middle of the single ones, but no less than the pupil's own expected time
/// on any question that is tried.
pub(super) fn for_all(tasks: &[Task], tried: &[bool], each: &[Option<f64>]) -> Option<u32> {
    let known: Vec<f64> = each.iter().copied().flatten().collect();
    let middle = rounded(summary::median(&known)?);
    let own = tasks.iter().zip(tried).filter(|(_, tried)| **tried);
    let longest = own.map(|(task, _)| task.seconds).fold(0.0, f64::max);
    let least = rounded(longest.ceil()).max(SHORTEST);
    let nearest = (middle + STEP / 2) / STEP * STEP;
    Some(nearest.max(least.div_ceil(STEP) * STEP))
}
