//! What the tutor says about a sitting: causes of lost marks and words, kept beside the session.

use std::collections::BTreeMap;
use std::fmt;

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use super::rule::QuestionNo;

/// The version of the notes file that this program writes; it reads all up to it.
pub const NOTES_FORMAT: u32 = 1;

/// Why a mark was lost: set by the tutor or the pupil, never by the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Cause {
    /// Another question was answered than the one asked.
    Misread,
    /// The method was there; a step slipped.
    Slip,
    /// Another option was keyed than the one meant.
    Miskeyed,
    /// The method was wrong or stopped half way.
    Method,
    /// The topic was not met yet.
    Gap,
    /// There was no time for it.
    NoTime,
    /// It was answered too fast.
    Rushed,
    /// Much time went, and nothing came.
    Sink,
    /// Options were crossed out well, and the guess between the rest went the other way.
    BadLuck,
    /// It was right, and was changed.
    Changed,
}

impl Cause {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 10] = [
        Self::Misread,
        Self::Slip,
        Self::Miskeyed,
        Self::Method,
        Self::Gap,
        Self::NoTime,
        Self::Rushed,
        Self::Sink,
        Self::BadLuck,
        Self::Changed,
    ];

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Misread => "misread",
            Self::Slip => "slip",
            Self::Miskeyed => "miskeyed",
            Self::Method => "method",
            Self::Gap => "gap",
            Self::NoTime => "no time",
            Self::Rushed => "rushed",
            Self::Sink => "sink",
            Self::BadLuck => "bad luck",
            Self::Changed => "changed",
        }
    }
}

impl fmt::Display for Cause {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

/// What was said, by whom and when.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Said {
    /// The cause of the lost mark, where one was chosen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cause: Option<Cause>,
    /// Words; may be empty.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub text: String,
    /// Whose initials.
    pub by: String,
    /// When.
    pub at: DateTime<FixedOffset>,
}

/// The notes on one sitting.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Notes {
    /// The sitting's id.
    pub sitting: String,
    /// On the sitting as a whole.
    pub whole: Option<Said>,
    /// By question.
    pub questions: BTreeMap<QuestionNo, Said>,
}

impl Notes {
    /// No notes yet on this sitting.
    pub fn new(sitting: &str) -> Self {
        Self {
            sitting: sitting.to_owned(),
            ..Self::default()
        }
    }

    /// Says something of a question; nothing said takes the note away.
    pub fn say(&mut self, question: QuestionNo, said: Said) {
        if said.cause.is_none() && said.text.trim().is_empty() {
            self.questions.remove(&question);
        } else {
            self.questions.insert(question, said);
        }
    }

    /// The cause set for a question.
    pub fn cause(&self, question: QuestionNo) -> Option<Cause> {
        self.questions.get(&question).and_then(|said| said.cause)
    }

    /// Whether nothing is said at all.
    pub fn is_empty(&self) -> bool {
        self.whole.is_none() && self.questions.is_empty()
    }
}
