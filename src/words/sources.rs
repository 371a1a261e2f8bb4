//! What an estimate rests on: how many sittings, whose, and how much of it is a default.

use crate::domain::mark::Mark;
use crate::season::estimate::{Estimates, ShrinkageWeights};
use crate::words::count::{counted, counted_as};
use crate::words::numbers::{in_percent, percent, plain};

/// What stands under every estimate.
pub const CAUTION: &str = "A practice estimate, not an official result.";

/// The heading over what an estimate comes from.
pub const WHERE_IT_COMES_FROM: &str = "Where it comes from";

/// What `cohort::prior_means` takes for granted.
const DEFAULT: &str = "The default: questions that get steadily harder and slower, of which an average pupil gets \
9 in 10 right at the start and 2 in 10 at the end, in just the time allowed.";

/// The sentences under [`WHERE_IT_COMES_FROM`].
pub fn sentences(estimates: &Estimates) -> Vec<String> {
    let pupil = &estimates.pupil;
    let mut said = vec![format!(
        "From {} of {pupil} ({} of a whole paper; {}) and {} of {}.",
        counted(estimates.sittings, "marked sitting"),
        estimates.full_sittings,
        counted_as(
            estimates.ability.answers,
            "answer worked out",
            "answers worked out"
        ),
        counted(estimates.group_sittings, "sitting"),
        counted(estimates.ability.group_pupils, "other pupil"),
    )];
    said.push(format!(
        "Chances: {} (Rasch model, with a normal prior for how good the pupil is).",
        weighed(estimates.ability.weights)
    ));
    said.push(match &estimates.scale.shortage {
        None => format!(
            "Difficulty of each question: measured on {} (conditional maximum likelihood), drawn to its place in the paper by its standard error.",
            counted(estimates.scale.people, "other pupil")
        ),
        Some(why) => format!("Difficulty of each question: by its place in the paper, because {why}."),
    });
    said.push(DEFAULT.to_owned());
    if estimates.times_withheld > 0 {
        said.push(format!(
            "Times of {} left out: too many answers were entered in batches.",
            counted(estimates.times_withheld, "sitting")
        ));
    }
    if estimates.sat_before {
        said.push(format!(
            "{pupil} has sat this paper before; a second time usually brings more than this says."
        ));
    }
    if estimates.extra_percent > Mark::ZERO {
        said.push(format!(
            "With extra time of {}, as in the last timed sitting.",
            in_percent(plain(estimates.extra_percent))
        ));
    }
    said
}

/// `41% own, 30% the group's, 29% default`.
fn weighed(weights: ShrinkageWeights) -> String {
    format!(
        "{} own, {} the group's, {} default",
        percent(weights.own),
        percent(weights.group),
        percent(weights.default)
    )
}
