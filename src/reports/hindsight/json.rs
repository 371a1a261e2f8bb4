//! Past forecasts beside what came, as JSON: `{pupil, judged, inside, not_forecast, expected: {low, high}, too_few,
//! mean_error, mean_absolute_error, brier, widening, sittings: [{sitting, pupil, paper, started, sittings_before, mark,
//! max, not_forecast, expected, sd, interval_80: {low, high}, inside, awards: [{name, chance, reached}]}], pupils,
//! seasons: [{name, judged, inside, not_forecast, expected, too_few}], bands: [{from, to, count, said, came}],
//! reasons: [{reason, count}], official, caution}`.
//!
//! `expected` of counts is the middle of the binomial distribution, 19 times in 20. Marks are exact strings.

use serde::Serialize;

use super::HindsightReport;
use crate::reports::json::{Between, Exact, written};
use crate::season::hindsight::{
    ChanceBand, ExpectedToHold, JudgedSitting, NotForecast, PastChance, RangesHeld, TrackRecord,
};
use crate::words::sources::CAUTION;

#[derive(Serialize)]
struct HindsightOut<'a> {
    pupil: Option<&'a str>,
    #[serde(flatten)]
    held: HeldOut,
    #[serde(flatten)]
    apart: ApartOut,
    widening: Option<f64>,
    sittings: Vec<JudgedOut<'a>>,
    #[serde(flatten)]
    parts: PartsOut,
    official: bool,
    caution: &'static str,
}

/// The same, part by part.
#[derive(Serialize)]
struct PartsOut {
    pupils: Vec<PartOut>,
    seasons: Vec<PartOut>,
    bands: Vec<BandOut>,
    reasons: Vec<ReasonOut>,
}

/// How far what was said lay from what came.
#[derive(Serialize)]
struct ApartOut {
    mean_error: Option<f64>,
    mean_absolute_error: Option<f64>,
    brier: Option<f64>,
}

#[derive(Serialize)]
struct HeldOut {
    judged: usize,
    inside: usize,
    not_forecast: usize,
    expected: Option<Between<usize>>,
    too_few: bool,
}

#[derive(Serialize)]
struct PartOut {
    name: String,
    #[serde(flatten)]
    held: HeldOut,
}

#[derive(Serialize)]
struct JudgedOut<'a> {
    sitting: &'a str,
    pupil: &'a str,
    paper: &'a str,
    started: String,
    sittings_before: usize,
    mark: Exact,
    max: Exact,
    #[serde(flatten)]
    said: SaidOut<'a>,
}

/// What was said: all null where nothing was.
#[derive(Serialize)]
struct SaidOut<'a> {
    not_forecast: Option<NotForecast>,
    expected: Option<f64>,
    sd: Option<f64>,
    interval_80: Option<Between<Exact>>,
    inside: Option<bool>,
    awards: Vec<PastChanceOut<'a>>,
}

#[derive(Serialize)]
struct PastChanceOut<'a> {
    name: &'a str,
    chance: f64,
    reached: bool,
}

#[derive(Serialize)]
struct BandOut {
    from: f64,
    to: f64,
    count: usize,
    said: f64,
    came: usize,
}

#[derive(Serialize)]
struct ReasonOut {
    reason: NotForecast,
    count: usize,
}

/// The object.
///
/// # Errors
/// What `serde_json` cannot write; with these fields there is nothing of the kind.
pub fn json(told: &HindsightReport<'_>) -> serde_json::Result<String> {
    let record = told.record;
    let errors = record.errors();
    written(&HindsightOut {
        pupil: told.pupil.map(crate::domain::header::Alias::as_str),
        held: record.tally().into(),
        apart: ApartOut {
            mean_error: errors.map(|(mean, _)| mean),
            mean_absolute_error: errors.map(|(_, apart)| apart),
            brier: record.brier(),
        },
        widening: told.widening.map(|widening| widening.factor),
        sittings: record.all().iter().map(sitting).collect(),
        parts: PartsOut {
            pupils: parts(told.pupils()),
            seasons: parts(told.seasons()),
            bands: record.bands().iter().map(band).collect(),
            reasons: record
                .not_forecast()
                .into_iter()
                .map(|(reason, count)| ReasonOut { reason, count })
                .collect(),
        },
        official: false,
        caution: CAUTION,
    })
}

impl From<RangesHeld> for HeldOut {
    fn from(held: RangesHeld) -> Self {
        let expected = held.expected();
        Self {
            judged: held.judged,
            inside: held.inside,
            not_forecast: held.not_forecast,
            expected: expected.map(|(low, high): ExpectedToHold| Between::new(low, high)),
            too_few: held.is_too_few(),
        }
    }
}

fn parts(parts: Vec<(String, TrackRecord)>) -> Vec<PartOut> {
    let part = |(name, record): (String, TrackRecord)| PartOut {
        name,
        held: record.tally().into(),
    };
    parts.into_iter().map(part).collect()
}

fn sitting(one: &JudgedSitting) -> JudgedOut<'_> {
    let said = one.said.as_ref().ok();
    JudgedOut {
        sitting: &one.sitting,
        pupil: one.pupil.as_str(),
        paper: &one.paper,
        started: one.started.to_rfc3339(),
        sittings_before: one.before,
        mark: Exact(one.mark),
        max: Exact(one.max),
        said: SaidOut {
            not_forecast: one.said.as_ref().err().copied(),
            expected: said.map(|said| said.expected.0),
            sd: said.map(|said| said.expected.1),
            interval_80: said.map(|said| said.range.into()),
            inside: said.map(|said| said.inside),
            awards: said.map_or_else(Vec::new, |said| said.awards.iter().map(award).collect()),
        },
    }
}

fn award(own: &PastChance) -> PastChanceOut<'_> {
    PastChanceOut {
        name: &own.name,
        chance: own.chance,
        reached: own.reached,
    }
}

fn band(band: &ChanceBand) -> BandOut {
    BandOut {
        from: band.chances.start,
        to: band.chances.end,
        count: band.count,
        said: band.said,
        came: band.came,
    }
}
