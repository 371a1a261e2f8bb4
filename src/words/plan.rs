//! A pace plan in words: the card for the pupil, and what the plan should bring.

use crate::domain::header::Alias;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::season::plan::{Goal, Plan, Rest, SWEEP_EACH};
use crate::words::count::counted;
use crate::words::numbers::{in_ten, plain, ranges};
use crate::words::text::clean;
use crate::words::time::time_in_words;

/// The heading over the checkpoints.
pub const BE_DONE_WITH: &str = "Be done with";

/// The heading over what the plan should bring.
pub const SHOULD_BRING: &str = "What it should bring if it is kept to the end";

/// The heading over the times and chances.
pub const RESTS_ON: &str = "What it rests on";

/// In the place of the file's name.
pub const NOT_SAVED: &str = "not saved";

/// Where the boundary of an award comes from, behind it.
pub const OWN_BOUNDARY: &str = ", the paper's own boundary";
/// See [`OWN_BOUNDARY`].
pub const PAST_BOUNDARY: &str = ", the highest boundary of past years";

/// The ways to go through the paper that are held against each other.
pub const THIS_PLAN: &str = "this plan";
/// See [`THIS_PLAN`].
pub const IN_ORDER: &str = "in order";
/// See [`THIS_PLAN`].
pub const IN_ORDER_GUESSING: &str = "in order, guessing";
/// See [`THIS_PLAN`].
pub const IN_ORDER_BLANKS: &str = "in order, blanks";

/// What stands over the card in the plan's file.
pub fn title(pupil: &Alias, paper: &str) -> String {
    format!("Pace plan for {pupil}, {paper}")
}

/// What becomes of a question, in a column.
pub const fn fate(tried: bool, rest: Rest) -> &'static str {
    match (tried, rest) {
        (true, _) => "try",
        (false, Rest::Guess) => "guess",
        (false, Rest::Blank) => "blank",
    }
}

/// When to leave a question.
pub fn leave_after(seconds: u32) -> String {
    let leash = Elapsed::seconds(u64::from(seconds)).stopwatch();
    format!("Leave a question after {leash}, and go on.")
}

/// The questions that are not tried, and guessed in the end.
pub fn guess_these(questions: &[QuestionNo], reserve: u32) -> String {
    let left = time_in_words(Elapsed::seconds(u64::from(reserve)));
    format!(
        "Not these at first: {}. Guess them when {left} is left.",
        ranges(questions)
    )
}

/// The questions that are left blank.
pub fn leave_blank(questions: &[QuestionNo]) -> String {
    format!("Leave these blank: {}.", ranges(questions))
}

/// The time allowed, and what the plan is for; `from` is where the boundary comes from.
pub fn goal(plan: &Plan, from: &str) -> String {
    let allowed = time_in_words(plan.allowed);
    match &plan.goal {
        Goal::Marks => format!("{allowed}. Goal: the most marks on average."),
        Goal::Award { name, boundary } => format!(
            "{allowed}. Goal: the best chance of {}, at {} marks{from}.",
            clean(name),
            plain(*boundary)
        ),
    }
}

/// What choosing brings over going in order, or how near the best the plan is.
pub fn gain(plan: &Plan) -> String {
    let gain = plan.expected(&plan.best) - plan.expected(&plan.in_order);
    match &plan.goal {
        Goal::Marks if gain < 0.05 => {
            "Going in order brings as much: the plan is the order of the paper.".to_owned()
        }
        Goal::Marks => format!(
            "Choosing brings {gain:.1} marks on average over going in order, by the same estimates."
        ),
        Goal::Award { .. } => match plan.gap {
            Some(gap) if gap > 0.0 => format!(
                "Every choice cannot be tried on a paper of this size: the best one found is at most {:.1} in 100 short of the best there is.",
                gap * 100.0
            ),
            _ => "No other choice has a better chance, by the same estimates.".to_owned(),
        },
    }
}

/// How likely it is that what is tried fits into the time.
pub fn fits(chance: f64) -> String {
    format!(
        "That the questions tried fit into the time: {} (normal approximation, times independent). Behind at a checkpoint? Leave the next long one.",
        in_ten(chance)
    )
}

/// What the columns hold, what is kept for the sweep, and how the plan was chosen.
pub fn made_from(plan: &Plan) -> Vec<String> {
    let kept = Elapsed::seconds(u64::from(plan.reserve)).stopwatch();
    vec![
        "The last three columns: how much of the time is the pupil's own, how much the group's, how much the default's.".to_owned(),
        format!("Kept for the sweep: {kept} ({SWEEP_EACH} seconds a blank, a minute at the least where the paper is not very short). In question order: with times as expected no other order brings more."),
        format!("Chosen by an exact dynamic programme over seconds from {}.", counted(plan.tasks.len(), "question")),
    ]
}

/// How the plan is used, by the command that does it.
pub fn take_it(command: &str) -> String {
    format!("Take it into the next sitting: {command}")
}
