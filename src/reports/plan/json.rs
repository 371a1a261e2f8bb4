//! A pace plan as JSON.
//!
//! `{pupil, paper, declined, goal: "marks"|"award", award, boundary, seconds_allowed, reserve_seconds, plan: OUTLOOK,
//! in_order: OUTLOOK, in_order_rest_blank: OUTLOOK, in_order_all_filled: OUTLOOK, other_order: {first: [number], gain,
//! sd, offered}, chance_gap, chance_in_time, leave_after_seconds, checkpoints: [{question, minutes}], questions:
//! [{number, seconds, chance, rest: "try"|"guess"|"blank", leave_after_seconds, time_weights: {own, group, default}}],
//! sources (as in a forecast), saved, caution}` with OUTLOOK = `{tried: [number], expected, interval_80: {low, high},
//! chance, chance_range_80}`. Marks and minutes are exact strings; award, boundary and the chances are null where the
//! goal is marks; `chance_gap` and `chance_range_80` are always null. Where a plan is declined, `declined` has the
//! sentence and every figure of the plan is null.

use serde::Serialize;

use super::{PlanReport, declined};
use crate::domain::rule::QuestionNo;
use crate::reports::json::{Between, Exact, written};
use crate::reports::sources::Sources;
use crate::season::estimate::ShrinkageWeights;
use crate::season::plan::{Goal, Outlook, Plan};
use crate::words::plan::fate;
use crate::words::sources::CAUTION;

#[derive(Serialize)]
struct PlanOut<'a> {
    pupil: &'a str,
    paper: &'a str,
    declined: Option<String>,
    goal: &'static str,
    award: Option<&'a str>,
    boundary: Option<Exact>,
    #[serde(flatten)]
    figures: PlanFigures,
    sources: Sources,
    saved: Option<&'a str>,
    caution: &'static str,
}

/// All null where the plan is declined.
#[derive(Default, Serialize)]
struct PlanFigures {
    seconds_allowed: Option<f64>,
    reserve_seconds: Option<u32>,
    plan: Option<WayOut>,
    in_order: Option<WayOut>,
    in_order_rest_blank: Option<WayOut>,
    in_order_all_filled: Option<WayOut>,
    other_order: Option<OtherOrderOut>,
    chance_gap: Option<f64>,
    chance_in_time: Option<f64>,
    #[serde(flatten)]
    steps: StepsOut,
}

#[derive(Default, Serialize)]
struct StepsOut {
    leave_after_seconds: Option<u32>,
    checkpoints: Option<Vec<CheckpointOut>>,
    questions: Option<Vec<PlannedQuestionOut>>,
}

#[derive(Serialize)]
struct WayOut {
    tried: Vec<QuestionNo>,
    expected: f64,
    interval_80: Option<Between<Exact>>,
    chance: Option<f64>,
    chance_range_80: Option<Between<f64>>,
}

#[derive(Serialize)]
struct OtherOrderOut {
    first: Vec<QuestionNo>,
    gain: f64,
    sd: f64,
    offered: bool,
}

#[derive(Serialize)]
struct CheckpointOut {
    question: QuestionNo,
    minutes: Exact,
}

#[derive(Serialize)]
struct PlannedQuestionOut {
    number: QuestionNo,
    seconds: f64,
    chance: f64,
    rest: &'static str,
    leave_after_seconds: Option<f64>,
    time_weights: ShrinkageWeights,
}

/// The object; `saved` is the plan's file, where one was written.
///
/// # Errors
/// What `serde_json` cannot write; with these fields there is nothing of the kind.
pub fn json(told: &PlanReport<'_>, saved: Option<&str>) -> Result<String, serde_json::Error> {
    let (goal, award, boundary) = match &told.plan.goal {
        Goal::Marks => ("marks", None, None),
        Goal::Award { name, boundary } => ("award", Some(name.as_str()), Some(Exact(*boundary))),
    };
    let declined = declined(told.estimates);
    written(&PlanOut {
        pupil: told.estimates.pupil.as_str(),
        paper: &told.paper.outline.id,
        goal,
        award,
        boundary,
        figures: match declined {
            None => figures(told),
            Some(_) => PlanFigures::default(),
        },
        declined,
        sources: told.estimates.into(),
        saved,
        caution: CAUTION,
    })
}

fn figures(told: &PlanReport<'_>) -> PlanFigures {
    let plan = told.plan;
    let stop = |checkpoint: &crate::domain::header::Checkpoint| CheckpointOut {
        question: checkpoint.question,
        minutes: Exact(checkpoint.minutes),
    };
    PlanFigures {
        seconds_allowed: Some(plan.allowed.as_seconds()),
        reserve_seconds: Some(plan.reserve),
        plan: Some(way(plan, &plan.best)),
        in_order: Some(way(plan, &plan.in_order)),
        in_order_rest_blank: Some(way(plan, &plan.then_blank)),
        in_order_all_filled: Some(way(plan, &plan.all_filled)),
        other_order: Some(OtherOrderOut {
            first: plan.other.first.clone(),
            gain: plan.other.gain,
            sd: plan.other.sd,
            offered: plan.other.offered,
        }),
        chance_gap: None,
        chance_in_time: Some(plan.in_time),
        steps: StepsOut {
            leave_after_seconds: plan.leave_after,
            checkpoints: Some(plan.pace.checkpoints.iter().map(stop).collect()),
            questions: Some(questions(told)),
        },
    }
}

fn way(plan: &Plan, outlook: &Outlook) -> WayOut {
    let tried = plan
        .tasks
        .iter()
        .zip(&outlook.tried)
        .filter(|(_, tried)| **tried);
    WayOut {
        tried: tried.map(|(task, _)| task.number).collect(),
        expected: plan.expected(outlook),
        interval_80: plan.range(outlook).map(Between::from),
        chance: outlook.chance,
        chance_range_80: None,
    }
}

fn questions(told: &PlanReport<'_>) -> Vec<PlannedQuestionOut> {
    let plan = told.plan;
    let ways = plan.best.tried.iter().zip(&plan.leave_each);
    let parts = plan.tasks.iter().zip(ways);
    let parts = parts.zip(&told.estimates.times.questions);
    let questions = parts.map(|((task, (tried, leave)), time)| PlannedQuestionOut {
        number: task.number,
        seconds: task.seconds,
        chance: task.chance,
        rest: fate(*tried, task.rest),
        leave_after_seconds: *leave,
        time_weights: time.weights,
    });
    questions.collect()
}
