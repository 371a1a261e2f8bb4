//! How an answer was come by, in words: short in a column, in full in a sentence.

use crate::domain::event::How;

const fn row(how: How) -> (&'static str, &'static str) {
    match how {
        How::Worked => ("worked", "worked out"),
        How::Unsure => ("unsure", "unsure"),
        How::Guessed => ("guessed", "a guess"),
        How::Filled => ("filled", "filled at random"),
    }
}

/// In a column of a table, or where room is as short.
pub const fn in_a_column(how: How) -> &'static str {
    row(how).0
}

/// In a sentence.
pub const fn in_a_sentence(how: How) -> &'static str {
    row(how).1
}

/// In a sentence, where an answer that was worked out needs no word.
pub const fn unless_worked(how: How) -> Option<&'static str> {
    match how {
        How::Worked => None,
        How::Unsure | How::Guessed | How::Filled => Some(in_a_sentence(how)),
    }
}
