//! A forecast as a page and as JSON.
//!
//! JSON: `{pupil, paper, declined, max, expected, sd, interval_80: {low, high}, awards: [{name, chance, words,
//! range_80, boundaries, boundaries_from: "past"|"own"}], marks: [{marks, chance}], average, expected_if_met, sources:
//! {sittings, full_sittings, fresh_sittings, answers, timed_answers, group_sittings, group_pupils,
//! group_timed_answers, calibrated_on, times_withheld, sat_before, questions_met, extra_time_percent, weights: {own,
//! group, default}}, widening, method, caution}`. Marks are exact strings. `average` is the plain one of the marks so far, on a
//! paper of this most; `expected_if_met` is null unless at least half of the paper was met. `range_80` of a chance is
//! always null: no range of a chance held. `widening` is how many times as wide the range was
//! made, since too few of the group's forecasts held, else null. Where a forecast is declined, `declined` has the sentence and every figure
//! of the forecast is null.

use chrono::NaiveDate;
use serde::Serialize;

use super::chances::histogram;
use super::json::{Between, Exact, MarkChance, written};
use super::sources::Sources;
use super::text::COLUMNS;
use crate::domain::mark::Mark;
use crate::domain::paper::Paper;
use crate::season::estimate::Estimates;
use crate::season::forecast::{AwardChance, BoundarySource, Forecast};
use crate::words::forecast as words;
use crate::words::guess::caution_first;
use crate::words::hindsight;
use crate::words::numbers::in_ten;
use crate::words::sources::{CAUTION, WHERE_IT_COMES_FROM, sentences};
use crate::words::text::{Side, clean, columns, cut, wrap_whole};

/// Why there is no forecast, where there is none.
pub fn declined(estimates: &Estimates) -> Option<String> {
    (!estimates.are_enough()).then(|| words::no_forecast(estimates))
}

/// That ranges and chances are widened, before everything else, where they are.
pub(super) fn widened(estimates: &Estimates) -> Vec<String> {
    let widening = estimates.model.widening.filter(|_| estimates.are_enough());
    widening.map_or_else(Vec::new, |widening| {
        wrap_whole(&hindsight::widened(&widening), COLUMNS)
    })
}

/// That there are very few answers, before everything else that is made from them.
pub(super) fn few(estimates: &Estimates) -> Vec<String> {
    let said = words::rests_on_few(estimates);
    let lines = said.map(|said| {
        wrap_whole(&said, COLUMNS)
            .into_iter()
            .chain([String::new()])
    });
    lines.into_iter().flatten().collect()
}

/// The page.
pub fn page(
    paper: &Paper,
    estimates: &Estimates,
    forecast: &Forecast,
    notes: &[String],
    today: NaiveDate,
) -> String {
    let mut lines = widened(estimates);
    lines.extend([
        cut(
            &format!("Forecast: {}, {}", estimates.pupil, paper.outline.title),
            COLUMNS,
        ),
        CAUTION.to_owned(),
        String::new(),
    ]);
    lines.extend(caution_first(&paper.outline, today, COLUMNS));
    for note in notes {
        lines.extend(wrap_whole(&format!("! {}", clean(note)), COLUMNS));
    }
    if let Some(declined) = declined(estimates) {
        lines.extend(wrap_whole(&declined, COLUMNS));
        return lines.join("\n") + "\n";
    }
    lines.extend(few(estimates));
    lines.extend(told(forecast, estimates));
    lines.push(String::new());
    lines.push(WHERE_IT_COMES_FROM.into());
    let said = sentences(estimates)
        .into_iter()
        .chain([format!("Method: {}.", words::METHOD)]);
    lines.extend(
        said.flat_map(|sentence| wrap_whole(&clean(&sentence), COLUMNS - 2))
            .map(|line| format!("  {line}")),
    );
    lines.join("\n") + "\n"
}

fn told(forecast: &Forecast, estimates: &Estimates) -> Vec<String> {
    let said = words::mark(forecast, estimates);
    let mut lines: Vec<String> = said
        .iter()
        .flat_map(|sentence| wrap_whole(sentence, COLUMNS))
        .collect();
    lines.push(String::new());
    if !forecast.awards.is_empty() {
        let rows: Vec<Vec<String>> = forecast.awards.iter().map(award_row).collect();
        lines.extend(
            columns(&[Side::Left; 3], &rows)
                .into_iter()
                .map(|line| format!("  {line}")),
        );
        lines.extend(wrap_whole(words::chances(&forecast.awards), COLUMNS));
        lines.push(String::new());
    }
    lines.push(words::HOW_IT_MAY_FALL.into());
    let signs: Vec<(&str, &[Mark])> = forecast
        .awards
        .iter()
        .map(|award| (award.name.as_str(), award.boundaries.as_slice()))
        .collect();
    lines.extend(histogram(&forecast.marks, forecast.grid, &signs));
    lines
}

fn award_row(award: &AwardChance) -> Vec<String> {
    vec![
        cut(&award.name, 14),
        in_ten(award.chance),
        words::boundaries(award),
    ]
}

#[derive(Serialize)]
struct ForecastOut<'a> {
    pupil: &'a str,
    paper: &'a str,
    declined: Option<String>,
    max: Exact,
    #[serde(flatten)]
    outlook: OutlookOut<'a>,
    sources: Sources,
    widening: Option<f64>,
    method: &'static str,
    caution: &'static str,
}

/// All null where the forecast is declined.
#[derive(Default, Serialize)]
struct OutlookOut<'a> {
    expected: Option<f64>,
    sd: Option<f64>,
    interval_80: Option<Between<Exact>>,
    awards: Option<Vec<AwardChanceOut<'a>>>,
    marks: Option<Vec<MarkChance>>,
    average: Option<f64>,
    expected_if_met: Option<f64>,
}

#[derive(Serialize)]
struct AwardChanceOut<'a> {
    name: &'a str,
    chance: f64,
    words: String,
    range_80: Option<Between<f64>>,
    boundaries: Vec<Exact>,
    boundaries_from: BoundarySource,
}

/// The object.
///
/// # Errors
/// What `serde_json` cannot write; with these fields there is nothing of the kind.
pub fn json(
    paper: &Paper,
    estimates: &Estimates,
    forecast: &Forecast,
) -> Result<String, serde_json::Error> {
    let declined = declined(estimates);
    written(&ForecastOut {
        pupil: estimates.pupil.as_str(),
        paper: &paper.outline.id,
        max: Exact(forecast.max),
        outlook: match declined {
            None => outlook(forecast, estimates),
            Some(_) => OutlookOut::default(),
        },
        declined,
        sources: estimates.into(),
        widening: estimates.model.widening.map(|widening| widening.factor),
        method: words::METHOD,
        caution: CAUTION,
    })
}

fn outlook<'a>(forecast: &'a Forecast, estimates: &Estimates) -> OutlookOut<'a> {
    let (expected, sd) = forecast.expected();
    let chance = |(total, chance)| MarkChance {
        marks: Exact(Mark::from_steps(total, forecast.grid)),
        chance,
    };
    OutlookOut {
        expected: Some(expected),
        sd: Some(sd),
        interval_80: forecast.range().map(Between::from),
        awards: Some(forecast.awards.iter().map(award).collect()),
        marks: Some(forecast.marks.iter().map(chance).collect()),
        average: estimates.counted.average_of(forecast.max),
        expected_if_met: forecast.met_expected,
    }
}

fn award(award: &AwardChance) -> AwardChanceOut<'_> {
    AwardChanceOut {
        name: &award.name,
        chance: award.chance,
        words: in_ten(award.chance),
        range_80: None,
        boundaries: award.boundaries.iter().copied().map(Exact).collect(),
        boundaries_from: award.lines,
    }
}
