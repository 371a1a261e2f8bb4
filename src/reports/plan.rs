//! A pace plan as a page: the card for the pupil first, then what it should bring and where it comes from.

pub mod json;

use chrono::NaiveDate;

use super::text::COLUMNS;
use crate::domain::paper::Paper;
use crate::domain::rule::QuestionNo;
use crate::domain::time::from_minutes;
use crate::season::estimate::Estimates;
use crate::season::plan::{Goal, Outlook, Plan, Rest};
use crate::words::guess::rule_caution;
use crate::words::numbers::{in_ten, percent, plain, range_in_ten};
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
    if let Some(leave) = plan.leave_after {
        lines.push(words::leave_after(leave));
    }
    lines.extend(left_out(plan));
    lines
}

/// What becomes of the questions that are not tried.
fn left_out(plan: &Plan) -> Vec<String> {
    let of = |rest: Rest| -> Vec<QuestionNo> {
        let all = plan.tasks.iter().zip(&plan.best.tried).zip(&plan.best.rest);
        all.filter(|((_, tried), own)| !**tried && **own == rest)
            .map(|((task, _), _)| task.number)
            .collect()
    };
    let (guessed, blank) = (of(Rest::Guess), of(Rest::Blank));
    let mut lines = Vec::new();
    if !guessed.is_empty() {
        lines.extend(wrap_whole(
            &words::guess_these(&guessed, plan.reserve),
            COLUMNS,
        ));
    }
    if !blank.is_empty() {
        lines.extend(wrap_whole(&words::leave_blank(&blank), COLUMNS));
    }
    lines
}

/// The page; `saved` is the plan's file.
pub fn page(told: &PlanReport<'_>, saved: &str) -> String {
    let (plan, estimates) = (told.plan, told.estimates);
    let mut lines = vec![cut(
        &format!(
            "Pace plan: {}, {}",
            estimates.pupil, told.paper.outline.title
        ),
        COLUMNS,
    )];
    lines.extend(wrap_whole(
        &words::goal(plan, told.boundary_from.unwrap_or_default()),
        COLUMNS,
    ));
    lines.push(CAUTION.to_owned());
    lines.push(String::new());
    let notes = told
        .notes
        .iter()
        .cloned()
        .chain(rule_caution(&told.paper.outline, told.today));
    let above = lines.len();
    lines.extend(notes.flat_map(|note| wrap_whole(&format!("! {}", clean(&note)), COLUMNS)));
    if lines.len() > above {
        lines.push(String::new());
    }
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
        if let Some([chance, low, high]) = outlook.chance {
            row.push(format!("{} ({})", in_ten(chance), range_in_ten(low, high)));
        }
        row
    };
    let mut head = vec!["", "tried", "marks", "8 in 10"];
    if matches!(plan.goal, Goal::Award { .. }) {
        head.push("chance");
    }
    let rest_guessed = plan.in_order.rest.contains(&Rest::Guess);
    let mut rows = vec![
        head.into_iter().map(String::from).collect(),
        row(words::THIS_PLAN, &plan.best),
    ];
    rows.push(row(
        if rest_guessed {
            words::IN_ORDER_GUESSING
        } else {
            words::IN_ORDER
        },
        &plan.in_order,
    ));
    if rest_guessed {
        rows.push(row(words::IN_ORDER_BLANKS, &plan.then_blank));
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
    lines.extend(wrap_whole(&words::gain(plan), COLUMNS));
    if let Some(chance) = plan.in_time {
        lines.extend(wrap_whole(&words::fits(chance), COLUMNS));
    }
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
        .zip(&plan.best.rest)
        .zip(&plan.leave_each)
        .zip(&told.estimates.times.questions);
    let rows = parts.map(|((((task, tried), rest), leave), time)| {
        vec![
            task.number.to_string(),
            clock_of(f64::from(task.seconds)),
            percent(task.chance()),
            words::fate(*tried, *rest).to_owned(),
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
