//! What a typed line is: a label, a number or a word; labels come before everything else.

use super::word::Word;
use crate::dialogue::Scene;
use crate::domain::event::How;
use crate::domain::labels::{Label, Labels};
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Phase;
use crate::words::aloud;
use crate::words::sign::Sign;
use crate::words::sitting::page::another_alphabet;

/// A typed line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Typed {
    /// Enter alone.
    Nothing,
    /// An option of the open question, and how it was come by where that was typed behind it.
    Label(Label, Option<How>),
    /// The same behind the number of its question.
    LabelAt(QuestionNo, Label, Option<How>),
    /// An option of the open question to cross out, or back.
    Out(Label),
    /// A question's number.
    Question(QuestionNo),
    /// A word.
    Word(Word),
    /// Anything else; the sentence says what would do.
    Unclear(String),
}

/// What was asked is confirmed by `y`, or the word it stands for, whatever it was.
pub(super) fn is_yes(typed: &str) -> bool {
    matches!(typed.trim().to_lowercase().as_str(), "y" | "yes")
}

/// A label, and how it was come by where as many signs as the key would be pressed stand behind it.
fn with_marks(text: &str, labels: &Labels) -> Option<(Label, Option<How>)> {
    let unsure = Sign::Unsure.mark();
    let mut characters = text.chars();
    let label = labels.find(characters.next()?)?;
    let behind = characters.as_str().trim_start();
    if behind.is_empty() {
        return Some((label, None));
    }
    let marks = behind.matches(unsure).count();
    let only_marks = marks * unsure.len() == behind.len();
    let how = || (0..marks).fold(How::Worked, |how, _| how.next_said());
    only_marks.then(|| (label, Some(how())))
}

/// The word that signs alone stand for: as many of them as the key would be pressed.
fn said_by_marks(text: &str) -> Option<Word> {
    let unsure = Sign::Unsure.mark();
    match text.matches(unsure).count() {
        marks if marks == 0 || marks * unsure.len() != text.len() => None,
        1 => Some(Word::Unsure),
        2 => Some(Word::Guess),
        _ => None,
    }
}

/// A word as the table has it, however it was typed.
fn in_one_case(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    words.join(" ").to_lowercase()
}

/// That a letter is no option, or that the keyboard writes other letters.
fn no_option(typed: &str, labels: &Labels) -> String {
    let other = typed.chars().next().and_then(another_alphabet);
    other.map_or_else(|| aloud::options(labels), str::to_owned)
}

fn no_such_question(at: &Scene<'_>) -> String {
    let rows = at.sitting.rows().iter();
    aloud::no_such_question(&rows.map(|row| row.number).collect::<Vec<_>>())
}

impl Typed {
    /// A label behind a question's number: `4b`, `4 b?`; where digits answer, `#4 2`. Of anything
    /// else behind a number, what would do.
    fn behind_a_number(text: &str, at: &Scene<'_>) -> Option<Self> {
        let number = text.strip_prefix('#').unwrap_or(text).trim_start();
        let end = number.find(|c: char| !c.is_ascii_digit())?;
        let (digits, behind) = number.split_at_checked(end)?;
        if digits.is_empty() || (at.labels().are_digits() && !text.starts_with('#')) {
            return None;
        }
        let behind = behind.trim();
        let number = digits.parse().ok().map(QuestionNo);
        let Some(question) = number.filter(|number| at.sitting.row(*number).is_some()) else {
            return Some(Self::Unclear(no_such_question(at)));
        };
        let labels = at.sitting.header().paper.labels(question);
        if let Some((label, how)) = with_marks(behind, labels) {
            return Some(Self::LabelAt(question, label, how));
        }
        let word = said_by_marks(behind).or_else(|| Word::find(&in_one_case(behind)));
        if let Some(word) = word {
            return Some(Self::Unclear(aloud::number_first(question, word.name())));
        }
        let mut letters = behind.chars();
        let is_alone =
            letters.next().is_some_and(char::is_alphabetic) && letters.as_str().is_empty();
        is_alone.then(|| Self::Unclear(no_option(behind, labels)))
    }

    /// Reads a line typed at this sitting's open question; labels come before everything else.
    pub(super) fn read(line: &str, at: &Scene<'_>) -> Self {
        let line = line.trim_end_matches(['\r', '\n']);
        let text = line.trim();
        if line.is_empty() {
            return Self::Nothing;
        }
        if text.is_empty() {
            return Self::Word(Word::Skip);
        }
        let labels = at.labels();
        let unsure = Sign::Unsure.mark();
        // The letters that a page takes at time up, where no letter answers.
        if at.phase() == Phase::TimeUp {
            match text.to_lowercase().as_str() {
                "g" => return Self::Word(Word::Guess),
                "f" => return Self::Word(Word::Finish),
                _ => {}
            }
        }
        let mut characters = text.chars();
        let first = characters.next();
        let only = first.filter(|_| characters.as_str().trim().is_empty());
        if let Some((label, how)) = with_marks(text, labels) {
            return Self::Label(label, how);
        }
        if let Some(at_number) = Self::behind_a_number(text, at) {
            return at_number;
        }
        if let Some(out) = text.to_lowercase().strip_prefix("out ") {
            return match with_marks(out.trim(), labels) {
                Some((label, None)) => Self::Out(label),
                _ => Self::Unclear(aloud::no_option_to_cross_out(labels)),
            };
        }
        if let Some(why) = first.and_then(another_alphabet) {
            return Self::Unclear(why.to_owned());
        }
        if let Some(number) = text.strip_prefix('#').map(str::trim) {
            return Self::number(number, at);
        }
        if text.chars().all(|c| c.is_ascii_digit()) {
            return if labels.are_digits() {
                Self::Unclear(aloud::digits_answer(labels, text))
            } else {
                Self::number(text, at)
            };
        }
        if text == unsure {
            let marks = Word::InTurn.is_for(at.phase())
                && at.row().is_some_and(|row| row.in_time.is_some());
            return Self::Word(if marks { Word::InTurn } else { Word::Help });
        }
        if let Some(word) = said_by_marks(text).or_else(|| Word::find(&in_one_case(text))) {
            return Self::Word(word);
        }
        if is_yes(text) {
            return Self::Unclear(aloud::NOTHING_ASKED.to_owned());
        }
        if only.is_some_and(char::is_alphanumeric) {
            return Self::Unclear(aloud::options(labels));
        }
        Self::Unclear(aloud::NO_WORD.to_owned())
    }

    fn number(text: &str, at: &Scene<'_>) -> Self {
        let number = text.parse().ok().map(QuestionNo);
        match number.filter(|number| at.sitting.row(*number).is_some()) {
            Some(question) => Self::Question(question),
            None => Self::Unclear(no_such_question(at)),
        }
    }
}
