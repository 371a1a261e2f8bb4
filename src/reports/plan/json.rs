//! A pace plan as JSON.
//!
//! `{pupil, paper, goal: "marks"|"award", award, boundary, seconds_allowed, reserve_seconds, plan: OUTLOOK,
//! in_order: OUTLOOK, in_order_rest_blank: OUTLOOK, chance_gap, chance_in_time, leave_after_seconds,
//! checkpoints: [{question, minutes}], questions: [{number, seconds, chance, rest: "try"|"guess"|"blank",
//! leave_after_seconds, time_weights: {own, group, default}}], sources (as in a forecast), saved, caution}` with
//! OUTLOOK = `{tried: [number], expected, interval_80: {low, high}, chance, chance_range_80: {low, high}}`.
//! Marks and minutes are exact strings; award, boundary and the chances are null where the goal is marks.

use serde::Serialize;

use super::PlanReport;
use crate::domain::rule::QuestionNo;
use crate::reports::json::{Between, Exact, written};
use crate::reports::sources::Sources;
use crate::season::estimate::ShrinkageWeights;
use crate::season::plan::{Goal, Outlook, Plan, Rest};
use crate::words::sources::CAUTION;

#[derive(Serialize)]
struct PlanOut<'a> {
    pupil: &'a str,
    paper: &'a str,
    goal: &'static str,
    award: Option<&'a str>,
    boundary: Option<Exact>,
    seconds_allowed: f64,
    reserve_seconds: u32,
    plan: WayOut,
    in_order: WayOut,
    in_order_rest_blank: WayOut,
    chance_gap: Option<f64>,
    chance_in_time: Option<f64>,
    leave_after_seconds: Option<u32>,
    checkpoints: Vec<CheckpointOut>,
    questions: Vec<PlannedQuestionOut>,
    sources: Sources,
    saved: Option<&'a str>,
    caution: &'static str,
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
struct CheckpointOut {
    question: QuestionNo,
    minutes: Exact,
}

#[derive(Serialize)]
struct PlannedQuestionOut {
    number: QuestionNo,
    seconds: u32,
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
    let plan = told.plan;
    let (goal, award, boundary) = match &plan.goal {
        Goal::Marks => ("marks", None, None),
        Goal::Award { name, boundary } => ("award", Some(name.as_str()), Some(Exact(*boundary))),
    };
    let stop = |checkpoint: &crate::domain::header::Checkpoint| CheckpointOut {
        question: checkpoint.question,
        minutes: Exact(checkpoint.minutes),
    };
    let sheet = PlanOut {
        pupil: told.estimates.pupil.as_str(),
        paper: &told.paper.outline.id,
        goal,
        award,
        boundary,
        seconds_allowed: plan.allowed.as_seconds(),
        reserve_seconds: plan.reserve,
        plan: way(plan, &plan.best),
        in_order: way(plan, &plan.in_order),
        in_order_rest_blank: way(plan, &plan.then_blank),
        chance_gap: plan.gap,
        chance_in_time: plan.in_time,
        leave_after_seconds: plan.leave_after,
        checkpoints: plan.pace.checkpoints.iter().map(stop).collect(),
        questions: questions(told),
        sources: told.estimates.into(),
        saved,
        caution: CAUTION,
    };
    written(&sheet)
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
        chance: outlook.chance.map(|[chance, ..]| chance),
        chance_range_80: outlook.chance.map(|[_, low, high]| (low, high).into()),
    }
}

fn questions(told: &PlanReport<'_>) -> Vec<PlannedQuestionOut> {
    let plan = told.plan;
    let ways = plan
        .best
        .tried
        .iter()
        .zip(&plan.best.rest)
        .zip(&plan.leave_each);
    let parts = plan
        .tasks
        .iter()
        .zip(ways)
        .zip(&told.estimates.times.questions);
    let questions = parts.map(
        |((task, ((tried, rest), leave)), time)| PlannedQuestionOut {
            number: task.number,
            seconds: task.seconds,
            chance: task.chance(),
            rest: match (*tried, rest) {
                (true, _) => "try",
                (false, Rest::Guess) => "guess",
                (false, Rest::Blank) => "blank",
            },
            leave_after_seconds: *leave,
            time_weights: time.weights,
        },
    );
    questions.collect()
}
