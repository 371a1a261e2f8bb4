//! Joins papers and statistics: luck, awards, what a guess is worth. Pure.

pub mod aim;
pub mod cohort;
pub mod guess;
pub mod luck;
pub mod luck_total;
pub mod ranges;
pub mod short;
