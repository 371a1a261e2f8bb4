//! Rasch's model: question difficulties and pupil measures on one scale, in logits.
//!
//! The chance of a right answer is 1 / (1 + exp(-(measure - difficulty))) (Rasch 1960, *Probabilistic Models
//! for Some Intelligence and Attainment Tests*, from memory). Difficulties are estimated by conditional
//! maximum likelihood, which needs no assumption about the pupils: [`calibrate()`]. Papers that share pupils
//! or questions come out on one scale. Pupils are measured on known difficulties: [`warm`] and its kin.
//!
//! - `answers` counts the answers, by which questions were given and how many were right.
//! - `calibrate` the difficulties, their errors and their fit; `shortage` why there are none.
//! - `conditional` the chances of right answers given how many were right.
//! - `likelihood` how likely difficulties are, and the climb to the likeliest.
//! - `linked` whether the questions can be compared at all.
//! - `matrix` the inverse that standard errors need.
//! - `measure` pupils' measures.
//! - `complete_rows` counts answers quickly where everybody was given every question.

pub use answers::Answers;
pub use calibrate::{Calibration, Difficulties, ItemMeasure, Placed, calibrate, difficulties};
pub use complete_rows::CompleteRows;
pub use measure::{Measure, bayes, expected_right, most_likely, warm};
pub use shortage::{Shortage, Unmeasured};

mod answers;
mod calibrate;
mod complete_rows;
mod conditional;
mod likelihood;
mod linked;
mod matrix;
mod measure;
mod shortage;

/// The chance of a right answer at a distance above the difficulty.
pub(crate) fn chance(distance: f64) -> f64 {
    1.0 / (1.0 + (-distance).exp())
}
