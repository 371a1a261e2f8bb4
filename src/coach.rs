//! Joins papers and statistics: luck, awards, what a guess is worth. Pure.
