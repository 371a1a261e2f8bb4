//! A pupil's season as JSON: one object; marks are exact strings, times seconds, unknown is null.
//!
//! ```text
//! {pupil, sittings: [{sitting, started, paper, title, questions,
//!    apart: null | "open" | "given_up" | "other_conditions" | "again",
//!    conditions: {extra_percent, first, last, own_minutes, typed_in},
//!    mark: null | {in_time, with_guess_round, worked, luck_out, max, standard_error},
//!    margins: [{award, boundary, over}], blanks, sinks,
//!    sweep: null | {filled, seconds, left_seconds, complete},
//!    measure, se, worth, worth_80: null | {low, high}}],
//!  compared, trends: [{of, values, slope, standard_error,
//!    error_from: "measurement" | "residual", verdict: "two_only" | "level" | "pointing_up"
//!    | "pointing_down" | "rising" | "falling"}],
//!  topics: [{topic, right, asked, share, low, high, missed}],
//!  causes: [{cause, count, lost}], not_marked: [sitting], official: false,
//!  scale: null | {people, papers, reference, max, note,
//!    shifts: [{paper, seen, standard_error, used, people: [n, n], same_pupils}]}}
//! ```
//! `measure` (logits) and its standard error `se` are on one scale across papers; `worth` is what
//! they go with in worked marks on the reference paper, `worth_80` where that lies in 8 of 10 cases;
//! null where a sitting is not on the scale, and `note` says why. A shift is in questions.
//! Topics stand in the order worth practising: the most marks missed first. `of` is one of
//! `worth`, `margin`, `luck_out_percent`, `blanks`, `sinks`, `sweep_seconds`.

use serde::Serialize;

use super::Season;
use crate::domain::notes::Cause;
use crate::season::progress::{
    Apart, Error, Line, LineMarks, Of, OnScale, Progress, Standing, Swept, TopicShare, Trend,
    Verdict,
};
use crate::words::progress::scale_note;

#[derive(Serialize)]
struct Sheet<'a> {
    pupil: &'a str,
    sittings: Vec<SittingOut<'a>>,
    compared: usize,
    trends: Vec<TrendOut<'a>>,
    topics: Vec<TopicOut<'a>>,
    causes: Vec<CauseOut>,
    not_marked: Vec<&'a str>,
    official: bool,
    scale: Option<ScaleOut<'a>>,
}

#[derive(Serialize)]
struct ScaleOut<'a> {
    people: usize,
    papers: &'a [String],
    reference: &'a str,
    max: String,
    note: String,
    shifts: Vec<ShiftOut<'a>>,
}

#[derive(Serialize)]
struct ShiftOut<'a> {
    paper: &'a str,
    seen: f64,
    standard_error: f64,
    used: f64,
    people: (usize, usize),
    same_pupils: bool,
}

#[derive(Serialize)]
struct Between {
    low: f64,
    high: f64,
}

#[derive(Serialize)]
struct SittingOut<'a> {
    sitting: &'a str,
    started: String,
    paper: &'a str,
    title: &'a str,
    questions: usize,
    apart: Option<&'static str>,
    conditions: ConditionsOut,
    mark: Option<MarkOut>,
    margins: Vec<MarginOut<'a>>,
    blanks: Option<usize>,
    sinks: Option<usize>,
    sweep: Option<SweepOut>,
    measure: Option<f64>,
    se: Option<f64>,
    worth: Option<f64>,
    worth_80: Option<Between>,
}

#[derive(Serialize)]
struct ConditionsOut {
    extra_percent: String,
    first: Option<u16>,
    last: Option<u16>,
    questions: Option<String>,
    own_minutes: Option<f64>,
    typed_in: bool,
}

#[derive(Serialize)]
struct MarkOut {
    in_time: String,
    with_guess_round: String,
    worked: String,
    luck_out: String,
    max: String,
    standard_error: f64,
}

#[derive(Serialize)]
struct MarginOut<'a> {
    award: &'a str,
    boundary: String,
    over: String,
}

#[derive(Serialize)]
struct SweepOut {
    filled: usize,
    seconds: f64,
    left_seconds: f64,
    complete: bool,
}

#[derive(Serialize)]
struct TrendOut<'a> {
    of: &'static str,
    values: &'a [f64],
    slope: f64,
    standard_error: Option<f64>,
    error_from: &'static str,
    verdict: Verdict,
}

#[derive(Serialize)]
struct TopicOut<'a> {
    topic: &'a str,
    right: usize,
    asked: usize,
    share: f64,
    low: f64,
    high: f64,
    missed: String,
}

#[derive(Serialize)]
struct CauseOut {
    cause: Cause,
    count: usize,
    lost: String,
}

/// The object.
///
/// # Errors
/// What `serde_json` cannot write; with these fields there is nothing of the kind.
pub fn json(season: &Season) -> Result<String, serde_json::Error> {
    let progress = &season.progress;
    let causes = progress.causes.iter().map(|(cause, tally)| CauseOut {
        cause: *cause,
        count: tally.count,
        lost: tally.lost.to_string(),
    });
    let sheet = Sheet {
        pupil: progress.pupil.as_str(),
        sittings: progress
            .lines
            .iter()
            .map(|line| sitting(line, standing(progress, line)))
            .collect(),
        compared: progress.compared().count(),
        trends: progress.trends.iter().map(trend).collect(),
        topics: progress.topics.iter().map(topic).collect(),
        causes: causes.collect(),
        not_marked: progress
            .not_marked()
            .map(|line| line.sitting.as_str())
            .collect(),
        official: false,
        scale: progress.scale.as_ref().map(scale),
    };
    serde_json::to_string_pretty(&sheet).map(|text| text + "\n")
}

fn standing(progress: &Progress, line: &Line) -> Option<Standing> {
    progress
        .scale
        .as_ref()?
        .sittings
        .get(&line.sitting)
        .copied()
}

fn scale(scale: &OnScale) -> ScaleOut<'_> {
    let shifts = scale.shifts.iter().map(|shift| ShiftOut {
        paper: &shift.paper,
        seen: shift.seen,
        standard_error: shift.error,
        used: shift.used,
        people: shift.people,
        same_pupils: shift.same_pupils,
    });
    ScaleOut {
        people: scale.people,
        papers: &scale.papers,
        reference: &scale.reference,
        max: scale.max.to_string(),
        note: scale_note(scale),
        shifts: shifts.collect(),
    }
}

fn sitting(line: &Line, standing: Option<Standing>) -> SittingOut<'_> {
    let conditions = &line.conditions;
    let margins = line.marks.iter().flat_map(|marks| &marks.margins);
    let margins = margins.map(|margin| MarginOut {
        award: &margin.award,
        boundary: margin.boundary.to_string(),
        over: margin.over.to_string(),
    });
    let habits = line.habits.as_ref();
    SittingOut {
        sitting: &line.sitting,
        started: line.started.to_rfc3339(),
        paper: &line.paper,
        title: &line.title,
        questions: line.asked,
        apart: line.apart.as_ref().map(apart),
        conditions: ConditionsOut {
            extra_percent: conditions.extra_percent.to_string(),
            first: conditions.only.as_ref().map(|only| only.first().0),
            last: conditions.only.as_ref().map(|only| only.last().0),
            questions: conditions.only.as_ref().map(ToString::to_string),
            own_minutes: conditions.own_time.map(|time| time.as_seconds() / 60.0),
            typed_in: conditions.typed_in,
        },
        mark: line.marks.as_ref().map(mark),
        margins: margins.collect(),
        blanks: habits.map(|habits| habits.blanks),
        sinks: habits.and_then(|habits| habits.sinks),
        sweep: habits.and_then(|habits| habits.sweep).map(sweep),
        measure: standing.map(|standing| standing.measure.value),
        se: standing.map(|standing| standing.measure.error),
        worth: standing.map(|standing| standing.worth),
        worth_80: standing.map(|standing| Between {
            low: standing.range.0,
            high: standing.range.1,
        }),
    }
}

const fn apart(apart: &Apart) -> &'static str {
    match apart {
        Apart::Open => "open",
        Apart::GivenUp => "given_up",
        Apart::OtherConditions(_) => "other_conditions",
        Apart::Again => "again",
    }
}

fn mark(marks: &LineMarks) -> MarkOut {
    MarkOut {
        in_time: marks.in_time.to_string(),
        with_guess_round: marks.with_guess_round.to_string(),
        worked: marks.worked.to_string(),
        luck_out: marks.luck_out.to_string(),
        max: marks.max.to_string(),
        standard_error: marks.error,
    }
}

fn sweep(sweep: Swept) -> SweepOut {
    SweepOut {
        filled: sweep.filled,
        seconds: sweep.took.as_seconds(),
        left_seconds: sweep.left.as_seconds(),
        complete: sweep.complete,
    }
}

fn trend((of, trend): &(Of, Trend)) -> TrendOut<'_> {
    TrendOut {
        of: match of {
            Of::Worth => "worth",
            Of::Margin => "margin",
            Of::LuckOut => "luck_out_percent",
            Of::Blanks => "blanks",
            Of::Sinks => "sinks",
            Of::SweepSeconds => "sweep_seconds",
        },
        values: &trend.values,
        slope: trend.slope,
        standard_error: trend.error,
        error_from: match trend.from {
            Error::Measurement => "measurement",
            Error::Residual => "residual",
        },
        verdict: trend.verdict,
    }
}

fn topic(topic: &TopicShare) -> TopicOut<'_> {
    TopicOut {
        topic: &topic.topic,
        right: topic.right,
        asked: topic.asked,
        share: topic.share,
        low: topic.range.low,
        high: topic.range.high,
        missed: topic.missed.to_string(),
    }
}
