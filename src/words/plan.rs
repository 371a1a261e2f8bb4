//! A pace plan in words: the card for the pupil, and what the plan should bring.

use crate::domain::header::{Alias, PacePlan};
use crate::domain::questions::QuestionList;
use crate::domain::rule::QuestionNo;
use crate::domain::time::{Elapsed, from_minutes};
use crate::season::plan::{Goal, Plan, Rest, SWEEP_EACH};
use crate::words::count::agree;
use crate::words::numbers::{in_ten, marks_about, plain, ranges, ranges_in_words};
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

/// Ways to go through the paper.
pub const IN_ORDER: &str = "in order";
/// See [`IN_ORDER`].
pub const EVERY_BLANK_FILLED: &str = "in order, blanks filled";

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
pub fn leave_after(stay: Elapsed) -> String {
    format!("Leave a question after {}, and go on.", stay.stopwatch())
}

/// The questions that are not tried at first.
fn leave_for_the_end(questions: &QuestionList) -> String {
    let all: Vec<_> = questions.iter().collect();
    let word = agree(all.len(), "question", "questions");
    format!("Leave {word} {} until the end.", ranges_in_words(&all))
}

/// That there is nothing to leave.
pub const NOTHING_TO_LEAVE: &str =
    "There was time left last time, so there's no need to leave a question.";

/// What a plan says beside its checkpoints: what to leave, and how long to stay.
pub fn plan_lines(plan: &PacePlan) -> Vec<String> {
    let leave = plan.leave.iter().map(leave_for_the_end);
    let stay = plan.stay.iter().map(|stay| leave_after(*stay));
    leave.chain(stay).collect()
}

/// A plan as it is read out before the clock starts.
pub fn plan_read_out(plan: &PacePlan) -> Vec<String> {
    let done = plan.checkpoints.iter().filter_map(|checkpoint| {
        let used = time_in_words(from_minutes(checkpoint.minutes)?);
        Some(format!(
            "Finish up to question {} in {used}.",
            checkpoint.question
        ))
    });
    done.chain(plan_lines(plan)).collect()
}

/// That the open question is one to leave.
pub fn leave_this(question: QuestionNo) -> String {
    format!("Your plan leaves question {question} until the end.")
}

/// The questions that come first, where another order is offered.
pub fn these_first(questions: &[QuestionNo]) -> String {
    format!(
        "Do these first: {}. Then the others, in order.",
        ranges_in_words(questions)
    )
}

/// What to do with blanks at the end: all are worth a guess, or only some.
pub fn fill_blanks(guess: &[QuestionNo], leave: &[QuestionNo], reserve: u32) -> Option<String> {
    let left = time_in_words(Elapsed::seconds(u64::from(reserve)));
    match (guess, leave) {
        ([], _) => None,
        (_, []) => Some(format!("With {left} left, fill every blank.")),
        _ => Some(format!(
            "With {left} left, fill the blanks among {}. Leave blanks among {}.",
            ranges(guess),
            ranges(leave)
        )),
    }
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

/// Whether another order is worth trying.
pub fn order(plan: &Plan) -> String {
    if plan.other.offered {
        format!(
            "Doing {} first could bring about {} more than going in order. That is half of what was worked out; so much came true in tests.",
            ranges_in_words(&plan.other.first),
            marks_about(plan.other.promise())
        )
    } else {
        "Going in order is as good as any other order, so here are your checkpoints.".to_owned()
    }
}

/// What filling every blank brings, where it is worth a word.
pub fn filling(plan: &Plan) -> Option<String> {
    let gain = marks_about(plan.filling()?);
    Some(format!(
        "Filling every blank would bring about {gain} more on average than what usually happens."
    ))
}

/// How likely it is that there is time for what is tried.
pub fn fits(chance: f64) -> String {
    format!(
        "Chance of getting to all the questions to try: {}. Behind at a checkpoint? Leave the next long one.",
        in_ten(chance)
    )
}

/// What the columns hold, what is kept for the sweep, and how the plan was made.
pub fn made_from(plan: &Plan) -> Vec<String> {
    let kept = Elapsed::seconds(u64::from(plan.reserve)).stopwatch();
    vec![
        "The last three columns: how much of the time comes from the pupil, from the group and from the default.".to_owned(),
        format!("Kept for filling the blanks at the end: {kept} ({SWEEP_EACH} seconds a blank, and at least a minute unless the paper is very short). The checkpoints fit the times to the rest."),
        "The mark in order is the forecast.".to_owned(),
    ]
}

/// How the plan is used, by the command that does it.
pub fn take_it(command: &str) -> String {
    format!("Use it in the next sitting: {command}")
}
