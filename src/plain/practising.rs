//! Practice line by line: what a line typed means, by where the open question stands.

use crate::domain::practice::{PracticeRound, RoundMove, RoundStage};
use crate::words::ask::AskLine;
use crate::words::practise as words;

/// What a line asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PractisedLine {
    /// A move.
    Do(RoundMove),
    /// The question is said again.
    Again,
    /// These lines are said, and nothing else happens.
    Say(Vec<String>),
}

/// Reads a line.
pub fn practised_line(typed: &str, stage: RoundStage) -> PractisedLine {
    let text = typed.trim();
    let word = text.to_lowercase();
    let mut letters = text.chars();
    let only = match (letters.next(), letters.next()) {
        (Some(only), None) => Some(only),
        _ => None,
    };
    let is_over = matches!(stage, RoundStage::Over { .. });
    match (word.as_str(), only) {
        ("stop" | "leave" | "quit", _) => PractisedLine::Do(RoundMove::Stop),
        ("again", _) => PractisedLine::Again,
        ("help", _) if is_over => PractisedLine::Say(vec![words::CATCH_OR_GO_ON.to_owned()]),
        ("", _) if is_over => PractisedLine::Do(RoundMove::Next),
        (_, Some(_)) if is_over => PractisedLine::Say(vec![words::OVER_ALREADY.to_owned()]),
        (_, None) if is_over => PractisedLine::Do(RoundMove::Catch(text.to_owned())),
        ("hint", _) => PractisedLine::Do(RoundMove::Hint),
        (_, Some(letter)) => PractisedLine::Do(RoundMove::Answer(letter)),
        (_, None) => PractisedLine::Say(vec![words::WORDS_TO_TYPE.to_owned()]),
    }
}

/// The open question as it is said first, or again.
pub fn question_lines(round: &PracticeRound) -> Vec<String> {
    let Some(open) = round.question() else {
        return Vec::new();
    };
    let place = words::place(round).map(|place| format!("{place}."));
    let mut said: Vec<String> = place.into_iter().collect();
    said.extend(
        words::question(open, true)
            .into_iter()
            .map(|line| match line {
                AskLine::Words(line) | AskLine::AsItStands(line) => line,
            }),
    );
    said.extend(words::told(round));
    said.extend(words::answer_with(open, round.stage()));
    said
}

/// What is said after a move that left the question open or over.
pub fn after_move(round: &PracticeRound) -> Vec<String> {
    let mut said = words::told(round);
    let open = round.question();
    said.extend(open.and_then(|open| words::answer_with(open, round.stage())));
    match round.stage() {
        RoundStage::Over { caught: false } => said.push(words::CATCH_OR_GO_ON.to_owned()),
        RoundStage::Over { caught: true } => {
            said = vec![words::CATCH_KEPT.to_owned(), words::OVER_ALREADY.to_owned()];
        }
        RoundStage::First { .. } | RoundStage::Second { .. } | RoundStage::Ended => {}
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_letter_answers_and_words_are_the_catch_only_once_the_question_is_over() {
        let open = RoundStage::First { hinted: false };
        let over = RoundStage::Over { caught: false };
        let read = |typed: &str, stage| practised_line(typed, stage);
        assert_eq!(read(" c ", open), PractisedLine::Do(RoundMove::Answer('c')));
        assert_eq!(read("Hint", open), PractisedLine::Do(RoundMove::Hint));
        assert!(matches!(read("I think c", open), PractisedLine::Say(_)));
        assert!(matches!(read("", open), PractisedLine::Say(_)));
        assert!(
            matches!(read("c", over), PractisedLine::Say(_)),
            "a letter too many"
        );
        assert_eq!(read("", over), PractisedLine::Do(RoundMove::Next));
        let line = "I halved it".to_owned();
        assert_eq!(
            read("I halved it", over),
            PractisedLine::Do(RoundMove::Catch(line))
        );
        for stage in [open, over] {
            assert_eq!(read("stop", stage), PractisedLine::Do(RoundMove::Stop));
            assert_eq!(read("again", stage), PractisedLine::Again);
        }
    }
}
