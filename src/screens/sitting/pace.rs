//! Where the pace plan says that the pupil would be, said calmly.

use crate::domain::sitting::{Phase, RowState, Sitting};
use crate::domain::time::{Elapsed, from_minutes};
use crate::words::time::span;

/// A moment of the time used, and the question to be done with by then.
#[derive(Clone, Copy)]
struct Stop {
    used: Elapsed,
    question: u64,
}

/// The last checkpoint passed (or the start) and the next one.
struct Stretch {
    from: Stop,
    to: Option<Stop>,
}

fn stretch(sitting: &Sitting, used: Elapsed) -> Option<Stretch> {
    let header = sitting.header();
    let plan = header.plan.as_ref()?;
    let first = header.questions().next()?;
    let mut from = Stop {
        used: Elapsed::ZERO,
        question: u64::from(first.0.saturating_sub(1)),
    };
    let stops = plan.checkpoints.iter().filter_map(|checkpoint| {
        Some(Stop {
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

/// The last question that the pupil is done with on the way through: answered, or left behind.
fn done(sitting: &Sitting) -> Option<u64> {
    let rows = sitting.rows().iter().rev();
    rows.filter(|row| match row.state() {
        RowState::NotSeen => false,
        RowState::Seen => sitting.open() != Some(row.number),
        RowState::Answered | RowState::Skipped => true,
    })
    .map(|row| u64::from(row.number.0))
    .next()
}

/// The checkpoint line, where there is a plan and the clock runs: sentences, the first one first.
pub(super) fn sentences(sitting: &Sitting, at: Elapsed) -> Vec<String> {
    let used = sitting.used(at);
    let running = sitting.phase() == Phase::Running;
    let first = sitting.header().questions().next();
    let (Some(stretch), Some(first), true) = (stretch(sitting, used), first, running) else {
        return Vec::new();
    };
    let first = u64::from(first.0);
    let due = stretch.due(used);
    let mut sentences = Vec::new();
    if due >= first {
        let done = done(sitting).unwrap_or(first.saturating_sub(1));
        let you = if done < first {
            "You".to_owned()
        } else {
            format!("You: {done}")
        };
        let standing = match done {
            done if done > due => "ahead",
            done if done + 1 >= due => "on plan",
            _ => "a little behind",
        };
        sentences.push(format!("Plan: {due} done by now. {you}, {standing}."));
        if done + 1 < due {
            sentences.push("Leave hard ones for later.".to_owned());
        }
    }
    if let Some(to) = stretch.to {
        let what = if due >= first { "Next" } else { "Plan" };
        let left = span(sitting.header().allowed.since(to.used));
        sentences.push(format!("{what}: {} done at {left} left.", to.question));
    }
    sentences
}

/// How much time will be used when the checkpoint line next changes by itself.
pub(super) fn next_change(sitting: &Sitting, used: Elapsed) -> Option<Elapsed> {
    stretch(sitting, used)?.next_change(used)
}
