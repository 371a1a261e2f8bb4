//! What a typed line is: a label, a number or a word; labels come before everything else.

use super::word::Word;
use crate::dialogue::Scene;
use crate::domain::event::How;
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::words::aloud;
use crate::words::sign::Sign;

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

impl Typed {
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
        let mut characters = text.chars();
        let first = characters.next();
        let behind = characters.as_str().trim_start();
        let only = first.filter(|_| behind.is_empty());
        if let Some(label) = first.and_then(|c| labels.find(c)) {
            if behind.is_empty() {
                return Self::Label(label, None);
            }
            let marks = behind.matches(unsure).count();
            if marks * unsure.len() == behind.len() {
                // As often as the key would be pressed.
                let how = (0..marks).fold(How::Worked, |how, _| how.next_said());
                return Self::Label(label, Some(how));
            }
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
