//! The chance of a mark from a pupil's sittings, in words and as JSON.

use serde::Serialize;

use crate::domain::mark::Mark;
use crate::domain::rule::QuestionNo;
use crate::reports::json::Between;
use crate::reports::text::COLUMNS;
use crate::season::aim::Likely;
use crate::season::estimate::Estimates;
use crate::season::forecast::FEWEST_SITTINGS;
use crate::words::count::counted;
use crate::words::numbers::{fine_percent, plain};
use crate::words::sources::CAUTION;
use crate::words::text::wrap_whole;

/// A pupil's chance, with what it is drawn from.
#[derive(Clone, Debug)]
pub struct OfPupil<'a> {
    /// What the sittings say.
    pub estimates: &'a Estimates,
    /// The chance; nothing where there are too few sittings to say one.
    pub likely: Option<Likely>,
}

#[derive(Serialize)]
pub(super) struct Told<'a> {
    alias: &'a str,
    sittings: usize,
    full_sittings: usize,
    group_sittings: usize,
    declined: Option<String>,
    expected: Option<f64>,
    sd: Option<f64>,
    range_80: Option<Between<f64>>,
    chances: Option<Vec<Single>>,
    caution: &'static str,
}

#[derive(Serialize)]
struct Single {
    number: QuestionNo,
    chance: f64,
}

/// It as JSON.
pub(super) fn told<'a>(of: &OfPupil<'a>) -> Told<'a> {
    let estimates = of.estimates;
    let likely = of.likely.as_ref();
    let singles = |likely: &Likely| {
        let each = likely.chances.iter();
        each.map(|(number, chance)| Single {
            number: *number,
            chance: *chance,
        })
        .collect()
    };
    Told {
        alias: estimates.pupil.as_str(),
        sittings: estimates.sittings,
        full_sittings: estimates.full_sittings,
        group_sittings: estimates.group_sittings,
        declined: likely.is_none().then(|| declined(estimates)),
        expected: likely.map(|likely| likely.expected.0),
        sd: likely.map(|likely| likely.expected.1),
        range_80: likely.map(|likely| likely.range.into()),
        chances: likely.map(singles),
        caution: CAUTION,
    }
}

/// It in words.
pub(super) fn words(of: &OfPupil<'_>, mark: Mark) -> Vec<String> {
    let estimates = of.estimates;
    let Some(likely) = &of.likely else {
        return wrap_whole(&declined(estimates), COLUMNS);
    };
    let (mean, sd) = likely.expected;
    let (low, high) = likely.range;
    let text = format!(
        "From {} of {} ({} of a whole paper) and {} of others: {mean:.1} marks in time on average, \
         give or take {sd:.1} (SD); {} or more in {}. As far as these sittings tell, that chance lies \
         from {} to {} in 8 of 10 cases. \"One more right\" there makes the question least likely to be \
         right a certain one. {CAUTION}",
        counted(estimates.sittings, "marked sitting"),
        estimates.pupil,
        estimates.full_sittings,
        counted(estimates.group_sittings, "sitting"),
        plain(mark),
        fine_percent(likely.chance),
        fine_percent(low),
        fine_percent(high),
    );
    wrap_whole(&text, COLUMNS)
}

fn declined(estimates: &Estimates) -> String {
    let have = match estimates.full_sittings {
        0 => "there is none".to_owned(),
        count => format!("there is {count}"),
    };
    format!(
        "No chance yet for {}: it takes {FEWEST_SITTINGS} marked sittings of a whole paper, and {have} here.",
        estimates.pupil
    )
}
