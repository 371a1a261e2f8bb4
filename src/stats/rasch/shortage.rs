//! Why difficulties could not be found.

/// The most questions one pupil may have been given; the work grows with their third power.
pub(super) const MOST_ITEMS: usize = 150;

/// Why a question has no difficulty though others have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Unmeasured {
    /// Nobody who counts was given it.
    #[error("nobody whose answers count was given it")]
    NoAnswers,
    /// Everybody who counts had it right: it is easier than can be said.
    #[error("everybody had it right, so it can only be called very easy")]
    AllRight,
    /// Nobody who counts had it right: it is harder than can be said.
    #[error("nobody had it right, so it can only be called very hard")]
    NoneRight,
}

/// Why there are no difficulties at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Shortage {
    /// Everybody had all or none of their questions right.
    #[error("everybody had all or none of the questions right: add sittings with some of each")]
    NobodyBetween,
    /// Nobody is between on the questions that are left without those that everybody or nobody had right.
    #[error(
        "without the questions that everybody or nobody had right, nobody had some right and some wrong: add sittings with other answers"
    )]
    NobodyLeft,
    /// The questions fall into parts that no pupil's answers compare.
    #[error(
        "the questions fall into parts that share no pupils: add a pupil or a question common to both"
    )]
    Apart,
    /// Some questions were never wrong where others were right, so the distance has no limit.
    #[error("some questions were never wrong where others were right: add more sittings")]
    OneWay,
    /// A pupil was given more questions than the method can take.
    #[error(
        "a pupil was given {found} questions and the method takes {MOST_ITEMS}: calibrate fewer at once"
    )]
    TooMany {
        /// How many.
        found: usize,
    },
    /// The climb did not come to an end.
    #[error("the difficulties did not settle: add more sittings")]
    Unsettled,
}
