//! Joins papers and statistics: luck, awards, what a guess is worth. Pure.

pub mod read_out;
pub mod rule_words;
