//! What an estimate rests on, in sentences: how many sittings, whose, and how much of it is a default.

use serde::Serialize;

use crate::cohort::prior_means;
use crate::domain::mark::Mark;
use crate::season::estimate::{Estimates, Weights};
use crate::words::count::{counted, counted_as};
use crate::words::numbers::{percent, plain};

/// What stands under every estimate.
pub const CAUTION: &str = "A practice estimate, not an official result.";

/// The sentences under "where it comes from".
pub fn sentences(estimates: &Estimates) -> Vec<String> {
    let pupil = &estimates.pupil;
    let mut said = vec![format!(
        "From {} of {pupil} ({} of a whole paper; {}) and {} of {}.",
        counted(estimates.sittings, "marked sitting"),
        estimates.full_sittings,
        counted_as(
            estimates.level.answers,
            "answer worked out",
            "answers worked out"
        ),
        counted(estimates.group_sittings, "sitting"),
        counted(estimates.level.group_pupils, "other pupil"),
    )];
    said.push(format!(
        "Chances: {} (a normal prior over the pupil's standing, Rasch's curve, a sum over a grid).",
        weighed(estimates.level.weights)
    ));
    said.push(match &estimates.scale.shortage {
        None => format!(
            "Difficulty of each question: measured on {} (conditional maximum likelihood), drawn to its place in the paper by its standard error.",
            counted(estimates.scale.people, "other pupil")
        ),
        Some(why) => format!("Difficulty of each question: by its place in the paper, since {why}."),
    });
    said.push(format!("The default: {}.", prior_means::WORDS));
    if estimates.times_withheld > 0 {
        said.push(format!(
            "Times left out of {}: too many answers were keyed in a batch.",
            counted(estimates.times_withheld, "sitting")
        ));
    }
    if estimates.sat_before {
        said.push(format!(
            "{pupil} has sat this paper before; a second go mostly brings more than this says."
        ));
    }
    if estimates.extra_percent > Mark::ZERO {
        said.push(format!(
            "With extra time of {} %, as in the last timed sitting.",
            plain(estimates.extra_percent)
        ));
    }
    said
}

/// `41 % own, 30 % the group's, 29 % default`.
pub fn weighed(weights: Weights) -> String {
    format!(
        "{} own, {} the group's, {} default",
        percent(weights.own),
        percent(weights.group),
        percent(weights.default)
    )
}

/// The same as JSON.
#[derive(Serialize)]
pub(super) struct Sources {
    sittings: usize,
    full_sittings: usize,
    answers: usize,
    timed_answers: usize,
    group_sittings: usize,
    group_pupils: usize,
    group_timed_answers: usize,
    calibrated_on: Option<usize>,
    times_withheld: usize,
    sat_before: bool,
    extra_time_percent: String,
    weights: Shares,
}

/// Weights as JSON.
#[derive(Serialize)]
pub(super) struct Shares {
    own: f64,
    group: f64,
    default: f64,
}

impl From<Weights> for Shares {
    fn from(weights: Weights) -> Self {
        let Weights {
            own,
            group,
            default,
        } = weights;
        Self {
            own,
            group,
            default,
        }
    }
}

impl From<&Estimates> for Sources {
    fn from(estimates: &Estimates) -> Self {
        Self {
            sittings: estimates.sittings,
            full_sittings: estimates.full_sittings,
            answers: estimates.level.answers,
            timed_answers: estimates.times.own,
            group_sittings: estimates.group_sittings,
            group_pupils: estimates.level.group_pupils,
            group_timed_answers: estimates.times.group,
            calibrated_on: (estimates.scale.people > 0).then_some(estimates.scale.people),
            times_withheld: estimates.times_withheld,
            sat_before: estimates.sat_before,
            extra_time_percent: estimates.extra_percent.to_string(),
            weights: estimates.level.weights.into(),
        }
    }
}
