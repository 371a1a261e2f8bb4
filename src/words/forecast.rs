//! A forecast in words.

use crate::domain::mark::Mark;
use crate::season::estimate::Estimates;
use crate::season::forecast::{AwardChance, BoundarySource, FEWEST_SITTINGS, Forecast};
use crate::words::numbers::plain;

/// How the distribution comes about.
pub const METHOD: &str = "exact mark distribution (Poisson-binomial), mixed over the pupil's standing, reach and day and over the boundaries";

/// The heading over the distribution.
pub const HOW_IT_MAY_FALL: &str = "How the mark may fall";

/// That there are too few sittings for a forecast.
pub fn no_forecast(estimates: &Estimates) -> String {
    too_few("forecast", estimates)
}

/// That there are too few sittings for the chance of a mark.
pub fn no_chance(estimates: &Estimates) -> String {
    too_few("chance", estimates)
}

fn too_few(what: &str, estimates: &Estimates) -> String {
    let have = match estimates.full_sittings {
        0 => "there is none".to_owned(),
        count => format!("there is {count}"),
    };
    format!(
        "No {what} yet for {}: it takes {FEWEST_SITTINGS} marked sittings of a whole paper, and {have} here.",
        estimates.pupil
    )
}

/// The mark to expect, and between which marks it lies.
pub fn mark(forecast: &Forecast) -> Vec<String> {
    let (expected, _) = forecast.expected();
    let max = plain(forecast.max);
    let mut lines = vec![format!("Mark in time: about {expected:.0} of {max}.")];
    if let Some((low, high)) = forecast.range() {
        lines.push(format!(
            "In 8 out of 10 such sittings it is between {} and {}.",
            plain(low),
            plain(high)
        ));
    }
    lines
}

/// What the chances are of, and which boundaries they take.
pub fn chances(awards: &[AwardChance]) -> &'static str {
    if awards
        .iter()
        .any(|award| award.lines == BoundarySource::Own)
    {
        "The chance of that award or a better one, with its range in brackets. No past boundaries are known. The paper's own are treated as certain, so the chances are less certain than they look."
    } else {
        "The chance of that award or a better one, with its range in brackets. Each past year's boundary counts equally."
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
