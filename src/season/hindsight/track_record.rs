//! A group's past forecasts together: how many held, and by how much ranges must widen where too few did.

use std::ops::Range;

use super::held::{FEWEST_JUDGED, RangesHeld, Widening};
use super::{JudgedSitting, NotForecast, PastChance, PastForecast};
use crate::analysis::evidence::Evidence;
use crate::domain::mark::Mark;
use crate::season::estimate::FEWEST_SITTINGS;
use crate::season::mark_range::SHARE;
use crate::stats::{real, share};

/// How many whole sittings, the newest, tell whether ranges are wide enough: a look back costs as much as all the
/// sittings before it, so that over several years of a group it would take minutes.
pub const RECENT: usize = 200;

/// Between these chances lie the bands in which awards are counted.
const BANDS: [f64; 6] = [0.0, 0.15, 0.4, 0.6, 0.85, 1.0];

/// Every past sitting of a group, in order of time, with what would have been said before it.
#[derive(Clone, Debug, Default)]
pub struct TrackRecord {
    all: Vec<JudgedSitting>,
}

/// Chances of awards that lay between two limits, and how often the award came.
#[derive(Clone, Debug, PartialEq)]
pub struct ChanceBand {
    /// Chances from here on, and up to here.
    pub chances: Range<f64>,
    /// How many.
    pub count: usize,
    /// Their mean.
    pub said: f64,
    /// How many of the awards came.
    pub came: usize,
}

impl TrackRecord {
    /// Puts what was looked back at in order.
    pub fn new(all: impl IntoIterator<Item = JudgedSitting>) -> Self {
        let mut all: Vec<_> = all.into_iter().collect();
        all.sort_by(|one, next| {
            let order = |own: &JudgedSitting| (own.started, own.sitting.clone());
            order(one).cmp(&order(next))
        });
        Self { all }
    }

    /// Whether so many of a group's sittings can have a forecast that ranges may have to widen: it costs nothing to know.
    pub fn may_widen(evidence: &[Evidence]) -> bool {
        let mut whole = std::collections::BTreeMap::<_, usize>::new();
        for one in evidence.iter().filter(|one| one.is_whole()) {
            *whole.entry(&one.pupil).or_default() += 1;
        }
        let judged = whole
            .values()
            .map(|count| count.saturating_sub(FEWEST_SITTINGS));
        judged.sum::<usize>() >= FEWEST_JUDGED
    }

    /// The sittings, oldest first.
    pub fn all(&self) -> &[JudgedSitting] {
        &self.all
    }

    /// Those that a condition leaves.
    #[must_use]
    pub fn only(&self, of: impl Fn(&JudgedSitting) -> bool) -> Self {
        let those = self.all.iter().filter(|one| of(one));
        Self {
            all: those.cloned().collect(),
        }
    }

    fn said(&self) -> impl Iterator<Item = (&JudgedSitting, &PastForecast)> {
        let all = self.all.iter();
        all.filter_map(|one| Some((one, one.said.as_ref().ok()?)))
    }

    /// How many ranges held.
    pub fn tally(&self) -> RangesHeld {
        let judged = self.said().count();
        RangesHeld {
            judged,
            inside: self.said().filter(|(_, said)| said.inside).count(),
            not_forecast: self.all.len() - judged,
        }
    }

    /// How many sittings have no forecast, by reason.
    pub fn not_forecast(&self) -> Vec<(NotForecast, usize)> {
        let reasons = self.all.iter().filter_map(|one| one.said.as_ref().err());
        let mut counts = std::collections::BTreeMap::new();
        for reason in reasons {
            *counts.entry(*reason).or_default() += 1;
        }
        counts.into_iter().collect()
    }

    /// The mean of what came less what was said, and of how far they lay apart, in marks.
    pub fn errors(&self) -> Option<(f64, f64)> {
        let errors = self
            .said()
            .map(|(one, said)| one.mark.to_f64() - said.expected.0);
        let errors: Vec<f64> = errors.collect();
        let count = real(errors.len());
        let mean = |sum: f64| sum / count;
        (!errors.is_empty()).then(|| {
            let apart = errors.iter().map(|error| error.abs()).sum();
            (mean(errors.iter().sum()), mean(apart))
        })
    }

    /// The chances of awards, in bands; a band with none is left out.
    pub fn bands(&self) -> Vec<ChanceBand> {
        let awards: Vec<&PastChance> = self.said().flat_map(|(_, said)| &said.awards).collect();
        let limits = BANDS.iter().zip(BANDS.iter().skip(1));
        let band = |(from, to): (&f64, &f64)| {
            let is_last = *to >= 1.0;
            let within = |own: &&&PastChance| own.chance >= *from && (own.chance < *to || is_last);
            let own: Vec<_> = awards.iter().filter(within).collect();
            let sum: f64 = own.iter().map(|own| own.chance).sum();
            (!own.is_empty()).then(|| ChanceBand {
                chances: *from..*to,
                count: own.len(),
                said: sum / real(own.len()),
                came: own.iter().filter(|own| own.reached).count(),
            })
        };
        limits.filter_map(band).collect()
    }

    /// The mean squared error of the awards' chances (Brier 1950, *Monthly Weather Review* 78, 1-3, from memory).
    pub fn brier(&self) -> Option<f64> {
        let awards = self.said().flat_map(|(_, said)| &said.awards);
        let score = |own: &PastChance| (own.chance - f64::from(u8::from(own.reached))).powi(2);
        let scores: Vec<f64> = awards.map(score).collect();
        (!scores.is_empty()).then(|| scores.iter().sum::<f64>() / real(scores.len()))
    }

    /// By how much ranges are to be widened; nothing while too few forecasts are known or enough of them held.
    ///
    /// A range then reaches as many times as far from the mean as would have held 8 in 10 of these marks and of the one
    /// to come (split conformal prediction: Lei and others 2018, *Journal of the American Statistical Association* 113,
    /// 1094-1111, from memory).
    ///
    /// The newest [`RECENT`] whole sittings tell, however many there are.
    pub fn widening(&self) -> Option<Widening> {
        let is_whole = |one: &&JudgedSitting| one.said != Err(NotForecast::NotWhole);
        let whole = self.all.iter().rev().filter(is_whole).take(RECENT);
        let mut recent: Vec<_> = whole.cloned().collect();
        recent.reverse();
        Self { all: recent }.widening_of_all()
    }

    fn widening_of_all(&self) -> Option<Widening> {
        let seen = self.tally();
        if !seen.is_too_few() {
            return None;
        }
        let mut reaches: Vec<f64> = self
            .said()
            .map(|(one, said)| reach(one.mark, said))
            .collect();
        reaches.sort_by(f64::total_cmp);
        let wanted = (1..=reaches.len())
            .find(|count| share(*count, reaches.len() + 1) >= SHARE)
            .unwrap_or(reaches.len());
        let factor = reaches.get(wanted.checked_sub(1)?)?.max(1.0);
        Some(Widening { factor, seen })
    }
}

/// How many times as far from the mean as its range goes on that side a mark lies.
fn reach(mark: Mark, said: &PastForecast) -> f64 {
    let mean = said.expected.0;
    let end = if mark.to_f64() >= mean {
        said.range.1
    } else {
        said.range.0
    };
    // A range of one mark still takes in what rounds to it.
    let room = (end.to_f64() - mean).abs().max(0.5);
    (mark.to_f64() - mean).abs() / room
}

#[cfg(test)]
mod tests;
