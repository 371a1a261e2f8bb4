//! Where the pace plan says that the pupil would be.

use super::scene::Scene;
use crate::analysis::checkpoint;
use crate::domain::sitting::{Phase, Sitting};
use crate::domain::time::{Elapsed, from_minutes};

/// A moment of the time used, and the question to be done with by then.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct PaceStop {
    used: Elapsed,
    question: u64,
}

/// The last checkpoint passed (or the start) and the next one.
struct Stretch {
    from: PaceStop,
    to: Option<PaceStop>,
}

/// How a pupil stands against the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AgainstPlan {
    /// Further than planned.
    Ahead,
    /// As planned, or one question short of it.
    OnPlan,
    /// Behind, by more than one question.
    Behind,
}

/// The pupil beside the plan while the clock runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pace {
    /// The question to be done with by now, once there is one.
    pub due: Option<u64>,
    /// The last question up to which the pupil is done with every one, once there is one.
    pub done: Option<u64>,
    /// How the two compare.
    pub standing: AgainstPlan,
    /// The next checkpoint: the question, and the time left by then.
    pub next: Option<(u64, Elapsed)>,
}

impl Pace {
    /// Where there is a plan and the clock runs.
    pub fn of(at: &Scene<'_>) -> Option<Self> {
        let sitting = at.sitting;
        if at.phase() != Phase::Running {
            return None;
        }
        let used = sitting.used(at.at);
        let stretch = stretch(sitting, used)?;
        let first = u64::from(sitting.header().questions().next()?.0);
        let due = stretch.due(used);
        let done = checkpoint::done_to(sitting).map(|question| u64::from(question.0));
        let reached = done.unwrap_or(first.saturating_sub(1));
        Some(Self {
            due: Some(due).filter(|due| *due >= first),
            done,
            standing: match reached {
                reached if reached > due => AgainstPlan::Ahead,
                reached if reached + 1 >= due => AgainstPlan::OnPlan,
                _ => AgainstPlan::Behind,
            },
            next: stretch
                .to
                .map(|to| (to.question, sitting.header().allowed.since(to.used))),
        })
    }

    /// How much time will be used when the plan next says something else by itself.
    pub fn next_change(sitting: &Sitting, used: Elapsed) -> Option<Elapsed> {
        stretch(sitting, used)?.next_change(used)
    }
}

fn stretch(sitting: &Sitting, used: Elapsed) -> Option<Stretch> {
    let header = sitting.header();
    let plan = header.plan.as_ref()?;
    let first = header.questions().next()?;
    let mut from = PaceStop {
        used: Elapsed::ZERO,
        question: u64::from(first.0.saturating_sub(1)),
    };
    let stops = plan.checkpoints.iter().filter_map(|checkpoint| {
        Some(PaceStop {
            used: from_minutes(checkpoint.minutes)?,
            question: u64::from(checkpoint.question.0),
        })
    });
    for stop in stops {
        if used < stop.used {
            return Some(Stretch {
                from,
                to: Some(stop),
            });
        }
        from = stop;
    }
    Some(Stretch { from, to: None })
}

impl Stretch {
    /// The question to be done with at `used`, evenly between the two checkpoints.
    fn due(&self, used: Elapsed) -> u64 {
        let Some(to) = self.to else {
            return self.from.question;
        };
        let questions = to.question.saturating_sub(self.from.question);
        let span = to.used.since(self.from.used).as_millis().max(1);
        self.from.question + questions * used.since(self.from.used).as_millis() / span
    }

    /// When `due` will next be another question, or the next checkpoint another one.
    fn next_change(&self, used: Elapsed) -> Option<Elapsed> {
        let to = self.to?;
        let questions = to.question.saturating_sub(self.from.question);
        if questions == 0 {
            return Some(to.used);
        }
        let steps = self.due(used) + 1 - self.from.question;
        let span = to.used.since(self.from.used).as_millis();
        Some(self.from.used + Elapsed((steps * span).div_ceil(questions)))
    }
}
