//! The step that tutor and pupil agree on in a talk about a sitting.

use std::fmt;
use std::str::FromStr;

use chrono::{DateTime, FixedOffset};

use super::header::Header;
use super::paper::MOST_QUESTIONS;
use super::rule::QuestionNo;
use super::time::{Elapsed, LONGEST_MINUTES, parse_minutes};

/// The most characters of a step in words of its own.
pub const LONGEST_STEP: usize = 200;

/// A kind of step that the log of a later sitting can judge.
///
/// Its text is what is typed and what stands in the notes file: `sweep 3:00`, `stay 4:00`,
/// `checkpoint 10 by 12:00`, `checkpoints`, `flags`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ListedStep {
    /// The sweep begins with at least so much time left.
    Sweep {
        /// The time left.
        left: Elapsed,
    },
    /// No question stays open for longer than this at a stretch.
    Stay {
        /// The longest stay.
        most: Elapsed,
    },
    /// Every question up to this one is answered, or opened and left, by this time used.
    Checkpoint {
        /// The question.
        question: QuestionNo,
        /// The time used.
        by: Elapsed,
    },
    /// Every checkpoint of the pace plan is kept.
    Checkpoints,
    /// Every question that was flagged is looked at again.
    Flags,
}

/// Why a text is no listed step.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "\"{0}\" isn't a step that a log can judge; write \"sweep 3:00\", \"stay 4:00\", \"checkpoint 10 by 12:00\", \"checkpoints\" or \"flags\", with times in minutes and seconds"
)]
pub struct NoListedStep(String);

/// What of a step lies beyond the paper or the time of its sitting.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BeyondSitting {
    /// The paper ends with this question.
    Question(QuestionNo),
    /// This was the time allowed.
    Time(Elapsed),
}

impl ListedStep {
    /// Whether it can be kept on a paper like that of a sitting.
    ///
    /// # Errors
    /// What lies beyond.
    pub fn fits(self, header: &Header) -> Result<(), BeyondSitting> {
        let last = QuestionNo(header.paper.questions);
        let (question, time) = match self {
            Self::Sweep { left: time } | Self::Stay { most: time } => (None, Some(time)),
            Self::Checkpoint { question, by } => (Some(question), Some(by)),
            Self::Checkpoints | Self::Flags => (None, None),
        };
        if question.is_some_and(|question| question > last) {
            return Err(BeyondSitting::Question(last));
        }
        if time.is_some_and(|time| time > header.allowed) {
            return Err(BeyondSitting::Time(header.allowed));
        }
        Ok(())
    }
}

impl FromStr for ListedStep {
    type Err = NoListedStep;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let no = || NoListedStep(text.to_owned());
        let lower = text.to_lowercase();
        let words: Vec<_> = lower.split_whitespace().collect();
        let time = |text: &str| clock(text).ok_or_else(no);
        match *words.as_slice() {
            ["sweep", left] => Ok(Self::Sweep { left: time(left)? }),
            ["stay", most] => Ok(Self::Stay { most: time(most)? }),
            ["checkpoint", number, "by", by] => {
                let question = number
                    .parse()
                    .ok()
                    .filter(|number: &u16| (1..=MOST_QUESTIONS).contains(&usize::from(*number)));
                Ok(Self::Checkpoint {
                    question: QuestionNo(question.ok_or_else(no)?),
                    by: time(by)?,
                })
            }
            ["checkpoints"] => Ok(Self::Checkpoints),
            ["flags"] => Ok(Self::Flags),
            _ => Err(no()),
        }
    }
}

impl fmt::Display for ListedStep {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Sweep { left } => write!(f, "sweep {}", left.stopwatch()),
            Self::Stay { most } => write!(f, "stay {}", most.stopwatch()),
            Self::Checkpoint { question, by } => {
                write!(f, "checkpoint {question} by {}", by.stopwatch())
            }
            Self::Checkpoints => f.write_str("checkpoints"),
            Self::Flags => f.write_str("flags"),
        }
    }
}

/// `3:00`, or whole minutes; nothing where it is no time above zero of at most a day.
fn clock(text: &str) -> Option<Elapsed> {
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let Some((minutes, seconds)) = text.split_once(':') else {
        return parse_minutes(text).ok().filter(|_| digits(text));
    };
    if !digits(minutes) || !digits(seconds) || seconds.len() != 2 {
        return None;
    }
    let (minutes, seconds): (u64, u64) = (minutes.parse().ok()?, seconds.parse().ok()?);
    let span = Elapsed::minutes(minutes) + Elapsed::seconds(seconds);
    let fits = seconds < 60 && span > Elapsed::ZERO && span <= Elapsed::minutes(LONGEST_MINUTES);
    fits.then_some(span)
}

/// A step, listed or in words of one's own.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// A later log judges it.
    Listed(ListedStep),
    /// Nobody but tutor and pupil judges it.
    OwnWords(String),
}

/// What was agreed about a step, in a talk about one sitting.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct AgreedStep {
    /// When.
    pub at: DateTime<FixedOffset>,
    /// The step; nothing where an earlier one is withdrawn.
    pub step: Option<Step>,
    /// Whose initials.
    pub by: String,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_listed_step_is_read_as_it_is_written() {
        for text in [
            "sweep 3:00",
            "stay 4:30",
            "checkpoint 10 by 12:00",
            "checkpoints",
            "flags",
        ] {
            let step: ListedStep = text.parse().unwrap();
            assert_eq!(step.to_string(), text);
        }
        let whole = "  Sweep   3 ".parse::<ListedStep>().unwrap();
        assert_eq!(
            whole,
            ListedStep::Sweep {
                left: Elapsed::minutes(3)
            }
        );
    }

    #[test]
    fn what_is_no_step_is_told_with_what_is_allowed() {
        for text in [
            "",
            "sweep",
            "sweep 0",
            "sweep 0:00",
            "sweep 3:60",
            "sweep 3:0",
            "sweep -3",
            "sweep 1/3",
            "sweep 1441:00",
            "sweep 3:00 left",
            "stay long",
            "checkpoint 0 by 12:00",
            "checkpoint 10 12:00",
            "checkpoint 99999 by 12:00",
            "flag",
        ] {
            let error = text.parse::<ListedStep>().unwrap_err().to_string();
            assert!(error.contains("checkpoint 10 by 12:00"), "{text}: {error}");
        }
    }
}
