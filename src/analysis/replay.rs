//! A sitting as it stood at any moment: what replay shows and what the mark at a moment is made of.

use std::sync::Arc;

use crate::domain::event::{Event, Stamped};
use crate::domain::header::Header;
use crate::domain::sitting::Sitting;
use crate::domain::time::Elapsed;

/// How many events lie between two kept states.
const STRIDE: usize = 64;

/// The sitting as it stood at `at`, everything that happened at that very moment included.
///
/// Time up holds from its own moment, not from the later one at which it was noticed.
pub fn cut(header: &Header, log: &[Stamped], at: Elapsed) -> Sitting {
    let count = moments(log).partition_point(|moment| *moment <= at);
    let mut sitting = Sitting::new(Arc::new(header.clone()));
    advance(&mut sitting, log.iter().take(count));
    sitting
}

/// A log that can be cut anywhere at the cost of a few events.
#[derive(Clone, Debug)]
pub struct Replay {
    log: Arc<[Stamped]>,
    moments: Vec<Elapsed>,
    /// The states after 0, 64, 128, ... events.
    kept: Vec<Sitting>,
    whole: Sitting,
}

impl Replay {
    /// Goes through the log once.
    pub fn new(header: &Arc<Header>, log: &Arc<[Stamped]>) -> Self {
        let mut whole = Sitting::new(Arc::clone(header));
        let mut kept = vec![whole.clone()];
        for part in log.chunks(STRIDE) {
            advance(&mut whole, part.iter());
            kept.push(whole.clone());
        }
        Self {
            log: Arc::clone(log),
            moments: moments(log),
            kept,
            whole,
        }
    }

    /// The sitting after the whole log.
    pub const fn whole(&self) -> &Sitting {
        &self.whole
    }

    /// The log.
    pub fn log(&self) -> &[Stamped] {
        &self.log
    }

    /// The moment from which each event holds, in order.
    pub fn moments(&self) -> &[Elapsed] {
        &self.moments
    }

    /// How many events hold at `at`.
    pub fn count_at(&self, at: Elapsed) -> usize {
        self.moments.partition_point(|moment| *moment <= at)
    }

    /// The sitting as it stood at `at`; the same as [`cut`].
    pub fn at(&self, at: Elapsed) -> Sitting {
        self.after(self.count_at(at))
    }

    /// The sitting after its first `count` events.
    pub fn after(&self, count: usize) -> Sitting {
        let index = (count / STRIDE).min(self.kept.len().saturating_sub(1));
        let mut sitting = self.kept.get(index).unwrap_or(&self.whole).clone();
        let passed = index * STRIDE;
        let left = self
            .log
            .iter()
            .skip(passed)
            .take(count.saturating_sub(passed));
        advance(&mut sitting, left);
        sitting
    }

    /// The time used at `at`, known from the whole log: a sleep or an absence is taken out from
    /// its own beginning on.
    pub fn used(&self, at: Elapsed) -> Elapsed {
        self.whole.used(at)
    }

    /// The earliest moment at which so much time was used.
    pub fn moment_of(&self, used: Elapsed) -> Elapsed {
        let mut at = used;
        for (from, to) in self.whole.stopped().until(self.whole.latest()) {
            if from < at {
                at = at + to.since(from);
            }
        }
        at
    }
}

fn advance<'a>(sitting: &mut Sitting, events: impl Iterator<Item = &'a Stamped>) {
    for stamped in events {
        sitting.apply(stamped.at, &stamped.event);
    }
}

/// The moment from which each event holds, never before the one of the event before it.
fn moments(log: &[Stamped]) -> Vec<Elapsed> {
    let mut latest = Elapsed::ZERO;
    let moment = |stamped: &Stamped| {
        let own = if let Event::TimeUp { due } = stamped.event {
            due.min(stamped.at)
        } else {
            stamped.at
        };
        latest = latest.max(own);
        latest
    };
    log.iter().map(moment).collect()
}
