//! The step agreed in a talk: what it asks for, and what became of it.

use super::count::counted;
use super::findings::BUT_HURRIED;
use super::text::capital;
use super::time::{day, time_in_words};
use crate::analysis::step::{StepFacts, WhyUnknown};
use crate::domain::step::{BeyondSitting, ListedStep, Step};
use crate::season::step::{FollowedStep, StepState};
use crate::words::numbers::ranges_in_words;

/// What a pupil is asked to do: `Begin the sweep with at least 3 minutes left.`
pub fn to_do(step: &Step) -> String {
    match step {
        Step::Listed(ListedStep::Sweep { left }) => format!(
            "Begin the sweep with at least {} left.",
            time_in_words(*left)
        ),
        Step::Listed(ListedStep::Stay { most }) => format!(
            "Stay on no question for longer than {}: leave it and come back.",
            time_in_words(*most)
        ),
        Step::Listed(ListedStep::Checkpoint { question, by }) => format!(
            "Be done with questions 1 to {question} by {}: answer each one, or leave it for later.",
            time_in_words(*by)
        ),
        Step::Listed(ListedStep::Checkpoints) => "Keep every checkpoint of your plan.".to_owned(),
        Step::Listed(ListedStep::Flags) => {
            "Before you finish, look again at every question you flagged.".to_owned()
        }
        Step::OwnWords(text) => text.clone(),
    }
}

/// Why a step cannot be kept on a paper like that of its sitting.
pub fn beyond(what: BeyondSitting) -> String {
    match what {
        BeyondSitting::Question(last) => {
            format!("the paper of this sitting ends with question {last}; name a question up to it")
        }
        BeyondSitting::Time(allowed) => format!(
            "the sitting had {}; name a time within it",
            time_in_words(allowed)
        ),
    }
}

/// The step in a few words: `sweep begun with 3 minutes left`.
pub fn in_short(step: &Step) -> String {
    match step {
        Step::Listed(ListedStep::Sweep { left }) => {
            format!("sweep begun with {} left", time_in_words(*left))
        }
        Step::Listed(ListedStep::Stay { most }) => {
            format!("no stay over {}", time_in_words(*most))
        }
        Step::Listed(ListedStep::Checkpoint { question, by }) => {
            format!("questions 1 to {question} done by {}", time_in_words(*by))
        }
        Step::Listed(ListedStep::Checkpoints) => "every checkpoint of the plan kept".to_owned(),
        Step::Listed(ListedStep::Flags) => "every flag looked at again".to_owned(),
        Step::OwnWords(text) => text.clone(),
    }
}

/// What a parent needs to know to follow a step; nothing where its words say it.
pub const fn for_parents_to_know(step: &Step) -> Option<&'static str> {
    match step {
        Step::Listed(ListedStep::Sweep { .. }) => Some(
            "In the sweep, the pupil goes through the blank questions and answers each, shortly before time is up.",
        ),
        Step::Listed(ListedStep::Checkpoints) => {
            Some("A checkpoint is a question to have reached by a certain minute.")
        }
        Step::Listed(ListedStep::Flags) => {
            Some("Pupils flag a question that they want to look at again.")
        }
        Step::Listed(ListedStep::Stay { .. } | ListedStep::Checkpoint { .. })
        | Step::OwnWords(_) => None,
    }
}

/// The heading over the step, before a sitting and after it.
pub const YOUR_STEP: &str = "Your step";

/// The step as a line of its own, before a sitting is carried on with.
pub fn read_out_in_a_line(step: &Step) -> String {
    format!("{YOUR_STEP}: {}", to_do(step))
}

/// The step and what became of it, in one line: `Agreed: sweep begun with 3 minutes left; done: ...`.
pub fn agreed(followed: &FollowedStep) -> String {
    let Some(step) = &followed.agreed.step else {
        return "The agreed step was withdrawn.".to_owned();
    };
    format!("Agreed: {}; {}.", in_short(step), state(&followed.state))
}

/// The same of the step that was agreed before a sitting, and that it judged.
pub fn step_before(followed: &FollowedStep) -> String {
    format!("Before this sitting. {}", agreed(followed))
}

/// The same of a sitting's own step, with the day of the sitting that judged it.
pub fn agreed_and_when(followed: &FollowedStep) -> String {
    let said = agreed(followed);
    match followed.state.sitting() {
        Some(by) => format!("{said} (Sitting of {}.)", day(by.started.date_naive())),
        None => said,
    }
}

/// What became of a step, in a few words.
pub fn state(state: &StepState) -> String {
    match state {
        StepState::Open(None) => "open until the next sitting".to_owned(),
        StepState::Open(Some((by, why))) => format!(
            "still open: the sitting of {} can't tell, as {}",
            day(by.started.date_naive()),
            why_unknown(*why)
        ),
        StepState::Done(_, facts) => format!("done: {}", shown(facts)),
        StepState::NotDone(_, facts) => format!("not this time: {}", shown(facts)),
        StepState::NotJudged(_, None) => "ask how it went, as no log can tell".to_owned(),
        StepState::NotJudged(_, Some(why)) => {
            format!("nobody can tell, as {}", why_unknown(*why))
        }
        StepState::Withdrawn => "withdrawn".to_owned(),
    }
}

/// What a step was judged by.
fn shown(facts: &StepFacts) -> String {
    match facts {
        StepFacts::Sweep {
            left,
            not_needed,
            blanks,
            left_free,
        } => {
            let blanks = counted(*blanks, "blank");
            match left {
                _ if *not_needed => "nothing was blank by then".to_owned(),
                Some(left) => format!(
                    "begun with {} left, {}{blanks}",
                    time_in_words(*left),
                    if *left_free { "but " } else { "" },
                ),
                None => format!("no sweep, {blanks}"),
            }
        }
        StepFacts::Stay { question, longest } => {
            let longest = time_in_words(*longest);
            format!("question {question} was open the longest, for {longest}")
        }
        StepFacts::Checkpoint {
            reached: Some(reached),
            ..
        } => format!("reached by {}", time_in_words(*reached)),
        StepFacts::Checkpoint {
            reached: None,
            done,
            of,
            ..
        } => format!("{done} of {} done by then", counted(*of, "question")),
        StepFacts::Checkpoints { kept, of, hurried } => format!(
            "{kept} of {} kept{}",
            counted(*of, "checkpoint"),
            if *hurried { BUT_HURRIED } else { "" },
        ),
        StepFacts::Flags { left, flagged } if left.is_empty() => {
            format!("{} looked at again", counted(flagged.len(), "flag"))
        }
        StepFacts::Flags { left, .. } => {
            let which = ranges_in_words(left);
            let questions = if left.len() == 1 {
                "question"
            } else {
                "questions"
            };
            format!("{questions} {which} not looked at again")
        }
    }
}

/// Why a log cannot tell, as the end of a sentence.
pub const fn why_unknown(why: WhyUnknown) -> &'static str {
    match why {
        WhyUnknown::TypedIn => "its answers were typed in afterwards",
        WhyUnknown::EnteredTogether => "answers were entered together",
        WhyUnknown::NoPlan => "there was no plan with checkpoints",
        WhyUnknown::NotAsked => "those questions weren't asked",
        WhyUnknown::EndedBefore => "it was finished before then",
        WhyUnknown::NoFlags => "nothing was flagged",
    }
}

/// The heading over a pupil's steps.
pub const STEPS: &str = "Agreed steps, by the sitting that was talked about:";

/// A step in a list of a pupil's steps.
pub fn listed(followed: &FollowedStep) -> String {
    let about = day(followed.about.started.date_naive());
    let said = agreed(followed);
    format!("{}: {}", capital(&about), said)
}
