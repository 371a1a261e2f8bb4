//! A group's figures on one paper: what its answer sheets say about each question and about the paper.
//!
//! [`ItemTally`] counts sheets one by one; [`ItemTally::figures`] works everything out at the end. Totals are marks
//! under the paper's own rule. A question's discrimination is the correlation of right (1) or not (0) with
//! the marks on all other questions; where every question is worth one mark that is the usual corrected
//! item-total correlation. A void question is counted (who chose what) but judged in nothing.

mod compute;
mod count;
mod figures;
mod remark;

pub use count::{ItemTally, NoItemTally};
pub use figures::{Figures, OptionFigures, QuestionFigures, Seconds, TotalFigures};
pub use remark::{CorrelationSign, Remark, Remarks, remarks, sign};

/// Below so many people shares are told as counts, since one person is several in a hundred, and a correlation
/// is shown only by its sign, and only where that is clear: at 30 people its standard error is still near 0.17
/// (1 / root of (n - 1), less for strong ones; common practice, no source).
pub const FEW: usize = 30;

/// Counts of people below this are not for publishing: a reader could tell who they are (common practice of
/// research outputs, from memory).
pub const LEAST_TO_PUBLISH: usize = 10;

/// Where a group's answers come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AnswersFrom {
    /// A class answer list: there are no times.
    List,
    /// Sittings, with what was guessed after time was up.
    SittingsWithGuessRound,
    /// Sittings, with what was answered in time alone.
    SittingsInTime,
}

#[cfg(test)]
mod limits;
#[cfg(test)]
mod tests;
