//! Joins papers and statistics: luck, awards, what a guess is worth. Pure.

pub mod ended;
pub mod read_out;
pub mod rule_words;
pub mod word_after;
