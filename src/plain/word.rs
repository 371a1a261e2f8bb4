//! The words of the line-by-line sitting, and what each of them says.
//!
//! Every word has three letters or more, so that none is ever a label; `-` and `?` are no labels.

use crate::dialogue::Move;
use crate::domain::event::How;
use crate::domain::sitting::{Phase, Refusal};
use crate::words::aloud;
use crate::words::sign::Sign;
use crate::words::sitting::ON_BREAK;

/// A word that does something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Word {
    Skip,
    Flag,
    Rub,
    Unsure,
    Guess,
    Worked,
    /// The sign `?`: unsure, guess, neither in turn.
    InTurn,
    Next,
    NextBlank,
    NextFlag,
    NextUnsure,
    Sweep,
    HideClock,
    ShowClock,
    /// Cross out: the option is typed behind it.
    Out,
    Time,
    Sheet,
    Blanks,
    Read,
    Break,
    Back,
    Fill,
    Finish,
    Leave,
    GiveUp,
    Help,
}

/// Every word as typed, and what it does.
pub(super) const WORDS: [(&str, Word, &str); 26] = [
    ("next", Word::Next, "like Enter"),
    (
        "back",
        Word::Back,
        "go to the question before; in a rest break: end it",
    ),
    (
        "skip",
        Word::Skip,
        "leave the question for later; a space does the same",
    ),
    ("read", Word::Read, "read the question again"),
    ("time", Word::Time, "say the time left"),
    ("blanks", Word::Blanks, "read which questions are blank"),
    ("sheet", Word::Sheet, "read the whole answer sheet"),
    (
        "rub",
        Word::Rub,
        "rub the answer out; a minus sign does the same",
    ),
    ("unsure", Word::Unsure, "say that the answer is unsure"),
    (
        "guess",
        Word::Guess,
        "say that the answer is a guess; after time up: guess the blanks",
    ),
    ("worked", Word::Worked, "say that the answer is worked out"),
    (
        "?",
        Word::InTurn,
        "unsure, then a guess, then neither; without an answer: these words",
    ),
    (
        "flag",
        Word::Flag,
        "put a flag beside the question, or take it away",
    ),
    (
        "out",
        Word::Out,
        "cross out an option, as in out c; the same again takes the cross away",
    ),
    (
        "next blank",
        Word::NextBlank,
        "go to the next blank question",
    ),
    (
        "next flag",
        Word::NextFlag,
        "go to the next question with a flag",
    ),
    (
        "next unsure",
        Word::NextUnsure,
        "go to the next unsure answer",
    ),
    (
        "sweep",
        Word::Sweep,
        "guess the blanks one by one, a letter each; sweep again stops",
    ),
    (
        "hide clock",
        Word::HideClock,
        "no time is said unless you type time",
    ),
    ("show clock", Word::ShowClock, "times again"),
    (
        "break",
        Word::Break,
        "start a rest break, if you may have one",
    ),
    (
        "fill",
        Word::Fill,
        "after time up: fill the blanks at random; asks first",
    ),
    ("finish", Word::Finish, "finish the sitting; asks first"),
    (
        "leave",
        Word::Leave,
        "leave the program and carry on later; asks first",
    ),
    (
        "give up",
        Word::GiveUp,
        "stop for good, without a mark; asks first",
    ),
    ("help", Word::Help, "read these words"),
];

impl Word {
    pub(super) fn find(text: &str) -> Option<Self> {
        if text == Sign::Blank.mark() {
            return Some(Self::Rub);
        }
        WORDS
            .iter()
            .find(|(name, ..)| *name == text)
            .map(|(_, word, _)| *word)
    }

    /// As it is typed.
    pub(super) fn name(self) -> &'static str {
        let mut all = WORDS.iter();
        all.find(|(_, word, _)| *word == self)
            .map_or("", |(name, ..)| name)
    }

    /// What it says in this phase; nothing where it only has something read out.
    pub(super) const fn says_in(self, phase: Phase) -> Option<Move> {
        Some(match self {
            Self::Skip => Move::Skip,
            Self::Flag => Move::Flag,
            Self::Rub => Move::RubOut,
            Self::Unsure => Move::Say(How::Unsure),
            Self::Guess => match phase {
                Phase::TimeUp | Phase::GuessRound => Move::Guess,
                Phase::Running | Phase::OnBreak | Phase::Closed(_) => Move::Say(How::Guessed),
            },
            Self::Worked => Move::Say(How::Worked),
            Self::InTurn => Move::SayNext,
            Self::NextBlank => Move::NextBlank,
            Self::Break => Move::StartBreak,
            Self::Back => match phase {
                Phase::OnBreak => Move::EndBreak,
                _ => Move::Previous,
            },
            Self::Next => Move::Next,
            Self::NextFlag => Move::NextFlag,
            Self::NextUnsure => Move::NextUnsure,
            Self::Sweep => Move::Sweep,
            Self::HideClock => Move::HideClock,
            Self::ShowClock => Move::ShowClock,
            Self::Fill => Move::Fill,
            Self::Finish => Move::Finish,
            Self::Leave => Move::Leave,
            Self::GiveUp => Move::GiveUp,
            Self::Time | Self::Sheet | Self::Blanks | Self::Read | Self::Out | Self::Help => {
                return None;
            }
        })
    }

    /// Whether the word does something in this phase.
    pub(super) const fn is_for(self, phase: Phase) -> bool {
        match (self, self.says_in(phase)) {
            (_, Some(said)) => said.is_for(phase),
            // Only while there is an open question.
            (Self::Read | Self::Out, None) => Move::Next.is_for(phase),
            (_, None) => true,
        }
    }

    /// What to say where it does nothing.
    pub(super) fn elsewhere(self, phase: Phase) -> String {
        match (self, phase) {
            (_, Phase::OnBreak) => ON_BREAK.to_owned(),
            (Self::Fill, Phase::Running) => aloud::FILLING_IS_LATER.to_owned(),
            (_, Phase::GuessRound) => aloud::LETTER_GUESSES.to_owned(),
            (_, Phase::TimeUp) => aloud::GUESS_OR_FINISH.to_owned(),
            (_, Phase::Running | Phase::Closed(_)) => Refusal::Locked.to_string(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_word_is_ever_a_label() {
        for (name, word, _) in WORDS {
            let alone = name.chars().count() == 1;
            assert!(!alone || !name.starts_with(char::is_alphanumeric), "{name}");
            assert_eq!(Word::find(name), Some(word));
        }
    }
}
