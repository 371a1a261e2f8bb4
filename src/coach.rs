//! Joins papers and statistics: luck, awards, what a guess is worth, what is said to a pupil. Pure.

pub mod ended;
pub mod estimate;
pub mod forecast;
pub mod guess;
pub mod luck;
pub mod plan;
pub mod ranges;
pub mod read_out;
pub mod rule_words;
pub mod short;
pub mod word_after;
