//! Free functions over numbers: they know no paper, no file and no clock.
//!
//! A figure that does not exist is `None`, never a `NaN`; marks stay whole steps of the caller's grid until
//! the last division. Each formula names its source where it is written down.
//!
//! - [`ability`] what is known of a person on the scale of question difficulties.
//! - [`beta`] a chance that is not known, and what it foretells.
//! - [`boundary`] boundaries of a cohort by share or by places.
//! - [`interval`] ranges for a proportion.
//! - [`item`] what a tallied cohort says about each question and about the paper.
//! - [`kernel`] a normal deviation on an even grid, and slices of equal weight.
//! - [`luck`] the exact distribution of a total mark, from independent chances.
//! - [`rasch`] difficulties and pupil measures on one scale across papers.
//! - [`reliability`] how far a total can be trusted.
//! - [`resample`] how far a boundary would move in another cohort.
//! - [`shrink`] how far a few values count against what is known of many.
//! - [`significance`] how often chance alone would show as much, for one figure and for many together.
//! - [`stopping_rule`] when another minute is worth less than elsewhere.
//! - [`summary`] middle, spread and quantiles of a few numbers; the threshold for rapid answers.
//! - [`tally`] counts a cohort's answers, row by row.

pub mod ability;
pub mod beta;
pub mod boundary;
pub mod interval;
pub mod item;
pub mod kernel;
pub mod luck;
pub mod permutation;
pub mod rasch;
pub mod reliability;
pub mod resample;
pub mod shrink;
pub mod significance;
pub mod stopping_rule;
pub mod summary;
pub mod tally;

/// A count as a real number.
#[expect(
    clippy::cast_precision_loss,
    reason = "counts of people and questions stay far below 2^53"
)]
pub(crate) fn real(count: usize) -> f64 {
    count as f64
}

/// A count as a share of another one; nothing of nothing.
pub(crate) fn share(count: usize, of: usize) -> f64 {
    if of == 0 { 0.0 } else { real(count) / real(of) }
}

/// A whole number of grid steps as a real number.
#[expect(
    clippy::cast_precision_loss,
    reason = "marks in grid steps stay far below 2^53"
)]
pub(crate) fn steps(value: i64) -> f64 {
    value as f64
}

/// An exact sum as a real number; rounds to the nearest one.
#[expect(
    clippy::cast_precision_loss,
    reason = "sums may pass 2^53; what is lost is one part in 10^16"
)]
pub(crate) fn wide(sum: i128) -> f64 {
    sum as f64
}
