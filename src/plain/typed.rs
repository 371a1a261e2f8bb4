//! What a typed line is: a label, a number or a word.
//!
//! Every word has three letters or more, so that none is ever a label; `-` and `?` are no labels.

use crate::domain::event::How;
use crate::domain::labels::{Label, Labels};
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Phase, Sitting};
use crate::words::count::counted;

/// A typed line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Typed {
    /// Enter alone.
    Nothing,
    /// An option of the open question, and how it was come by where that was typed behind it.
    Label(Label, Option<How>),
    /// A question's number.
    Question(QuestionNo),
    /// A word.
    Word(Word),
    /// Anything else; the sentence says what would do.
    Unclear(String),
}

/// A word that does something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Word {
    Skip,
    Flag,
    Rub,
    Unsure,
    Guess,
    Worked,
    /// The sign `-`: worked, unsure, guess in turn.
    InTurn,
    NextBlank,
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
pub(super) const WORDS: [(&str, Word, &str); 19] = [
    (
        "skip",
        Word::Skip,
        "leave the question for later; a space does the same",
    ),
    (
        "flag",
        Word::Flag,
        "put a flag beside the question, or take it away",
    ),
    ("rub", Word::Rub, "rub the answer out"),
    ("unsure", Word::Unsure, "say that the answer is unsure"),
    (
        "guess",
        Word::Guess,
        "say that the answer is a guess; after time up: guess the blanks",
    ),
    ("worked", Word::Worked, "say that the answer is worked out"),
    ("-", Word::InTurn, "the same in turn: unsure, guess, worked"),
    (
        "next blank",
        Word::NextBlank,
        "go to the next blank question",
    ),
    ("read", Word::Read, "read the question again"),
    ("time", Word::Time, "say the time left"),
    ("sheet", Word::Sheet, "read the whole answer sheet"),
    ("blanks", Word::Blanks, "read which questions are blank"),
    (
        "break",
        Word::Break,
        "begin a rest break, where one is arranged",
    ),
    ("back", Word::Back, "end the rest break"),
    (
        "fill",
        Word::Fill,
        "after time up: fill the blanks at random",
    ),
    ("finish", Word::Finish, "end the sitting; asks once more"),
    (
        "leave",
        Word::Leave,
        "stop the program, the sitting stays open; asks once more",
    ),
    (
        "give up",
        Word::GiveUp,
        "end the sitting for good, without a mark; asks once more",
    ),
    ("help", Word::Help, "read these words"),
];

impl Word {
    fn find(text: &str) -> Option<Self> {
        let text = if text == "?" { "help" } else { text };
        WORDS
            .iter()
            .find(|(name, ..)| *name == text)
            .map(|(_, word, _)| *word)
    }

    /// Whether the word does something in this phase.
    pub(super) const fn is_for(self, phase: Phase) -> bool {
        match self {
            Self::Time | Self::Sheet | Self::Blanks | Self::Leave | Self::GiveUp | Self::Help => {
                true
            }
            Self::Flag | Self::Unsure | Self::Worked | Self::InTurn | Self::Break => {
                matches!(phase, Phase::Running)
            }
            Self::Skip | Self::Rub | Self::Read | Self::NextBlank => {
                matches!(phase, Phase::Running | Phase::GuessRound)
            }
            Self::Back => matches!(phase, Phase::OnBreak),
            Self::Fill => matches!(phase, Phase::GuessRound),
            Self::Guess => matches!(phase, Phase::Running | Phase::TimeUp),
            Self::Finish => !matches!(phase, Phase::OnBreak | Phase::Closed(_)),
        }
    }

    /// What to say where it does nothing.
    pub(super) const fn elsewhere(self, phase: Phase) -> &'static str {
        match (self, phase) {
            (_, Phase::OnBreak) => super::said::ON_BREAK,
            (Self::Back, _) => "There is no rest break to end.",
            (Self::Fill, Phase::Running) => "Filling comes after time is up.",
            (Self::Guess, Phase::GuessRound) => "The guess round is on. A letter guesses.",
            (_, Phase::TimeUp) => "Time is up. Type guess, or finish.",
            (_, Phase::Running | Phase::GuessRound | Phase::Closed(_)) => {
                "Time is up. Answers in time are locked."
            }
        }
    }
}

impl Typed {
    /// Reads a line typed at this sitting's open question; labels come before everything else.
    pub(super) fn read(line: &str, sitting: &Sitting) -> Self {
        let line = line.trim_end_matches(['\r', '\n']);
        let text = line.trim();
        if line.is_empty() {
            return Self::Nothing;
        }
        if text.is_empty() {
            return Self::Word(Word::Skip);
        }
        let paper = &sitting.header().paper;
        let labels = super::here(sitting).map_or(&paper.options, |open| paper.labels(open));
        let mut characters = text.chars();
        let first = characters.next();
        let behind = characters.as_str().trim_start();
        let only = first.filter(|_| behind.is_empty());
        if let Some(label) = first.and_then(|c| labels.find(c)) {
            match behind {
                "" => return Self::Label(label, None),
                "-" => return Self::Label(label, Some(How::Unsure)),
                "?" => return Self::Label(label, Some(How::Guessed)),
                _ => {}
            }
        }
        if let Some(number) = text.strip_prefix('#').map(str::trim) {
            return Self::number(number, sitting);
        }
        if text.chars().all(|c| c.is_ascii_digit()) {
            return if labels.are_digits() {
                Self::Unclear(format!(
                    "Digits answer here: {}. To go to question {text}, type #{text}.",
                    labels.range()
                ))
            } else {
                Self::number(text, sitting)
            };
        }
        let words: Vec<&str> = text.split_whitespace().collect();
        if let Some(word) = Word::find(&words.join(" ").to_lowercase()) {
            return Self::Word(word);
        }
        if only.is_some_and(char::is_alphanumeric) {
            return Self::Unclear(no_option(labels));
        }
        Self::Unclear("That is no word of this program. Type help to hear them.".to_owned())
    }

    fn number(text: &str, sitting: &Sitting) -> Self {
        let number = text.parse().ok().map(QuestionNo);
        match number.filter(|number| sitting.row(*number).is_some()) {
            Some(question) => Self::Question(question),
            None => Self::Unclear(format!(
                "There is no such question in this sitting. It has {}.",
                counted(sitting.rows().len(), "question")
            )),
        }
    }
}

fn no_option(labels: &Labels) -> String {
    format!("This question has the options {}.", labels.range())
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
