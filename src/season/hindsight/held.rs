//! How many ranges held, whether that is too few, and by how much ranges must then widen.

use crate::season::mark_range::SHARE;
use crate::stats::significance::{at_least, at_most};

/// Fewer forecasts than this are too few to judge by.
pub const FEWEST_JUDGED: usize = 10;
/// Too few held where so few or fewer would by chance be as rare as this.
const LEVEL: f64 = 0.05;
/// How often the number that held lies in the range that is to be expected.
const EXPECTED: f64 = 0.95;

/// How many sittings there were, and how many ranges held.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct RangesHeld {
    /// Sittings with a forecast.
    pub judged: usize,
    /// Those whose mark lay inside its range.
    pub inside: usize,
    /// Sittings without a forecast.
    pub not_forecast: usize,
}

/// How many of some ranges are to be expected to hold, at the least and at the most.
pub type ExpectedToHold = (usize, usize);

/// By how much ranges are to be widened.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Widening {
    /// How many times as far as was said a range must reach from its middle.
    pub factor: f64,
    /// What was seen.
    pub seen: RangesHeld,
}

impl RangesHeld {
    /// How many are to be expected inside: the middle of the binomial distribution, 19 times in 20. It takes sittings for
    /// independent; those of a group on one paper are less so.
    pub fn expected(self) -> Option<ExpectedToHold> {
        let outside = (1.0 - EXPECTED) / 2.0;
        let mut counts = 0..=self.judged;
        let low = counts.find(|count| {
            at_most(*count, self.judged, SHARE).is_some_and(|chance| chance > outside)
        })?;
        let high = (low..=self.judged).rev().find(|count| {
            at_least(*count, self.judged, SHARE).is_some_and(|chance| chance > outside)
        })?;
        (self.judged > 0).then_some((low, high))
    }

    /// Whether so few held that it is no chance: one side, 5%, of ten forecasts or more.
    pub fn is_too_few(self) -> bool {
        self.judged >= FEWEST_JUDGED
            && at_most(self.inside, self.judged, SHARE).is_some_and(|chance| chance < LEVEL)
    }
}
