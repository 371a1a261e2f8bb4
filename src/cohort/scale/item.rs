//! What makes a question the same one on two papers, and which answers count for it.

use crate::analysis::evidence::{Done, Evidence, Seen};
use crate::domain::paper::PaperId;
use crate::domain::rule::QuestionNo;

/// What makes a question the same one on another paper.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ItemId {
    /// Its words, figure and options.
    Text(String),
    /// Its place in a version of a paper, where it has no words here.
    Numbered(PaperId, QuestionNo),
}

impl ItemId {
    /// The question as the scale knows it: by its words where they are at hand, else by its paper and number.
    pub fn of(evidence: &Evidence, number: QuestionNo) -> Self {
        evidence.texts.get(&number).map_or_else(
            || Self::Numbered(evidence.paper.clone(), number),
            |text| Self::Text(text.to_string()),
        )
    }
}

/// Which answers say something of a question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counting {
    /// Those worked out: right or not. What a forecast needs, which knows apart how far a pupil gets.
    Worked,
    /// Every question asked: worked out and right, or not. What a mark needs, in which a blank counts as one.
    Asked,
}

impl Counting {
    /// Whether an answer counts as right; `None` where it does not count.
    pub fn right(self, seen: &Seen) -> Option<bool> {
        match (self, seen.done) {
            (_, Done::Right) => Some(true),
            (_, Done::Wrong) | (Self::Asked, Done::Guessed | Done::Blank) => Some(false),
            (Self::Worked, Done::Guessed | Done::Blank) => None,
        }
    }
}
