//! When a page next looks different though nothing happens.

use super::desk::Desk;
use super::model::{ClockShown, Model, Shown};
use crate::dialogue::Pace;
use crate::domain::sitting::Phase;
use crate::domain::time::Elapsed;
use crate::words::time::{LAST_MINUTES, large_step_below, minutes_left};

/// When a page looks different though nothing happens, and how much of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NextChange {
    /// The moment.
    pub at: Elapsed,
    /// Before this it is the clock alone, in the page's top row; nothing where the page is to be drawn whole.
    pub clock_alone_before: Option<Elapsed>,
}

impl NextChange {
    /// Whether the clock alone looks different at that moment.
    pub fn is_clock_alone(&self, at: Elapsed) -> bool {
        self.clock_alone_before.is_some_and(|more| at < more)
    }
}

/// The next moment at which the page would look different by itself: the clock, the reminder, the
/// checkpoint line, time up. Nothing while the clock is stopped.
pub fn next_change(model: &Model, desk: &Desk<'_>) -> Option<NextChange> {
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
    let others = [
        plan.map(|wait| at + wait),
        sitting.reminder(),
        reminder_change(desk).map(|wait| at + wait),
        sitting.deadline(),
    ];
    let ahead = |moment: &Elapsed| *moment > at;
    let clock = clock.map(|wait| at + wait).filter(ahead);
    let other = others.into_iter().flatten().filter(ahead).min();
    Some(NextChange {
        at: clock.into_iter().chain(other).min()?,
        // Pages that lie on top may say in words what the clock shows.
        clock_alone_before: other
            .filter(|_| clock.is_some() && model.shown(desk) == Shown::Answering),
    })
}

/// How long until the reminder says fewer minutes, where it says them.
fn reminder_change(desk: &Desk<'_>) -> Option<Elapsed> {
    if desk.sitting.clock_hidden() || !desk.scene().reminds() {
        return None;
    }
    let left = desk.sitting.left(desk.at);
    (minutes_left(left) > 0).then(|| left.since(half_a_minute_less(left)))
}

/// The time left at which a minute less is left, to the nearest.
fn half_a_minute_less(left: Elapsed) -> Elapsed {
    Elapsed::minutes(minutes_left(left)) - Elapsed::seconds(30)
}

/// How long until the clock shows something else, in large steps.
fn large_step_change(left: Elapsed) -> Option<Elapsed> {
    let then = large_step_below(left);
    (then > Elapsed::ZERO).then(|| left - then)
}

/// How long until the clock shows something else.
fn clock_change(left: Elapsed) -> Option<Elapsed> {
    let then = if left > LAST_MINUTES {
        half_a_minute_less(left).max(LAST_MINUTES)
    } else {
        Elapsed::seconds(left.as_millis().div_ceil(1000).checked_sub(1)?)
    };
    Some(left.since(then))
}
