//! Why difficulties could not be found.

use std::fmt;

/// The most questions one pupil may have been given; the work grows with their fourth power.
pub(super) const MOST_ITEMS: usize = 150;

/// Why a question has no difficulty though others have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Unmeasured {
    /// Nobody who counts was given it.
    NoAnswers,
    /// Everybody who counts had it right: it is easier than can be said.
    AllRight,
    /// Nobody who counts had it right: it is harder than can be said.
    NoneRight,
}

/// Why there are no difficulties at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Shortage {
    /// Everybody had all or none of their questions right.
    NobodyBetween,
    /// The questions fall into parts that no pupil's answers compare.
    Apart,
    /// Some questions were never wrong where others were right, so the distance has no limit.
    OneWay,
    /// A pupil was given more questions than the method can take.
    TooMany {
        /// How many.
        found: usize,
    },
    /// The climb did not come to an end.
    Unsettled,
}

impl fmt::Display for Unmeasured {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoAnswers => "nobody whose answers count was given it",
            Self::AllRight => "everybody had it right, so it can only be called very easy",
            Self::NoneRight => "nobody had it right, so it can only be called very hard",
        })
    }
}

impl fmt::Display for Shortage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NobodyBetween => f.write_str(
                "everybody had all or none of the questions right: add sittings with some of each",
            ),
            Self::Apart => f.write_str(
                "the questions fall into parts that share no pupils: add a pupil or a question common to both",
            ),
            Self::OneWay => f.write_str(
                "some questions were never wrong where others were right: add more sittings",
            ),
            Self::TooMany { found } => write!(
                f,
                "a pupil was given {found} questions and the method takes {MOST_ITEMS}: calibrate fewer at once"
            ),
            Self::Unsettled => f.write_str("the difficulties did not settle: add more sittings"),
        }
    }
}

impl std::error::Error for Shortage {}
