//! How long each question takes: the pupil's times, drawn to the group's, drawn to the default.
//!
//! Times are compared as logarithms of their ratio to the default at their place, so that one pace serves short
//! questions and long ones (lognormal response times, van der Linden 2006, *JEBS* 31, 181-204, from memory).

use std::collections::BTreeMap;

use super::weights::ShrinkageWeights;
use crate::analysis::evidence::{Evidence, place};
use crate::cohort::prior_means;
use crate::domain::paper::Paper;
use crate::domain::paper::PaperId;
use crate::domain::rule::QuestionNo;
use crate::stats::shrink::{shrink, weight};
use crate::stats::summary::mean;

/// Places closer than this are told together.
const NEAR: f64 = 0.1;
/// How many times a prior counts for: over all places, near a place, on one question.
const OVERALL: f64 = 10.0;
const LOCAL: f64 = 5.0;
const SINGLE: f64 = 3.0;

/// One question's time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimeEstimate {
    /// The expected time in seconds.
    pub seconds: f64,
    /// Where it comes from.
    pub weights: ShrinkageWeights,
}

/// The times of a paper's questions, in order.
#[derive(Clone, Debug, PartialEq)]
pub struct Times {
    /// Each question's.
    pub questions: Vec<TimeEstimate>,
    /// How many times of the pupil went into them.
    pub own: usize,
    /// How many of other pupils.
    pub group: usize,
    /// How far a single time may be off: SD over mean.
    pub spread: f64,
}

/// A time as a logarithm of its ratio to what was expected.
#[derive(Clone, Copy)]
struct Ratio {
    place: f64,
    /// Of the very paper asked about.
    number: Option<QuestionNo>,
    log: f64,
}

impl Times {
    /// Draws on the pupil's own times and the group's.
    pub fn new(paper: &Paper, own: &[&Evidence], group: &[&Evidence]) -> Self {
        let outline = &paper.outline;
        let target = PaperId::of(outline);
        let share = paper.allowed.as_seconds() / f64::from(outline.questions.max(1));
        let ratios = |all: &[&Evidence]| -> Vec<Ratio> {
            all.iter()
                .flat_map(|one| ratios(one, &target, share))
                .collect()
        };
        let mut group = Layers::new(ratios(group));
        let own_ratios = ratios(own).into_iter().map(|ratio| Ratio {
            log: ratio.log - group.at(ratio.place, ratio.number).0,
            ..ratio
        });
        let mut own = Layers::new(own_ratios.collect());
        let variance = own.variance();
        let questions = outline.numbers().map(|number| {
            let place = place(number, outline.questions);
            let (of_group, group_weight) = group.at(place, Some(number));
            let (of_own, own_weight) = own.at(place, None);
            let default = share * prior_means::time_factor(place);
            TimeEstimate {
                // The mean of a lognormal time lies above its middle.
                seconds: default * middle() * (of_group + of_own + variance / 2.0).exp(),
                weights: ShrinkageWeights {
                    own: own_weight,
                    group: (1.0 - own_weight) * group_weight,
                    default: (1.0 - own_weight) * (1.0 - group_weight),
                },
            }
        });
        Self {
            questions: questions.collect(),
            own: own.ratios.len(),
            group: group.ratios.len(),
            spread: (variance.exp() - 1.0).sqrt(),
        }
    }
}

fn ratios(one: &Evidence, target: &PaperId, share: f64) -> Vec<Ratio> {
    let same = one.paper == *target;
    // A sitting of the same paper may have been given another time; its questions are the same.
    let share = if same { share } else { one.timing.share };
    let of = |seen: &crate::analysis::evidence::Seen| {
        // Whoever answers at a glance is not working.
        let worked = |took: &f64| seen.is_answered() && *took >= one.timing.glance;
        let seconds = seen.seconds.filter(worked)?;
        let expected = share * prior_means::time_factor(seen.place) * middle();
        Some(Ratio {
            place: seen.place,
            number: same.then_some(seen.number),
            log: (seconds / expected).ln(),
        })
    };
    one.answers.iter().filter_map(of).collect()
}

/// The middle of a lognormal time as a share of its mean, with the default's spread.
fn middle() -> f64 {
    (-prior_means::TIME_SPREAD.powi(2) / 2.0).exp()
}

/// Ratios told from the general to the single: over all, near a place, on one question; each layer drawn to
/// the one before.
struct Layers {
    ratios: Vec<Ratio>,
    overall: f64,
    /// What was worked out already, by place (the bits of it) and question: many sittings ask at the same places.
    known: BTreeMap<(u64, Option<QuestionNo>), (f64, f64)>,
}

impl Layers {
    fn new(ratios: Vec<Ratio>) -> Self {
        let overall = drawn(ratios.iter().map(|ratio| ratio.log), OVERALL).0;
        Self {
            ratios,
            overall,
            known: BTreeMap::new(),
        }
    }

    /// The ratio to expect at a place, and the weight that it has.
    fn at(&mut self, place: f64, number: Option<QuestionNo>) -> (f64, f64) {
        let key = (place.to_bits(), number);
        if let Some(known) = self.known.get(&key) {
            return *known;
        }
        let found = self.worked_out(place, number);
        self.known.insert(key, found);
        found
    }

    fn worked_out(&self, place: f64, number: Option<QuestionNo>) -> (f64, f64) {
        let all = weight(self.ratios.len(), OVERALL);
        let near = self
            .ratios
            .iter()
            .filter(|ratio| (ratio.place - place).abs() <= NEAR);
        let (local, near) = drawn(near.map(|ratio| ratio.log - self.overall), LOCAL);
        let same = self
            .ratios
            .iter()
            .filter(|ratio| number.is_some() && ratio.number == number);
        let known = self.overall + local;
        let (single, one) = drawn(same.map(|ratio| ratio.log - known), SINGLE);
        (
            known + single,
            1.0 - (1.0 - all) * (1.0 - near) * (1.0 - one),
        )
    }

    /// The variance of a single time about what is expected, drawn to the default's.
    fn variance(&mut self) -> f64 {
        let logs: Vec<_> = self.ratios.iter().map(|own| (own.log, own.place)).collect();
        let gaps = logs
            .into_iter()
            .map(|(log, place)| (log - self.at(place, None).0).powi(2));
        let default = prior_means::TIME_SPREAD.powi(2);
        default + drawn(gaps.map(|square| square - default), OVERALL).0
    }
}

/// The mean of some values drawn to nothing, which counts for `prior` values; and the weight of the values.
fn drawn(values: impl Iterator<Item = f64>, prior: f64) -> (f64, f64) {
    let values: Vec<f64> = values.collect();
    let weight = weight(values.len(), prior);
    (shrink(mean(&values).unwrap_or(0.0), 0.0, weight), weight)
}
