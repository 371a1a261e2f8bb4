//! A pace plan as a page: the card for the pupil first, then what it should bring and where it comes from.

pub mod json;

use chrono::NaiveDate;

use super::forecast::{few, widened};
use super::text::COLUMNS;
use crate::domain::paper::Paper;
use crate::domain::rule::QuestionNo;
use crate::domain::time::{Elapsed, from_minutes};
use crate::season::estimate::Estimates;
use crate::season::plan::{Goal, Outlook, Plan, Rest};
use crate::words::forecast::no_plan;
use crate::words::guess::caution_first;
use crate::words::numbers::{in_ten, percent, plain, tenths_of};
use crate::words::plan as words;
use crate::words::sources::{CAUTION, sentences};
use crate::words::text::{Side, clean, columns, cut, wrap_whole};
use crate::words::time::clock_of;

/// What a plan says of itself.
pub struct PlanReport<'a> {
    /// The paper.
    pub paper: &'a Paper,
    /// What it rests on.
    pub estimates: &'a Estimates,
    /// The plan.
    pub plan: &'a Plan,
    /// Where the chosen boundary comes from, where there is one.
    pub boundary_from: Option<&'a str>,
    /// What has to be said of the files.
    pub notes: &'a [String],
    /// The day.
    pub today: NaiveDate,
}

/// The card: what a pupil holds in the head. It also stands in the plan's file.
pub fn card(told: &PlanReport<'_>) -> Vec<String> {
    let plan = told.plan;
    let rows = plan.pace.checkpoints.iter().map(|checkpoint| {
        let used = from_minutes(checkpoint.minutes).unwrap_or_default();
        vec![
            format!("question {}", checkpoint.question),
            "by".into(),
            used.stopwatch(),
            format!("({} left)", plan.allowed.since(used).stopwatch()),
        ]
    });
    let rows: Vec<_> = rows.collect();
    let mut lines = vec![words::FINISH_UP_TO.to_owned()];
    lines.extend(
        columns(&[Side::Left, Side::Left, Side::Right, Side::Right], &rows)
            .into_iter()
            .map(|line| format!("  {line}")),
    );
    if plan.other.offered {
        lines.extend(wrap_whole(&words::these_first(&plan.other.first), COLUMNS));
    }
    match plan.leave_after {
        Some(leave) => lines.push(words::leave_after(Elapsed::seconds(u64::from(leave)))),
        None if told.estimates.counted.time_left => {
            lines.extend(wrap_whole(words::NOTHING_TO_LEAVE, COLUMNS));
        }
        None => {}
    }
    let of = |rest: Rest| -> Vec<QuestionNo> {
        let own = plan.tasks.iter().filter(|task| task.rest == rest);
        own.map(|task| task.number).collect()
    };
    let blanks = words::fill_blanks(&of(Rest::Guess), &of(Rest::Blank), plan.reserve);
    lines.extend(blanks.iter().flat_map(|said| wrap_whole(said, COLUMNS)));
    lines
}

/// Why there is no plan, where there is none.
pub fn declined(estimates: &Estimates) -> Option<String> {
    (!estimates.are_enough()).then(|| no_plan(estimates))
}

/// The page; `saved` is the plan's file, nothing where there is no plan.
pub fn page(told: &PlanReport<'_>, saved: &str) -> String {
    let (plan, estimates) = (told.plan, told.estimates);
    let mut lines = widened(estimates);
    lines.push(cut(
        &format!(
            "Pace plan: {}, {}",
            estimates.pupil, told.paper.outline.title
        ),
        COLUMNS,
    ));
    lines.extend(wrap_whole(
        &words::goal(plan, told.boundary_from.unwrap_or_default()),
        COLUMNS,
    ));
    lines.push(CAUTION.to_owned());
    lines.push(String::new());
    let above = lines.len();
    lines.extend(caution_first(&told.paper.outline, told.today, COLUMNS));
    let notes = told.notes.iter();
    lines.extend(notes.flat_map(|note| wrap_whole(&format!("! {}", clean(note)), COLUMNS)));
    if lines.len() > above {
        lines.push(String::new());
    }
    if let Some(declined) = declined(estimates) {
        lines.extend(wrap_whole(&declined, COLUMNS));
        return lines.join("\n") + "\n";
    }
    lines.extend(few(estimates));
    lines.extend(card(told));
    lines.push(String::new());
    lines.extend(outlooks(plan));
    lines.push(String::new());
    lines.push(words::RESTS_ON.into());
    lines.extend(table(told));
    let said = words::made_from(plan)
        .into_iter()
        .chain(sentences(estimates));
    lines.extend(
        said.flat_map(|sentence| wrap_whole(&clean(&sentence), COLUMNS - 2))
            .map(|line| format!("  {line}")),
    );
    lines.push(String::new());
    lines.push(format!("Saved: {saved}"));
    let sit = format!(
        "pacebell sit {} --pupil {} --plan {saved}",
        told.paper.outline.id, estimates.pupil
    );
    lines.extend(wrap_whole(&words::take_it(&sit), COLUMNS));
    lines.join("\n") + "\n"
}

fn outlooks(plan: &Plan) -> Vec<String> {
    let row = |name: &str, outlook: &Outlook| {
        let range = plan.range(outlook).map_or_else(String::new, |(low, high)| {
            format!("{} to {}", plain(low), plain(high))
        });
        let tried = outlook.tried.iter().filter(|tried| **tried).count();
        let mut row = vec![
            name.to_owned(),
            tried.to_string(),
            format!("{:.1}", plan.expected(outlook)),
            range,
        ];
        row.extend(outlook.chance.map(in_ten));
        row
    };
    let mut head = vec!["", "tried", "marks", "8 in 10"];
    if matches!(plan.goal, Goal::Award { .. }) {
        head.push("chance");
    }
    let mut rows = vec![
        head.into_iter().map(String::from).collect(),
        row(words::IN_ORDER, &plan.in_order),
    ];
    if plan.filling().is_some() {
        rows.push(row(words::EVERY_BLANK_FILLED, &plan.all_filled));
    }
    let sides = [
        Side::Left,
        Side::Right,
        Side::Right,
        Side::Right,
        Side::Left,
    ];
    let mut lines = vec![words::SHOULD_BRING.to_owned()];
    lines.extend(
        columns(&sides, &rows)
            .into_iter()
            .map(|line| format!("  {line}")),
    );
    let said = [
        Some(words::order(plan)),
        words::filling(plan),
        Some(words::fits(plan.in_time)),
    ];
    let said = said.iter().flatten();
    lines.extend(said.flat_map(|sentence| wrap_whole(sentence, COLUMNS)));
    lines
}

/// Each question's time and chance, and where the time comes from.
fn table(told: &PlanReport<'_>) -> Vec<String> {
    let head = [
        "question",
        "time",
        "right",
        "plan",
        "leave after",
        "own",
        "group",
        "default",
    ]
    .map(String::from)
    .to_vec();
    let plan = told.plan;
    let parts = plan
        .tasks
        .iter()
        .zip(&plan.best.tried)
        .zip(&plan.leave_each)
        .zip(&told.estimates.times.questions);
    let rows = parts.map(|(((task, tried), leave), time)| {
        vec![
            task.number.to_string(),
            clock_of(task.seconds),
            tenths_of(task.chance),
            words::fate(*tried, task.rest).to_owned(),
            leave.map_or_else(|| "-".into(), clock_of),
            percent(time.weights.own),
            percent(time.weights.group),
            percent(time.weights.default),
        ]
    });
    let rows: Vec<_> = std::iter::once(head).chain(rows).collect();
    let right = Side::Right;
    let sides = [right, right, right, Side::Left, right, right, right, right];
    columns(&sides, &rows)
        .into_iter()
        .map(|line| format!("  {line}"))
        .collect()
}
