//! Values as people write them, taken as they come, so that what is wrong with one does not hide the rest.

use std::fmt;

use serde::de::{self, Deserialize, Deserializer, SeqAccess, Visitor};

use super::locate::Spot;
use super::problem::Findings;
use crate::domain::mark::Mark;
use crate::domain::paper::MOST_QUESTIONS;
use crate::domain::rule::QuestionNo;
use crate::domain::time::{self, Elapsed};

/// A number written as a number or in quotation marks, not yet read.
pub(super) struct Number(String);

impl Number {
    /// The moment or span of so many minutes, or a note of what is wrong with it.
    pub(super) fn minutes(&self, spot: &Spot, findings: &mut Findings<'_>) -> Option<Elapsed> {
        let read = time::parse_minutes(&self.0);
        read.map_err(|error| findings.wrong(spot, error)).ok()
    }

    /// The exact number, or a note of what is wrong with it.
    pub(super) fn read(&self, spot: &Spot, findings: &mut Findings<'_>) -> Option<Mark> {
        let read = self.0.parse();
        read.map_err(|error| findings.wrong(spot, error)).ok()
    }
}

impl<'de> Deserialize<'de> for Number {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct NumberVisitor;
        impl Visitor<'_> for NumberVisitor {
            type Value = Number;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a number such as 4, -1, 1.5, \"1/4\" or \"12 1/3\"")
            }
            fn visit_i64<E: de::Error>(self, number: i64) -> Result<Number, E> {
                Ok(Number(number.to_string()))
            }
            fn visit_u64<E: de::Error>(self, number: u64) -> Result<Number, E> {
                Ok(Number(number.to_string()))
            }
            /// The shortest text of a double is the decimal that was written.
            fn visit_f64<E: de::Error>(self, number: f64) -> Result<Number, E> {
                Ok(Number(number.to_string()))
            }
            fn visit_str<E: de::Error>(self, text: &str) -> Result<Number, E> {
                Ok(Number(text.to_owned()))
            }
        }
        deserializer.deserialize_any(NumberVisitor)
    }
}

/// A question's number, not yet held against the paper.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize)]
#[serde(transparent)]
pub(super) struct Numbered(pub(super) i64);

impl Numbered {
    /// The question, if a paper of so many questions has it.
    pub(super) fn among(self, questions: usize) -> Option<QuestionNo> {
        let number = u16::try_from(self.0).ok()?;
        (1..=questions.min(MOST_QUESTIONS))
            .contains(&usize::from(number))
            .then_some(QuestionNo(number))
    }
}

/// Answers written as one string or as a list.
pub(super) enum RawAnswers {
    /// `"BDACE BDACE"`.
    Run(String),
    /// `["B", "D"]`.
    List(Vec<String>),
}

impl<'de> Deserialize<'de> for RawAnswers {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct AnswersVisitor;
        impl<'de> Visitor<'de> for AnswersVisitor {
            type Value = RawAnswers;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("the answers as one string such as \"BDACE\" or as a list such as [\"B\", \"D\"]")
            }
            fn visit_str<E: de::Error>(self, text: &str) -> Result<RawAnswers, E> {
                Ok(RawAnswers::Run(text.to_owned()))
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<RawAnswers, A::Error> {
                let mut answers = Vec::new();
                while let Some(answer) = list.next_element()? {
                    answers.push(answer);
                }
                Ok(RawAnswers::List(answers))
            }
        }
        deserializer.deserialize_any(AnswersVisitor)
    }
}
