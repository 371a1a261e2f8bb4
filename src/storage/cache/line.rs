//! A sitting as a line of a cache.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use super::digest::ContentDigest;
use crate::domain::abridged::{Abridged, AbridgedRow, TimeTaken};
use crate::domain::event::{Ending, How};
use crate::domain::header::Alias;
use crate::domain::labels::Label;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Given;
use crate::domain::standing::Standing;
use crate::domain::time::Elapsed;
use crate::storage::disk::ChangeStamp;

/// What stands in a line for a file whose bytes alone tell whether it has changed.
pub(super) const NO_STAMP: &str = "-";

/// How a line begins: what its file is known by.
pub(super) fn known_by(digest: ContentDigest, stamp: Option<ChangeStamp>) -> String {
    let stamp = stamp.map_or_else(|| NO_STAMP.to_owned(), |stamp| stamp.to_string());
    format!("{digest} {stamp}")
}

/// A sitting as its line has it.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SummaryLine {
    format: u32,
    sitting: String,
    pupil: Alias,
    started: DateTime<FixedOffset>,
    invented: bool,
    /// How it ended, whether it is of the whole paper, whether it was typed in.
    standing: (Option<Ending>, bool, bool),
    /// Allowed and used.
    time: (Elapsed, Elapsed),
    flags: usize,
    numbers: Vec<QuestionNo>,
    /// In time, and in the guess round.
    answers: (AnswerLine, AnswerLine),
}

/// Answers in the order of their questions: a letter each, a dash for a blank, and how each was come by.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct AnswerLine(String, String);

/// The place of each is its sign.
const HOW: [How; 4] = [How::Worked, How::Unsure, How::Guessed, How::Filled];

impl AnswerLine {
    fn of(given: impl Iterator<Item = Option<Given>> + Clone) -> Self {
        let sign = |given: Option<Given>| {
            let how = given.map_or(How::Worked, |given| given.how);
            let place = (0_u32..).zip(HOW).find(|(_, own)| *own == how);
            place
                .and_then(|(place, _)| char::from_digit(place, 10))
                .unwrap_or('0')
        };
        let letter = |given: Option<Given>| given.map_or('-', |given| given.option.as_char());
        Self(
            given.clone().map(letter).collect(),
            given.map(sign).collect(),
        )
    }

    /// The answers; none where a sign stands for nothing.
    fn given(&self) -> Option<Vec<Option<Given>>> {
        let given = |(letter, sign): (char, char)| {
            let how = HOW
                .get(usize::try_from(sign.to_digit(10)?).ok()?)
                .copied()?;
            if letter == '-' {
                return Some(None);
            }
            let option = Label::new(letter).filter(|own| own.as_char() == letter)?;
            Some(Some(Given { option, how }))
        };
        self.0.chars().zip(self.1.chars()).map(given).collect()
    }
}

impl SummaryLine {
    pub(super) fn of(sitting: &Abridged) -> Self {
        let rows = sitting.rows.iter();
        let standing = sitting.standing;
        Self {
            format: sitting.format,
            sitting: sitting.sitting.clone(),
            pupil: sitting.pupil.clone(),
            started: sitting.started,
            invented: sitting.invented,
            standing: (standing.ending, standing.whole, standing.typed_in),
            time: (sitting.time.allowed, sitting.time.used),
            flags: sitting.flags,
            numbers: rows.clone().map(|row| row.number).collect(),
            answers: (
                AnswerLine::of(rows.clone().map(|row| row.in_time)),
                AnswerLine::of(rows.map(|row| row.after_time)),
            ),
        }
    }

    pub(super) fn sitting(self, paper: Arc<Outline>) -> Option<Abridged> {
        let (in_time, after_time) = (self.answers.0.given()?, self.answers.1.given()?);
        if [in_time.len(), after_time.len()] != [self.numbers.len(); 2] {
            return None;
        }
        let row = |(number, (in_time, after_time))| AbridgedRow {
            number,
            in_time,
            after_time,
        };
        let answers = in_time.into_iter().zip(after_time);
        let ((ending, whole, typed_in), (allowed, used)) = (self.standing, self.time);
        Some(Abridged {
            format: self.format,
            sitting: self.sitting,
            pupil: self.pupil,
            started: self.started,
            invented: self.invented,
            paper,
            standing: Standing {
                ending,
                whole,
                typed_in,
                withdrawn: None,
            },
            time: TimeTaken { allowed, used },
            flags: self.flags,
            rows: self.numbers.into_iter().zip(answers).map(row).collect(),
        })
    }
}
