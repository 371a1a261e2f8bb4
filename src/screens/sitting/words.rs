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
