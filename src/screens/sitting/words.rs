//! The sentences that several pages share.

use crate::domain::event::How;

/// How an answer was come by, in a word.
pub(super) const fn how(how: How) -> &'static str {
    match how {
        How::Worked => "worked",
        How::Unsure => "unsure",
        How::Guessed => "a guess",
        How::Filled => "filled at random",
    }
}

/// The sign beside an answer that says how it was come by.
pub(super) const fn how_sign(how: How) -> &'static str {
    match how {
        How::Worked => "",
        How::Unsure => "u",
        How::Guessed => "g",
        How::Filled => "r",
    }
}
