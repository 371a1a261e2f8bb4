//! Joins papers and statistics: luck, awards, what a guess is worth. Pure.

pub mod group;
pub mod guess;
pub mod luck;
pub mod ranges;
pub mod short;
