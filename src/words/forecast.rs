//! A forecast in words.

use crate::domain::mark::Mark;
use crate::season::estimate::{Estimates, FEWEST_SITTINGS};
use crate::season::forecast::{AwardChance, BoundarySource, Forecast};
use crate::words::another_day::would_be;
use crate::words::count::{counted, counted_as};
use crate::words::numbers::{plain, short};
use crate::words::sources::not_counted;

/// How the distribution comes about.
pub const METHOD: &str = "exact mark distribution, averaged over how good the pupil is, the day, how far they get and where the boundaries may lie";

/// The heading over the distribution.
pub const HOW_IT_MAY_FALL: &str = "How the mark may fall";

/// A day's spread above this is more than most pupils have (SD in logits; common practice, no source).
const JUMPS: f64 = 0.5;

/// That there are too few sittings for a forecast.
pub fn no_forecast(estimates: &Estimates) -> String {
    too_few("forecast", estimates)
}

/// That there are too few sittings for a plan.
pub fn no_plan(estimates: &Estimates) -> String {
    too_few("plan", estimates)
}

/// That there are too few sittings for the chance of a mark.
pub fn no_chance(estimates: &Estimates) -> String {
    too_few("chance", estimates)
}

fn too_few(what: &str, estimates: &Estimates) -> String {
    let counted = &estimates.counted;
    if counted.fresh >= FEWEST_SITTINGS {
        return format!(
            "No {what} yet for {}: no answer so far was worked out. Guesses and answers given at a glance don't count.",
            estimates.pupil
        );
    }
    let have = match (counted.whole, counted.fresh) {
        (0, _) if !counted.left_out.is_empty() => "none here counts".to_owned(),
        (0, _) => "there is none here".to_owned(),
        (2, 1) => "both here are on the same questions".to_owned(),
        (whole, 1) if whole > 1 => format!("all {whole} here are on the same questions"),
        (_, fresh) => format!("there is {fresh} here"),
    };
    let said = format!(
        "No {what} yet for {}: it takes {FEWEST_SITTINGS} marked sittings of whole papers with different questions, and {have}.",
        estimates.pupil
    );
    let all: Vec<_> = [said].into_iter().chain(not_counted(counted)).collect();
    all.join(" ")
}

/// That an estimate rests on very few answers, where it does.
pub fn rests_on_few(estimates: &Estimates) -> Option<String> {
    let worked = counted_as(
        estimates.counted.worked,
        "answer that was",
        "answers that were",
    );
    estimates.rest_on_few().then(|| {
        format!(
            "This rests on only {worked} worked out. It says little about {}: most of it is what pupils usually do.",
            estimates.pupil
        )
    })
}

/// The mark to expect, and between which marks it lies; then the plain average and what else has to be known.
pub fn mark(forecast: &Forecast, estimates: &Estimates) -> Vec<String> {
    let (expected, _) = forecast.expected();
    let max = plain(forecast.max);
    let mut lines = vec![format!("Mark in time: about {expected:.0} of {max}.")];
    if let Some(range) = forecast.range() {
        lines.push(format!("{}.", would_be("it", range)));
    }
    if let Some(average) = estimates.counted.average_of(forecast.max) {
        let more = if expected - average >= 0.5 {
            "; practice usually adds a little"
        } else {
            ""
        };
        lines.push(format!(
            "Their average over all papers so far is {}{more}.",
            short(average, 0)
        ));
    }
    if estimates.model.level.day() > JUMPS {
        lines.push("Their results jump more than most, so the range is wide.".to_owned());
    }
    lines.extend(met(forecast, estimates));
    lines
}

/// What is said of questions that were met before.
fn met(forecast: &Forecast, estimates: &Estimates) -> Option<String> {
    let (met, asked) = (estimates.familiarity.met, estimates.familiarity.asked);
    let were = counted_as(met, "question was", "questions were");
    match forecast.met_expected {
        Some(expected) => Some(format!(
            "{} has met {met} of its {} before. This is for new questions of the same kind; on these it may be about {expected:.0}, but that is untested.",
            estimates.pupil,
            counted(asked, "question"),
        )),
        None if met > 0 => Some(format!(
            "{were} met before. Questions met before count as a little easier."
        )),
        None => None,
    }
}

/// What the chances are of, and which boundaries they take.
pub fn chances(awards: &[AwardChance]) -> &'static str {
    if awards
        .iter()
        .any(|award| award.lines == BoundarySource::Own)
    {
        "The chance of that award or a better one. No past boundaries are known. The paper's own are treated as certain, so the chances are less certain than they look."
    } else {
        "The chance of that award or a better one. Each past year's boundary counts equally."
    }
}

/// `boundary 73 to 78 in 4 past years`.
pub fn boundaries(award: &AwardChance) -> String {
    let mut all: Vec<Mark> = award.boundaries.clone();
    all.sort_unstable();
    let span = match (all.first(), all.last()) {
        (Some(low), Some(high)) if low != high => format!("{} to {}", plain(*low), plain(*high)),
        (Some(only), _) => plain(*only),
        _ => String::new(),
    };
    match award.lines {
        BoundarySource::Own => format!("boundary {span}, the paper's own"),
        BoundarySource::Past if all.len() == 1 => format!("boundary {span} in 1 past year"),
        BoundarySource::Past => format!("boundary {span} in {} past years", all.len()),
    }
}
