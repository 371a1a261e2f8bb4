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
pub const FINISH_UP_TO: &str = "Finish up to";

/// The heading over what the plan should bring.
pub const SHOULD_BRING: &str = "What to expect if the pupil keeps to it";

/// The heading over the times and chances.
pub const RESTS_ON: &str = "What it is based on";

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
        "Skip these at first: {}. Guess them with {left} left.",
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
            "Going in order earns just as much, so the plan follows the order of the paper."
                .to_owned()
        }
        Goal::Marks => format!(
            "By the same estimates, choosing earns {gain:.1} marks more on average than going in order."
        ),
        Goal::Award { .. } => match plan.gap {
            Some(gap) if gap > 0.0 => format!(
                "There are too many choices to try them all on a paper of this size. The best one found is at most {:.1} in 100 below the best possible.",
                gap * 100.0
            ),
            _ => "By the same estimates, no other choice has a better chance.".to_owned(),
        },
    }
}

/// How likely it is that what is tried fits into the time.
pub fn fits(chance: f64) -> String {
    format!(
        "Chance that there is time for all the questions to try: {} (normal approximation, independent times). Behind at a checkpoint? Leave the next long one.",
        in_ten(chance)
    )
}

/// What the columns hold, what is kept for the sweep, and how the plan was chosen.
pub fn made_from(plan: &Plan) -> Vec<String> {
    let kept = Elapsed::seconds(u64::from(plan.reserve)).stopwatch();
    vec![
        "The last three columns: how much of the time comes from the pupil, from the group and from the default.".to_owned(),
        format!("Kept for filling the blanks at the end: {kept} ({SWEEP_EACH} seconds a blank, and at least a minute unless the paper is very short). In question order: with the expected times, no other order earns more."),
        format!("Chosen by an exact dynamic programme over seconds from {}.", counted(plan.tasks.len(), "question")),
    ]
}

/// How the plan is used, by the command that does it.
pub fn take_it(command: &str) -> String {
    format!("Use it in the next sitting: {command}")
}
