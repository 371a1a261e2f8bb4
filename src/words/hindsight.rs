//! What past forecasts said beside what came, in words.

use crate::domain::mark::Mark;
use crate::season::hindsight::{
    ChanceBand, ExpectedToHold, FEWEST_JUDGED, NotForecast, RangesHeld, Widening,
};
use crate::words::count::{agree, counted};
use crate::words::numbers::{decimals, percent, plain, short};

/// The first line.
pub fn title(pupil: Option<&str>) -> String {
    format!("Hindsight: {}", pupil.unwrap_or("the whole group"))
}

/// What the page is.
pub const WHAT_IT_IS: &str = "What a forecast would have said before each sitting, from the sittings before it, and the mark in time that came. Questions met before count as easier.";

/// The heads of a pupil's table.
pub const HEADS: [&str; 7] = ["Date", "Paper", "Before", "Said", "8 in 10", "Came", ""];

/// The heads of the tables of pupils and seasons.
pub const GROUP_HEADS: [&str; 5] = ["", "Forecasts", "Inside", "To be expected", "No forecast"];

/// What the group's rows of pupils are under.
pub const BY_PUPIL: &str = "By pupil";

/// What the rows of seasons are under.
pub const BY_SEASON: &str = "By season";

/// What the chances of awards are under.
pub const AWARDS: &str = "Chances of an award";

/// The heads of the table of chances.
pub const BAND_HEADS: [&str; 4] = ["Chance", "Said", "Said on average", "Came true"];

/// Whether a mark lay in its range.
pub const fn inside(inside: bool) -> &'static str {
    if inside { "inside" } else { "outside" }
}

/// `62 to 99`.
pub fn range((low, high): (Mark, Mark)) -> String {
    format!("{} to {}", plain(low), plain(high))
}

/// `7 to 10`; `all` stand between what was to be expected.
pub fn expected((low, high): ExpectedToHold) -> String {
    if low == high {
        low.to_string()
    } else {
        format!("{low} to {high}")
    }
}

/// `2026/27`.
pub fn season(begins: i32) -> String {
    format!("{begins}/{:02}", (begins + 1).rem_euclid(100))
}

/// How many ranges held, and how many should have.
pub fn held(held: RangesHeld) -> String {
    let RangesHeld { judged, inside, .. } = held;
    let Some(span) = held.expected() else {
        return "There's no past sitting with a forecast yet.".to_owned();
    };
    let verdict = if held.is_too_few() {
        " That's too few to be chance."
    } else if judged < FEWEST_JUDGED {
        " With so few, that says little."
    } else {
        ""
    };
    format!(
        "{inside} of {} lay inside the range. If ranges hold 8 in 10, expect {} (19 times in 20).{verdict}",
        counted(judged, "mark"),
        expected(span)
    )
}

/// How far what was said and what came lie apart.
pub fn errors((mean, apart): (f64, f64)) -> String {
    let side = if mean < 0.0 { "lower" } else { "higher" };
    let mean = decimals(mean.abs(), 1);
    let apart = decimals(apart, 1);
    format!(
        "On average the mark was {mean} {side} than the forecast, and {apart} away from it in one direction or the other."
    )
}

/// How good the chances of awards were.
pub fn brier(score: f64) -> String {
    format!(
        "Brier score {}: 0 is perfect, and always saying 5 in 10 gives 0.25.",
        decimals(score, 3)
    )
}

/// The limits of a band: `under 15%`, `15% to 40%`, `85% or more`.
pub fn band(band: &ChanceBand) -> String {
    let (from, to) = (band.chances.start, band.chances.end);
    if from <= 0.0 {
        format!("under {}", percent(to))
    } else if to >= 1.0 {
        format!("{} or more", percent(from))
    } else {
        format!("{} to {}", percent(from), percent(to))
    }
}

/// `12 of 15`.
pub fn of(count: usize, all: usize) -> String {
    format!("{count} of {all}")
}

/// Why a sitting has no forecast, in a row.
pub const fn no_forecast(reason: NotForecast) -> &'static str {
    match reason {
        NotForecast::NotWhole => "part or short time",
        NotForecast::TooFew => "too few before",
        NotForecast::NoPaper => "paper not found",
        NotForecast::TooFine => "marks too fine",
    }
}

/// How many sittings have no forecast, and why.
pub fn not_forecast(reason: NotForecast, count: usize) -> String {
    let sittings = counted(count, "sitting");
    let why = match reason {
        NotForecast::NotWhole => format!(
            "{} on a part of the paper or given less than its time",
            agree(count, "it was", "they were")
        ),
        NotForecast::TooFew => "too few whole sittings of the pupil came before".to_owned(),
        NotForecast::NoPaper => {
            "the paper can't be found; put its .paper.ron beside the sittings or in sample-papers"
                .to_owned()
        }
        NotForecast::TooFine => {
            "the paper's marks are too fine; use simpler fractions in its rule".to_owned()
        }
    };
    format!("No forecast for {sittings}: {why}.")
}

/// That forecasts of this group are widened, where they are read.
pub fn widened(widening: &Widening) -> String {
    let RangesHeld { judged, inside, .. } = widening.seen;
    format!(
        "In this group only {inside} of {judged} past marks lay inside the forecast's range, so ranges here are {} times as wide.",
        short(widening.factor, 1)
    )
}

/// The same where the record itself is read.
pub fn will_widen(widening: &Widening) -> String {
    format!(
        "Forecasts of this group say so first, and make their ranges {} times as wide.",
        short(widening.factor, 1)
    )
}
