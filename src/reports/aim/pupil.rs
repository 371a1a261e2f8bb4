//! The chance of a mark from a pupil's sittings, in words and as JSON.

use serde::Serialize;

use crate::domain::mark::Mark;
use crate::domain::rule::QuestionNo;
use crate::reports::forecast::widened;
use crate::reports::json::Between;
use crate::reports::text::COLUMNS;
use crate::season::aim::Likely;
use crate::season::estimate::Estimates;
use crate::words::aim::chance_of_pupil;
use crate::words::forecast::no_chance;
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
pub(super) struct PupilOut<'a> {
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
pub(super) fn told<'a>(of: &OfPupil<'a>) -> PupilOut<'a> {
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
    PupilOut {
        alias: estimates.pupil.as_str(),
        sittings: estimates.counted.marked,
        full_sittings: estimates.counted.whole,
        group_sittings: estimates.group_sittings,
        declined: likely.is_none().then(|| no_chance(estimates)),
        expected: likely.map(|likely| likely.expected.0),
        sd: likely.map(|likely| likely.expected.1),
        range_80: None,
        chances: likely.map(singles),
        caution: CAUTION,
    }
}

/// It in words.
pub(super) fn words(of: &OfPupil<'_>, mark: Mark) -> Vec<String> {
    let estimates = of.estimates;
    let Some(likely) = &of.likely else {
        return wrap_whole(&no_chance(estimates), COLUMNS);
    };
    let mut lines = widened(estimates);
    lines.extend(wrap_whole(
        &chance_of_pupil(estimates, likely, mark),
        COLUMNS,
    ));
    lines
}
