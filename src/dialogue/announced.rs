//! What is said without being asked: checkpoints, the reminder, time up; each once.

use super::scene::Scene;
use crate::domain::header::Checkpoint;
use crate::domain::sitting::{Phase, Sitting};
use crate::domain::time::{Elapsed, from_minutes};
use crate::words::guess::GuessWorth;
use crate::words::sitting::Said;

/// What has been announced already.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Announced {
    /// How many checkpoints.
    checkpoints: usize,
    reminder: bool,
    pub(super) time_up: bool,
    /// Whether it was asked what to do about the blanks after time up.
    pub(super) asked_after_time: bool,
}

impl Announced {
    /// What lies behind at a moment, so that a sitting taken up again does not hear it all anew.
    pub(super) fn by(at: &Scene<'_>) -> Self {
        Self {
            checkpoints: passed(at.sitting, at.at),
            reminder: at.sitting.reminder().is_some_and(|moment| at.at > moment),
            time_up: false,
            asked_after_time: false,
        }
    }
}

fn checkpoints(sitting: &Sitting) -> &[Checkpoint] {
    let plan = sitting.header().plan.as_ref();
    plan.map_or(&[], |plan| &plan.checkpoints)
}

fn time_of(checkpoint: &Checkpoint) -> Elapsed {
    from_minutes(checkpoint.minutes).unwrap_or_default()
}

/// How many checkpoints the time used has passed.
fn passed(sitting: &Sitting, at: Elapsed) -> usize {
    let used = sitting.used(at);
    let behind = |checkpoint: &&Checkpoint| time_of(checkpoint) <= used;
    checkpoints(sitting).iter().take_while(behind).count()
}

impl Announced {
    /// The next thing that is due by itself, if any; called again until there is none.
    pub(super) fn due(&mut self, at: &Scene<'_>) -> Option<Said> {
        let sitting = at.sitting;
        let due = sitting.deadline().is_some_and(|deadline| at.at >= deadline);
        if due || at.phase() == Phase::TimeUp {
            let first = !std::mem::replace(&mut self.time_up, true);
            let on_screen = sitting.header().paper.on_screen;
            return first.then_some(Said::TimeIsUpNow { on_screen });
        }
        if at.phase() != Phase::Running {
            return None;
        }
        let behind = passed(sitting, at.at);
        if behind > self.checkpoints {
            self.checkpoints = behind;
            let checkpoint = checkpoints(sitting).get(behind - 1)?;
            return Some(Said::Checkpoint {
                used: (!sitting.clock_hidden()).then(|| time_of(checkpoint)),
                done: checkpoint.question,
                open: sitting.open(),
            });
        }
        let reminded = sitting.reminder().is_some_and(|moment| at.at >= moment);
        if reminded && !self.reminder {
            self.reminder = true;
            let mut told = at.reminder();
            // In the sweep itself it is no offer.
            if at.is_sweeping() {
                told.guesses = GuessWorth::Nothing;
            }
            return Some(Said::Reminder(told));
        }
        None
    }

    /// When [`Announced::due`] will next have something to say by itself; nothing while the clock
    /// is stopped.
    pub(super) fn wake(&self, sitting: &Sitting) -> Option<Elapsed> {
        let deadline = sitting.deadline()?;
        let stopped = sitting.stopped().total(sitting.latest());
        let checkpoint = checkpoints(sitting)
            .get(self.checkpoints)
            .map(|checkpoint| time_of(checkpoint) + stopped);
        let reminder = sitting.reminder().filter(|_| !self.reminder);
        [checkpoint, reminder]
            .into_iter()
            .flatten()
            .chain([deadline])
            .min()
    }
}
