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

impl Typed {
    /// A label behind a question's number: `4b`, `4 b?`; where digits answer, `#4 2`.
    fn behind_a_number(text: &str, at: &Scene<'_>) -> Option<Self> {
        let number = text.strip_prefix('#').unwrap_or(text).trim_start();
        let end = number.find(|c: char| !c.is_ascii_digit())?;
        let (digits, behind) = number.split_at_checked(end)?;
        let question = QuestionNo(digits.parse().ok()?);
        at.sitting.row(question)?;
        let labels = at.sitting.header().paper.labels(question);
        if at.labels().are_digits() && !text.starts_with('#') {
            return None;
        }
        let (label, how) = with_marks(behind.trim_start(), labels)?;
        Some(Self::LabelAt(question, label, how))
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
                _ => Self::Unclear(aloud::which_to_cross_out(labels)),
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
        let words: Vec<&str> = text.split_whitespace().collect();
        if let Some(word) = Word::find(&words.join(" ").to_lowercase()) {
            return Self::Word(word);
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
            None => Self::Unclear(aloud::no_such_question(at.sitting.rows().len())),
        }
    }
}
