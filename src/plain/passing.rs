//! What is said without being asked: checkpoints, the reminder, time up; each once.

use super::{Plain, said};
use crate::domain::header::Checkpoint;
use crate::domain::sitting::{Phase, Sitting};
use crate::domain::time::{Elapsed, from_minutes};
use crate::words::time::{left_in_words, time_in_words};

/// What has been said already.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Passed {
    /// How many checkpoints.
    checkpoints: usize,
    reminder: bool,
    pub(super) time_up: bool,
}

impl Passed {
    /// What lies behind at a moment, so that a sitting taken up again does not say it all anew.
    pub(super) fn by(sitting: &Sitting, at: Elapsed) -> Self {
        Self {
            checkpoints: passed(sitting, at),
            reminder: sitting.reminder().is_some_and(|moment| at > moment),
            time_up: false,
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

impl Plain {
    /// The next line that is due by itself, if any; called again until there is none.
    pub fn passing(&mut self, sitting: &Sitting, at: Elapsed) -> Option<String> {
        let running = sitting.phase() == Phase::Running;
        let due = sitting.deadline().is_some_and(|deadline| at >= deadline);
        if due || sitting.phase() == Phase::TimeUp {
            let first = !std::mem::replace(&mut self.passed.time_up, true);
            return first.then(|| format!("{} Press Enter to go on.", said::time_up(sitting)));
        }
        if !running {
            return None;
        }
        let behind = passed(sitting, at);
        if behind > self.passed.checkpoints {
            self.passed.checkpoints = behind;
            let checkpoint = checkpoints(sitting).get(behind - 1)?;
            return Some(checkpoint_line(sitting, checkpoint));
        }
        let reminded = sitting.reminder().is_some_and(|moment| at >= moment);
        if reminded && !self.passed.reminder {
            self.passed.reminder = true;
            return Some(reminder_line(sitting, at));
        }
        None
    }

    /// When [`Plain::passing`] will next have something to say by itself; nothing while the clock
    /// is stopped.
    pub fn wake(&self, sitting: &Sitting) -> Option<Elapsed> {
        let deadline = sitting.deadline()?;
        let stopped = sitting.stopped().total(sitting.latest());
        let checkpoint = checkpoints(sitting)
            .get(self.passed.checkpoints)
            .map(|checkpoint| time_of(checkpoint) + stopped);
        let reminder = sitting.reminder().filter(|_| !self.passed.reminder);
        [checkpoint, reminder]
            .into_iter()
            .flatten()
            .chain([deadline])
            .min()
    }
}

fn checkpoint_line(sitting: &Sitting, checkpoint: &Checkpoint) -> String {
    let used = time_in_words(time_of(checkpoint));
    let done = checkpoint.question;
    let here = sitting.open().map_or_else(String::new, |open| {
        format!(" You have question {open} open.")
    });
    format!("Checkpoint: {used} used. Your plan: done with question {done}.{here}")
}

/// Where a wrong answer costs more than a blank, nobody is pushed to answer.
fn reminder_line(sitting: &Sitting, at: Elapsed) -> String {
    let left = left_in_words(sitting.left(at));
    let free = !sitting.header().paper.rule.takes_marks_away();
    let blanks = said::blanks(sitting);
    match sitting.blanks().next() {
        Some(_) if free => format!("{left} left, {blanks} Answer any you want to."),
        Some(_) => format!("{left} left, {blanks}"),
        None => format!("{left} left. {blanks}"),
    }
}
