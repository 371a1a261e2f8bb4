//! What an estimate rests on, as JSON: how many sittings, whose, and how much of it is a default.

use serde::Serialize;

use super::json::Exact;
use crate::season::estimate::{Estimates, ShrinkageWeights};

/// What an estimate rests on.
#[derive(Serialize)]
pub(super) struct Sources {
    sittings: usize,
    full_sittings: usize,
    fresh_sittings: usize,
    answers: usize,
    timed_answers: usize,
    group_sittings: usize,
    group_pupils: usize,
    group_timed_answers: usize,
    calibrated_on: Option<usize>,
    times_withheld: usize,
    sat_before: bool,
    questions_met: usize,
    extra_time_percent: Exact,
    weights: ShrinkageWeights,
}

impl From<&Estimates> for Sources {
    fn from(estimates: &Estimates) -> Self {
        Self {
            sittings: estimates.counted.marked,
            full_sittings: estimates.counted.whole,
            fresh_sittings: estimates.counted.fresh,
            answers: estimates.counted.worked,
            timed_answers: estimates.times.own,
            group_sittings: estimates.group_sittings,
            group_pupils: estimates.group_pupils,
            group_timed_answers: estimates.times.group,
            calibrated_on: (estimates.scale.people > 0).then_some(estimates.scale.people),
            times_withheld: estimates.counted.times_withheld,
            sat_before: estimates.familiarity.is_sat_before(),
            questions_met: estimates.familiarity.met,
            extra_time_percent: Exact(estimates.extra_percent),
            weights: estimates.weights,
        }
    }
}
