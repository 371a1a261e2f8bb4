//! The message line of a page.

use super::Said;
use super::page::{NOTHING_TO_FILL, TOO_LATE};
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::words::how::in_a_sentence;

impl Said {
    /// The sentence for a line of so many columns; nothing where the page itself shows it.
    pub fn shown(&self, columns: usize) -> Option<String> {
        Some(match self {
            Self::Answered {
                question,
                option,
                before,
                crossed,
                ..
            } => answered(*question, *option, *before) + crossed_out_before(*crossed),
            Self::CrossedOut(crossed) => crossed.shown(),
            Self::AllAnswered(look) => look.shown(),
            Self::Sweep(said) => return said.shown(),
            Self::Guessed {
                question, option, ..
            } => format!("{question}: {option}, a guess."),
            Self::How {
                question,
                option,
                how: said,
            } => format!(
                "{question}: {option}, {}. ? again: {}.",
                in_a_sentence(*said),
                in_a_sentence(said.next_said())
            ),
            Self::NothingToSayOf(question) => {
                format!("Answer {question} first. Then ? says how sure you are.")
            }
            Self::RubbedOut(question) => format!("{question} is blank again."),
            Self::NothingToRubOut { question } => {
                format!("{question} has no answer to rub out.")
            }
            Self::NoGuessToRubOut { question } => {
                format!("{question} has no guess to rub out.")
            }
            Self::LeftForLater {
                question,
                last: false,
            } => format!("{question} left for later."),
            Self::LeftForLater {
                question,
                last: true,
            } => format!("{question} left for later. / goes to the next blank."),
            Self::KeepsAnswer {
                question,
                last: false,
                ..
            } => format!("{question} has its answer. Going on."),
            Self::KeepsAnswer {
                question,
                last: true,
                ..
            } => format!("{question} has its answer. It is the last question."),
            Self::Flagged { question, up } => {
                let way = if *up { "on" } else { "off" };
                format!("Flag {way} {question}.")
            }
            Self::FirstQuestion => "This is the first question.".to_owned(),
            Self::LastQuestion {
                first,
                blanks,
                open,
            } => last_question(*first, blanks, *open, columns),
            Self::NoOtherBlank { only: true } => "This is the only blank.".to_owned(),
            Self::RoundIsThrough { .. } => "No other question is blank.".to_owned(),
            Self::NoOtherThatWay => "There's no other question that way.".to_owned(),
            Self::NoFlags => "No flags yet. Tab puts one up.".to_owned(),
            Self::NoUnsure => "No answer is marked ? (unsure).".to_owned(),
            Self::WhichQuestion => "Which question? Type its number, then Enter.".to_owned(),
            Self::NoOtherBlank { only: false } | Self::NothingBlank | Self::NothingToGuess => {
                "Nothing is blank.".to_owned()
            }
            Self::Filled => "Filled at random. Press * to undo it.".to_owned(),
            Self::NothingToFill => NOTHING_TO_FILL.to_owned(),
            Self::NotFilled => "Nothing was filled.".to_owned(),
            Self::FillsTakenBack => "The random answers are taken out again.".to_owned(),
            Self::NothingFilled => "Nothing is blank, and nothing was filled at random.".to_owned(),
            Self::TooLate { .. } => TOO_LATE.to_owned(),
            Self::Choose { blank: true } => {
                "Answers are locked now. G, then Enter, guesses the blanks.".to_owned()
            }
            Self::Choose { blank: false } => {
                "Answers are locked now. F, then Enter, finishes.".to_owned()
            }
            Self::Refused(refusal) => refusal.to_string(),
            Self::ClockRuns { .. }
            | Self::OnBreak
            | Self::ClockRunsAgain
            | Self::GuessRoundBegun
            | Self::AskFinish(_)
            | Self::AskGiveUp
            | Self::AskLeave(_)
            | Self::AskFill(_)
            | Self::AskGuess { .. }
            | Self::Kept
            | Self::TimeIsUp { .. }
            | Self::TimeIsUpNow { .. }
            | Self::AfterTime { .. }
            | Self::Checkpoint { .. }
            | Self::Reminder(_) => return None,
        })
    }
}

fn answered(question: QuestionNo, option: Label, before: Option<Label>) -> String {
    match before {
        Some(before) if before == option => format!("{question}: {option} already."),
        Some(before) => format!("{question}: {option}, was {before}."),
        None => format!("{question}: {option}."),
    }
}

/// What comes behind an answer that had been crossed out.
pub(super) const fn crossed_out_before(crossed: bool) -> &'static str {
    if crossed {
        " You had crossed it out."
    } else {
        ""
    }
}

/// Why no key goes on from the last question, and where to instead.
fn last_question(
    first: Option<QuestionNo>,
    blanks: &[QuestionNo],
    open: Option<QuestionNo>,
    columns: usize,
) -> String {
    let first = first.map_or(1, |first| first.0);
    match blanks.first() {
        None => "Last question, and none are blank. Esc, then f to finish.".to_owned(),
        Some(blank) if Some(*blank) == open => {
            "This is the last question, and the only blank.".to_owned()
        }
        Some(_) => {
            let whole = format!(
                "This is the last question. / goes to the first blank, Home to question {first}."
            );
            if whole.len() > columns {
                format!("Last question. / goes to the first blank, Home to {first}.")
            } else {
                whole
            }
        }
    }
}
