//! A pupil's season as JSON: one object.
//!
//! ```text
//! {pupil, sittings: [{sitting, started, paper, title, questions,
//!    apart: null | "open" | "given_up" | "other_conditions" | "again",
//!    conditions: {extra_percent, first, last, questions, own_minutes, typed_in},
//!    mark: null | {in_time, with_guess_round, worked, luck_out, max, standard_error,
//!      range_80: null | {low, high}},
//!    margins: [{award, boundary, over}], blanks, sinks,
//!    sweep: null | {filled, seconds, left_seconds, complete},
//!    measure, se, worth, worth_80: null | {low, high}}],
//!  compared, trends: [{of, values, slope, standard_error,
//!    error_from: "measurement" | "residual", p, verdict: "two_only" | "level" | "rising"
//!    | "falling"}],
//!  topics: [{topic, right, asked, share, low, high, missed, within_reach}],
//!  causes: [{cause, count, lost}], not_marked: [sitting], official: false,
//!  scale: null | {people, papers, reference, max, note,
//!    shifts: [{paper, seen, standard_error, used, people: [n, n], same_pupils}]},
//!  practice: {sessions, paper_on, due, waiting, too_early, secure, next: null | {on, questions},
//!    second_tries: {both, first_only, second_only, neither, p},
//!    by_guessing: null | {missed, right, expected, at_least, chance},
//!    questions: [{paper, number, missed: "wrong_worked" | "wrong" | "blank", topics, tries, rights,
//!      state: "due" | "waiting" | "too_early" | "secure", on}],
//!    catches: [{paper, number, text}]},
//!  steps: [an agreed step]}
//! ```
//! `practice` is on the missed questions: how many stand where, the first tries in sittings beside the
//! second ones in practice (`p` by McNemar's exact test), how many of those missed guessing would have
//! brought (`at_least` so many come right with that `chance`), and each question with the unaided
//! `rights` in a row and the day `on` which it is, or was, to be tried, or can be called secure.
//! `measure` (logits) and its standard error `se` are on one scale across papers; `worth` is what
//! they go with in worked marks on the reference paper, `worth_80` where that lies in 8 of 10 cases;
//! null where a sitting is not on the scale, and `note` says why. A shift is in questions.
//! Topics: the most marks a paper `within_reach` first. `of` is one of
//! `worth`, `margin_percent`, `luck_out_percent`, `blanks`, `sinks`, `sweep_seconds`.

use serde::Serialize;

use super::Season;
use super::practice::PracticeOut;
use crate::cohort::scale::equating::MeanEquating;
use crate::domain::header::Alias;
use crate::domain::notes::Cause;
use crate::domain::questions::QuestionList;
use crate::domain::rule::QuestionNo;
use crate::reports::json::step::StepOut;
use crate::reports::json::{Between, Exact, written};
use crate::season::mark_range::AnotherDay;
use crate::season::progress::{
    Apart, CauseTally, Conditions, Habits, Line, LineMarks, Margin, Of, OnScale, Progress,
    ScalePlace, Swept, TopicShare, Trend,
};
use crate::words::progress::scale_note;

#[derive(Serialize)]
struct ProgressOut<'a> {
    pupil: &'a Alias,
    sittings: Vec<SittingOut<'a>>,
    compared: usize,
    trends: Vec<TrendOut<'a>>,
    topics: &'a [TopicShare],
    causes: Vec<CauseOut<'a>>,
    not_marked: Vec<&'a str>,
    official: bool,
    scale: Option<ScaleOut<'a>>,
    practice: PracticeOut<'a>,
    steps: Vec<StepOut<'a>>,
}

#[derive(Serialize)]
struct ScaleOut<'a> {
    people: usize,
    papers: &'a [String],
    reference: &'a str,
    max: Exact,
    note: String,
    shifts: &'a [MeanEquating],
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
    #[serde(flatten)]
    marks: MarksOut<'a>,
    #[serde(flatten)]
    habits: HabitsOut,
    #[serde(flatten)]
    standing: StandingOut,
}

#[derive(Serialize)]
struct ConditionsOut {
    extra_percent: Exact,
    first: Option<QuestionNo>,
    last: Option<QuestionNo>,
    questions: Option<String>,
    own_minutes: Option<f64>,
    typed_in: bool,
}

/// Null and empty where no key was at hand.
#[derive(Default, Serialize)]
struct MarksOut<'a> {
    mark: Option<MarkOut>,
    margins: Vec<MarginOut<'a>>,
}

#[derive(Serialize)]
struct MarkOut {
    in_time: Exact,
    with_guess_round: Exact,
    worked: Exact,
    luck_out: Exact,
    max: Exact,
    standard_error: Option<f64>,
    range_80: Option<Between<Exact>>,
}

#[derive(Serialize)]
struct MarginOut<'a> {
    award: &'a str,
    boundary: Exact,
    over: Exact,
}

/// All null where the sheet was typed in.
#[derive(Default, Serialize)]
struct HabitsOut {
    blanks: Option<usize>,
    sinks: Option<usize>,
    sweep: Option<SweepOut>,
}

#[derive(Serialize)]
struct SweepOut {
    filled: usize,
    seconds: f64,
    left_seconds: f64,
    complete: bool,
}

/// All null where the sitting is not on the scale.
#[derive(Default, Serialize)]
struct StandingOut {
    measure: Option<f64>,
    se: Option<f64>,
    worth: Option<f64>,
    worth_80: Option<Between<f64>>,
}

#[derive(Serialize)]
struct TrendOut<'a> {
    of: Of,
    #[serde(flatten)]
    trend: &'a Trend,
}

#[derive(Serialize)]
struct CauseOut<'a> {
    cause: Cause,
    #[serde(flatten)]
    tally: &'a CauseTally,
}

/// The object.
///
/// # Errors
/// What `serde_json` cannot write; with these fields there is nothing of the kind.
pub fn json(season: &Season) -> Result<String, serde_json::Error> {
    let progress = &season.progress;
    let trends = progress.trends.iter();
    let causes = progress.causes.iter();
    let lines = progress.lines.iter();
    let not_marked = progress.not_marked();
    written(&ProgressOut {
        pupil: &progress.pupil,
        sittings: lines.map(|line| sitting(progress, line)).collect(),
        compared: progress.compared().count(),
        trends: trends
            .map(|(of, trend)| TrendOut { of: *of, trend })
            .collect(),
        topics: &progress.topics,
        causes: causes
            .map(|(cause, tally)| CauseOut {
                cause: *cause,
                tally,
            })
            .collect(),
        not_marked: not_marked.map(|line| line.sitting.as_str()).collect(),
        official: false,
        scale: progress.scale.as_ref().map(scale),
        practice: PracticeOut::of(&season.practice),
        steps: season.steps.iter().map(StepOut::of).collect(),
    })
}

fn scale(scale: &OnScale) -> ScaleOut<'_> {
    ScaleOut {
        people: scale.people,
        papers: &scale.papers,
        reference: &scale.reference,
        max: Exact(scale.max),
        note: scale_note(scale),
        shifts: &scale.shifts,
    }
}

fn sitting<'a>(progress: &'a Progress, line: &'a Line) -> SittingOut<'a> {
    let on_scale = progress.scale.as_ref();
    let standing = on_scale.and_then(|scale| scale.sittings.get(&line.sitting));
    SittingOut {
        sitting: &line.sitting,
        started: line.started.to_rfc3339(),
        paper: &line.paper,
        title: &line.title,
        questions: line.asked,
        apart: line.apart.as_ref().map(apart),
        conditions: conditions(&line.conditions),
        marks: line.marks.as_ref().map(marks).unwrap_or_default(),
        habits: line.habits.as_ref().map(habits).unwrap_or_default(),
        standing: standing.map(place).unwrap_or_default(),
    }
}

/// Why a sitting is not compared, in one word.
pub(super) const fn apart(apart: &Apart) -> &'static str {
    match apart {
        Apart::Open => "open",
        Apart::GivenUp => "given_up",
        Apart::OtherConditions(_) => "other_conditions",
        Apart::Again => "again",
        Apart::Withdrawn(reason) => reason.word(),
    }
}

fn conditions(conditions: &Conditions) -> ConditionsOut {
    let only = conditions.only.as_ref();
    ConditionsOut {
        extra_percent: Exact(conditions.extra_percent),
        first: only.map(QuestionList::first),
        last: only.map(QuestionList::last),
        questions: only.map(ToString::to_string),
        own_minutes: conditions.own_time.map(|time| time.as_seconds() / 60.0),
        typed_in: conditions.typed_in,
    }
}

fn marks(marks: &LineMarks) -> MarksOut<'_> {
    MarksOut {
        mark: Some(mark(marks)),
        margins: marks.margins.iter().map(margin).collect(),
    }
}

fn mark(marks: &LineMarks) -> MarkOut {
    MarkOut {
        in_time: Exact(marks.in_time),
        with_guess_round: Exact(marks.with_guess_round),
        worked: Exact(marks.worked),
        luck_out: Exact(marks.luck_out),
        max: Exact(marks.max),
        standard_error: marks.error,
        range_80: marks.range.and_then(AnotherDay::range).map(Between::from),
    }
}

fn margin(margin: &Margin) -> MarginOut<'_> {
    MarginOut {
        award: &margin.award,
        boundary: Exact(margin.boundary),
        over: Exact(margin.over),
    }
}

fn habits(habits: &Habits) -> HabitsOut {
    HabitsOut {
        blanks: Some(habits.blanks),
        sinks: habits.sinks,
        sweep: habits.sweep.map(sweep),
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

fn place(standing: &ScalePlace) -> StandingOut {
    StandingOut {
        measure: Some(standing.measure.value),
        se: Some(standing.measure.error),
        worth: Some(standing.worth),
        worth_80: Some(standing.range.into()),
    }
}
