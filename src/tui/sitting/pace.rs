//! Where the pace plan says that the pupil would be, said calmly.

use super::words;
use crate::domain::sitting::{Phase, RowState, Sitting};
use crate::domain::time::{Elapsed, from_minutes};

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

/// The checkpoint line, where there is a plan and the clock runs.
pub(super) fn line(sitting: &Sitting, at: Elapsed) -> Option<String> {
    if sitting.phase() != Phase::Running {
        return None;
    }
    let used = sitting.used(at);
    let stretch = stretch(sitting, used)?;
    let first = u64::from(sitting.header().questions().next()?.0);
    let due = stretch.due(used);
    let next = stretch.to.map(|to| {
        let left = words::span(sitting.header().allowed.since(to.used));
        format!("{} done at {left} left.", to.question)
    });
    let now = (due >= first).then(|| {
        let done = done(sitting).unwrap_or_else(|| first.saturating_sub(1));
        let standing = match done {
            done if done > due => "ahead",
            done if done + 1 >= due => "on plan",
            _ => "a bit behind: leave hard ones for later",
        };
        let you = match done {
            done if done < first => "You".to_owned(),
            done => format!("You: {done}"),
        };
        format!("{due} done about now. {you}, {standing}.")
    });
    match (now, next) {
        (Some(now), Some(next)) => Some(format!("Plan: {now} Next: {next}")),
        (Some(part), None) | (None, Some(part)) => Some(format!("Plan: {part}")),
        (None, None) => None,
    }
}

/// How much time will be used when the checkpoint line next changes by itself.
pub(super) fn next_change(sitting: &Sitting, used: Elapsed) -> Option<Elapsed> {
    stretch(sitting, used)?.next_change(used)
}
