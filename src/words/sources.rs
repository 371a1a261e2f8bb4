//! What an estimate rests on: how many sittings, whose, and how much of it is a default.

use crate::domain::mark::Mark;
use crate::domain::standing::Exclusion;
use crate::season::estimate::{Counted, Estimates, ShrinkageWeights};
use crate::words::count::{counted, counted_as};
use crate::words::numbers::{in_percent, percent, plain};

/// What stands under every estimate.
pub const CAUTION: &str = "A practice estimate, not an official result.";

/// The heading over what an estimate comes from.
pub const WHERE_IT_COMES_FROM: &str = "Where it comes from";

/// What `cohort::prior_means` takes for granted.
const DEFAULT: &str = "The default: questions that get steadily harder and slower, of which an average pupil gets \
9 in 10 right at the start and 2 in 10 at the end, in just the time allowed.";

/// How guesses are told from answers that were worked out.
const GUESSES: &str = "Answers said or filled as guesses are not taken as worked out, nor are those given at a glance \
(under 10 seconds, or a tenth of the usual time if that is less). Where times can't be trusted, only guesses that were \
said can be told.";

/// The sentences under [`WHERE_IT_COMES_FROM`].
pub fn sentences(estimates: &Estimates) -> Vec<String> {
    let (pupil, own) = (&estimates.pupil, &estimates.counted);
    let mut said = vec![format!(
        "From {} of {pupil} ({} of a whole paper; {}) and {} of {}.",
        counted(own.marked, "marked sitting"),
        own.whole,
        counted_as(own.worked, "answer worked out", "answers worked out"),
        counted(estimates.group_sittings, "sitting"),
        counted(estimates.group_pupils, "other pupil"),
    )];
    said.extend(set_apart(own));
    said.push(GUESSES.to_owned());
    said.push(format!(
        "How good the pupil is: {} (Rasch model, with a normal prior, practice and day-to-day change).",
        weighed(estimates.weights)
    ));
    said.push(match &estimates.scale.shortage {
        None => format!(
            "Difficulty of each question: measured on {} (conditional maximum likelihood), drawn to its place in the paper by its standard error.",
            counted(estimates.scale.people, "other pupil")
        ),
        Some(why) => format!("Difficulty of each question: by its place in the paper, because {why}."),
    });
    said.push(DEFAULT.to_owned());
    if own.times_withheld > 0 {
        said.push(format!(
            "Times of {} left out: too many answers were entered in batches.",
            counted(own.times_withheld, "sitting")
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

/// The pupil's sittings that count for less, or not at all.
fn set_apart(own: &Counted) -> Vec<String> {
    let again = own.whole - own.fresh;
    let mut said = Vec::new();
    if again > 0 {
        said.push(format!(
            "{} on questions met before, which count as a little easier.",
            counted(again, "sitting")
        ));
    }
    said.extend(not_counted(own));
    said
}

/// Which of the pupil's sittings do not count, and why.
pub(super) fn not_counted(own: &Counted) -> Vec<String> {
    let mut said = Vec::new();
    let of = |reason: Exclusion| own.left_out.iter().filter(|own| **own == reason).count();
    for (reason, what) in [
        (Exclusion::Part, "only a part of the paper was sat"),
        (
            Exclusion::ShortTime,
            "less than the paper's own time was given",
        ),
    ] {
        let count = of(reason);
        if count > 0 {
            said.push(format!(
                "Not counted: {}, since {what}.",
                counted(count, "sitting")
            ));
        }
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
