//! The cursor over the hour of a sitting, and how things stood there.

use super::study::Study;
use crate::analysis::{Marks, Totals};
use crate::domain::sitting::Sitting;
use crate::domain::time::Elapsed;

/// How much faster than the hour itself it plays.
const SPEEDS: [u64; 8] = [1, 2, 5, 10, 30, 60, 120, 240];

/// The page is drawn no more often than this, in milliseconds.
const SHORTEST_WAIT: u64 = 50;

/// What one key moves the cursor by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum ReplayStep {
    Event,
    Minute,
    Question,
}

impl ReplayStep {
    const ALL: [Self; 3] = [Self::Event, Self::Minute, Self::Question];

    const fn word(self) -> &'static str {
        match self {
            Self::Event => "event",
            Self::Minute => "minute",
            Self::Question => "question",
        }
    }

    fn turn(self, forwards: bool) -> Self {
        let at = Self::ALL.iter().position(|own| *own == self).unwrap_or(0);
        let next = (at + if forwards { 1 } else { Self::ALL.len() - 1 }) % Self::ALL.len();
        Self::ALL.get(next).copied().unwrap_or(self)
    }
}

/// The cursor over the hour, and how things stood there.
#[derive(Clone, Debug)]
pub(super) struct Player {
    pub(super) at: Elapsed,
    by: ReplayStep,
    /// Which of the speeds.
    speed: usize,
    pub(super) plays: bool,
    /// The sitting as it stood.
    pub(super) sitting: Sitting,
    pub(super) marks: Option<Totals>,
    /// How many events hold.
    pub(super) count: usize,
}

impl Player {
    /// At the first moment, standing.
    pub(super) fn new(study: &Study) -> Self {
        let sitting = study.replay.at(Elapsed::ZERO);
        Self {
            at: Elapsed::ZERO,
            by: ReplayStep::Event,
            speed: 5,
            plays: false,
            marks: marks(study, &sitting),
            sitting,
            count: study.replay.count_at(Elapsed::ZERO),
        }
    }

    fn go(&mut self, study: &Study, at: Elapsed) {
        self.at = at.min(end(study));
        let count = study.replay.count_at(self.at);
        if count != self.count {
            self.count = count;
            self.sitting = study.replay.after(count);
            self.marks = marks(study, &self.sitting);
        }
    }

    /// How many times as fast as the hour itself.
    pub(super) fn speed(&self) -> u64 {
        SPEEDS.get(self.speed).copied().unwrap_or(1)
    }

    /// A step on or back; what plays stands still.
    pub(super) fn step(&mut self, study: &Study, forwards: bool) {
        self.plays = false;
        let to = self.next(study, forwards);
        self.go(study, to);
    }

    /// Steps by something else.
    pub(super) fn step_by(&mut self, forwards: bool) {
        self.by = self.by.turn(forwards);
    }

    /// To the first moment, or to the last.
    pub(super) fn jump(&mut self, study: &Study, last: bool) {
        self.plays = false;
        let to = if last { end(study) } else { Elapsed::ZERO };
        self.go(study, to);
    }

    /// Plays, from the start where it stands at the end; or stands still.
    pub(super) fn play(&mut self, study: &Study) {
        if !self.plays && self.at == end(study) {
            self.go(study, Elapsed::ZERO);
        }
        self.plays = !self.plays;
    }

    /// Plays faster or slower.
    pub(super) fn speed_up(&mut self, faster: bool) {
        self.speed = if faster {
            (self.speed + 1).min(SPEEDS.len() - 1)
        } else {
            self.speed.saturating_sub(1)
        };
    }

    /// What one step moves by, in a word.
    pub(super) const fn steps_by(&self) -> &'static str {
        self.by.word()
    }

    /// Where one step leads.
    fn next(&self, study: &Study, forwards: bool) -> Elapsed {
        let (at, last) = (self.at, end(study));
        let nearest = |moments: &mut dyn Iterator<Item = Elapsed>| {
            if forwards {
                moments.filter(|moment| *moment > at).min().unwrap_or(last)
            } else {
                moments
                    .filter(|moment| *moment < at)
                    .max()
                    .unwrap_or_default()
            }
        };
        match self.by {
            ReplayStep::Event => nearest(&mut study.replay.moments().iter().copied()),
            ReplayStep::Question => {
                nearest(&mut study.analysis.stays().iter().map(|stay| stay.from))
            }
            ReplayStep::Minute => {
                let used = study.replay.used(at).as_millis();
                let minute = if forwards {
                    (used / 60_000).saturating_add(1)
                } else {
                    used.saturating_sub(1) / 60_000
                };
                let to = study.replay.moment_of(Elapsed::minutes(minute));
                let past_the_end = Elapsed::minutes(minute) > study.analysis.whole().used;
                if forwards && (past_the_end || to <= at) {
                    last
                } else if !forwards && at > study.analysis.whole().ended {
                    // From the guess round back to the moment at which time was up.
                    study.analysis.whole().ended
                } else {
                    to
                }
            }
        }
    }

    /// So many milliseconds have passed.
    pub(super) fn passed(&mut self, study: &Study, millis: u64) {
        if self.plays {
            let span = Elapsed(millis.saturating_mul(self.speed()));
            self.go(study, self.at + span);
            self.plays = self.at < end(study);
        }
    }

    /// Milliseconds until the page changes by itself: the next event, or the next second shown.
    pub(super) fn next_change(&self, study: &Study) -> Option<u64> {
        let moments = study.replay.moments();
        let event = moments
            .get(self.count)
            .map(|moment| moment.since(self.at).as_millis());
        let second = 1000 - self.at.as_millis() % 1000;
        let next = event.map_or(second, |event| event.min(second));
        self.plays
            .then(|| next.div_ceil(self.speed()).max(SHORTEST_WAIT))
    }
}

fn marks(study: &Study, sitting: &Sitting) -> Option<Totals> {
    let known = study.known.as_ref()?;
    let marks = Marks::of(sitting, &known.key, &study.opened.header.paper);
    marks.ok().map(|marks| marks.totals())
}

/// The last moment that there is anything of.
pub(super) fn end(study: &Study) -> Elapsed {
    let last = study.replay.moments().last().copied().unwrap_or_default();
    last.max(study.analysis.whole().ended)
}
