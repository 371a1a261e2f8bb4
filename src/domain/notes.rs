//! What the tutor says about a sitting: causes of lost marks and words, kept beside the session.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use super::rule::QuestionNo;
use super::step::{AgreedStep, Step};

/// The version of the notes file that this program writes; it reads all up to it.
pub const NOTES_FORMAT: u32 = 2;

/// The longest note, and the longest sentence of a tutor's, in characters.
pub const LONGEST_NOTE: usize = 500;

/// A sentence that no page has room for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("--sentence has {0} characters; write it in at most {LONGEST_NOTE}")]
pub struct TooLongSentence(usize);

/// Checks the length of a tutor's sentence.
///
/// # Errors
/// More characters than [`LONGEST_NOTE`].
pub fn sentence_fits(sentence: &str) -> Result<(), TooLongSentence> {
    let length = sentence.chars().count();
    if length > LONGEST_NOTE {
        return Err(TooLongSentence(length));
    }
    Ok(())
}

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

impl Said {
    /// What puts words on one question in order: the latest last, and no tie but between equals.
    fn rank(&self) -> (DateTime<FixedOffset>, i32, &str, Option<Cause>, &str) {
        let zone = self.at.offset().local_minus_utc();
        (self.at, zone, &self.text, self.cause, &self.by)
    }
}

/// Both lists' items, each once, in order.
fn united<T: Ord + Clone>(one: &[T], other: &[T]) -> Vec<T> {
    let all: BTreeSet<&T> = one.iter().chain(other).collect();
    all.into_iter().cloned().collect()
}

/// The tutor's word on whether a sitting counts.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ruling {
    /// When.
    pub at: DateTime<FixedOffset>,
    /// Whether it counts; where not, it is set aside.
    pub counts: bool,
    /// Why; may be empty where it counts.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub because: String,
    /// Whose initials.
    pub by: String,
}

/// What the tutor vouches for on an evidence sheet. Nothing here names a reason for an arrangement.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Vouched {
    /// When.
    pub at: DateTime<FixedOffset>,
    /// Whether the tutor saw the time kept.
    #[serde(default)]
    pub timed: bool,
    /// Whether somebody was there throughout.
    #[serde(default)]
    pub supervised: bool,
    /// A sentence of the tutor's; may be empty.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub sentence: String,
    /// Whose initials.
    pub by: String,
}

/// A sentence of the tutor's for the pupil, for the feedback page.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PupilSentence {
    /// When.
    pub at: DateTime<FixedOffset>,
    /// The sentence; empty where an earlier one stands no longer.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub sentence: String,
    /// Whose initials.
    pub by: String,
}

/// What was said before and stands no longer, since notes of two places came together.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Earlier {
    /// The question; none for the sitting as a whole.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub question: Option<QuestionNo>,
    /// What was said.
    pub said: Said,
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
    /// Whether the sitting counts, in the order in which it was decided: the last word holds.
    pub decisions: Vec<Ruling>,
    /// What stands on an evidence sheet, in the order in which it was said: the last word holds.
    pub vouched: Vec<Vouched>,
    /// What the feedback page tells the pupil, in the order in which it was written: the last word holds.
    pub for_pupil: Vec<PupilSentence>,
    /// The step agreed in a talk, in the order in which it was agreed: the last word holds.
    pub steps: Vec<AgreedStep>,
    /// What stands no longer, kept when notes came together.
    pub earlier: Vec<Earlier>,
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

    /// Whether the sitting counts, where the tutor has decided.
    pub fn decision(&self) -> Option<&Ruling> {
        self.decisions.last()
    }

    /// The tutor's sentence for the pupil, where there is one.
    pub fn sentence_for_pupil(&self) -> Option<&str> {
        let last = self.for_pupil.last()?.sentence.trim();
        (!last.is_empty()).then_some(last)
    }

    /// The last word on the agreed step, where there was a talk of one.
    pub fn agreed(&self) -> Option<&AgreedStep> {
        self.steps.last()
    }

    /// The step that stands: agreed, and not withdrawn.
    pub fn step(&self) -> Option<&Step> {
        self.agreed()?.step.as_ref()
    }

    /// Whether nothing is said at all.
    pub fn is_empty(&self) -> bool {
        *self == Self::new(&self.sitting)
    }

    /// Brings together what was said in two places on one sitting: of each question the latest word stands, and
    /// no other is lost. Neither the order nor the number of times makes a difference.
    #[must_use]
    pub fn joined(&self, other: &Self) -> Self {
        let mut said = BTreeMap::<Option<QuestionNo>, Vec<Said>>::new();
        for (question, own) in self.all_said().chain(other.all_said()) {
            let known = said.entry(question).or_default();
            if !known.contains(own) {
                known.push(own.clone());
            }
        }
        let mut joined = Self::new(&self.sitting);
        for (question, mut known) in said {
            known.sort_by(|one, other| one.rank().cmp(&other.rank()));
            let Some(latest) = known.pop() else { continue };
            match question {
                Some(question) => {
                    joined.questions.insert(question, latest);
                }
                None => joined.whole = Some(latest),
            }
            let rest = known.into_iter().map(|said| Earlier { question, said });
            joined.earlier.extend(rest);
        }
        joined.decisions = united(&self.decisions, &other.decisions);
        joined.vouched = united(&self.vouched, &other.vouched);
        joined.for_pupil = united(&self.for_pupil, &other.for_pupil);
        joined.steps = united(&self.steps, &other.steps);
        joined
    }

    /// The same with every decision that stands in other notes on the sitting as well.
    #[must_use]
    pub fn with_decisions_of(&self, other: &Self) -> Self {
        Self {
            decisions: united(&self.decisions, &other.decisions),
            vouched: united(&self.vouched, &other.vouched),
            for_pupil: united(&self.for_pupil, &other.for_pupil),
            steps: united(&self.steps, &other.steps),
            ..self.clone()
        }
    }

    fn all_said(&self) -> impl Iterator<Item = (Option<QuestionNo>, &Said)> {
        let whole = self.whole.iter().map(|said| (None, said));
        let questions = self.questions.iter().map(|(own, said)| (Some(*own), said));
        let earlier = self.earlier.iter().map(|own| (own.question, &own.said));
        whole.chain(questions).chain(earlier)
    }
}
