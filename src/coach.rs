//! Joins papers and statistics: luck, awards, what a guess is worth, what is said to a pupil. Pure.

pub mod aim;
pub mod back;
pub mod cohort;
pub mod ended;
pub mod estimate;
pub mod feedback;
pub mod findings;
pub mod forecast;
pub mod group;
pub mod guess;
pub mod luck;
pub mod luck_total;
pub mod plan;
pub mod progress;
pub mod ranges;
pub mod read_out;
pub mod rule_words;
pub mod scale;
pub mod short;
pub mod thresholds;
pub mod word_after;
