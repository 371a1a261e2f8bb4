//! What a dialogue keeps: what was asked and what was announced.

use super::announced::Announced;
use super::confirm::{Confirm, Pending};
use super::scene::Scene;
use crate::domain::sitting::{Phase, Sitting};
use crate::domain::time::Elapsed;
use crate::words::sitting::Said;

/// Nothing said sooner than this after time was up, or after the sitting goes on then, counts: it
/// was meant for the page before.
const DEAF: Elapsed = Elapsed::seconds(1);

/// The same for what comes before anybody was told what can be done then. Where a line began cannot be
/// seen, only where it ended: one that ends later than this was not typed in time.
const DEAF_UNTIL_TOLD: Elapsed = Elapsed::seconds(2);

/// A sitting as steps: what was asked and what was announced, as far as it matters.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Dialogue {
    pub(super) pending: Option<Pending>,
    pub(super) announced: Announced,
}

impl Dialogue {
    /// Begins at a moment of a sitting, new or taken up again.
    pub fn begin(at: &Scene<'_>) -> Self {
        Self {
            pending: None,
            announced: Announced::by(at),
        }
    }

    /// What a [`Move::Confirm`](super::Move::Confirm) would do now.
    pub fn asked(&self, at: &Scene<'_>) -> Option<Confirm> {
        self.pending?.holds_in(at.phase())
    }

    /// Drops what was asked without a word: something else was done that is no move.
    pub const fn forget(&mut self) {
        self.pending = None;
    }

    /// Time up and what to do about the blanks has been shown, so that what comes next counts.
    pub const fn told_of_time_up(&mut self) {
        self.announced.time_up = true;
        self.announced.asked_after_time = true;
    }

    /// Whether the next thing said, whatever it is, does not count: time up was not announced yet, or
    /// so short a while ago that it was begun in time.
    pub fn owes_time_up(&self, at: &Scene<'_>) -> bool {
        let up = at.phase() == Phase::TimeUp;
        let deaf = match (self.announced.time_up, self.announced.asked_after_time) {
            (_, true) => DEAF,
            (true, false) => DEAF_UNTIL_TOLD,
            (false, false) => return up || at.is_time_up_due(),
        };
        (up && at.at < at.sitting.latest() + deaf) || at.is_time_up_due()
    }

    /// Whether time up was announced, and not yet what can be done now.
    pub fn has_more_to_tell(&self, at: &Scene<'_>) -> bool {
        at.phase() == Phase::TimeUp && !self.announced.asked_after_time
    }

    /// The next thing that is due by itself, if any; called again until there is none.
    pub fn due(&mut self, at: &Scene<'_>) -> Option<Said> {
        self.announced.due(at)
    }

    /// When [`Dialogue::due`] will next have something to say by itself; nothing while the clock
    /// is stopped.
    pub fn wake(&self, sitting: &Sitting) -> Option<Elapsed> {
        self.announced.wake(sitting)
    }
}
