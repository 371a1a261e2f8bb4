//! When a page next looks different though nothing happens.

use super::desk::Desk;
use super::model::{ClockShown, Model};
use crate::dialogue::Pace;
use crate::domain::sitting::Phase;
use crate::domain::time::Elapsed;
use crate::words::time::{LAST_MINUTES, large_step_below, minutes_left};

/// The next moment at which the page would look different by itself: the clock, the reminder, the
/// checkpoint line, time up. Nothing while the clock is stopped.
pub fn next_change(model: &Model, desk: &Desk<'_>) -> Option<Elapsed> {
    let (sitting, at) = (desk.sitting, desk.at);
    if sitting.phase() != Phase::Running {
        return None;
    }
    let used = sitting.used(at);
    let clock = match model.clock {
        ClockShown::Yes => clock_change(sitting.left(at)),
        ClockShown::LargeSteps => large_step_change(sitting.left(at)),
        ClockShown::No { .. } => None,
    };
    let plan = Pace::next_change(sitting, used).map(|then| then.since(used));
    let moments = [
        clock.map(|wait| at + wait),
        plan.map(|wait| at + wait),
        sitting.reminder(),
        sitting.deadline(),
    ];
    moments
        .into_iter()
        .flatten()
        .filter(|moment| *moment > at)
        .min()
}

/// How long until the clock shows something else, in large steps.
fn large_step_change(left: Elapsed) -> Option<Elapsed> {
    let then = large_step_below(left);
    (then > Elapsed::ZERO).then(|| left - then)
}

/// How long until the clock shows something else.
fn clock_change(left: Elapsed) -> Option<Elapsed> {
    let then = if left > LAST_MINUTES {
        let half_a_minute_less = Elapsed::minutes(minutes_left(left)) - Elapsed::seconds(30);
        half_a_minute_less.max(LAST_MINUTES)
    } else {
        Elapsed::seconds(left.as_millis().div_ceil(1000).checked_sub(1)?)
    };
    Some(left.since(then))
}
