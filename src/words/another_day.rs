//! Where a mark would lie on another day: one wording on every page that says it.

use super::numbers::plain;
use crate::domain::mark::Mark;

/// How often such a range holds the mark: the share of `season::mark_range` in words.
const AS_A_RULE: &str = "8 times in 10";

/// For the pupil whose mark it is.
pub fn yours(range: (Mark, Mark)) -> String {
    changes("yours", range)
}

/// For the pupil, beside a mark with the guess round, which it is not about.
pub fn yours_in_time(range: (Mark, Mark)) -> String {
    changes("your mark in time", range)
}

/// For parents, who read a share of days more easily than a chance.
pub fn for_parents((low, high): (Mark, Mark)) -> String {
    format!(
        "If your child sat a paper like this on ten different days, the mark would be between {} and {} on \
         about eight of them.",
        plain(low),
        plain(high)
    )
}

fn changes(mark: &str, range: (Mark, Mark)) -> String {
    format!("Marks change from day to day: {}.", would_be(mark, range))
}

/// `8 times in 10, yours would be from 37 to 73`.
pub fn would_be(mark: &str, (low, high): (Mark, Mark)) -> String {
    format!(
        "{AS_A_RULE}, {mark} would be from {} to {}",
        plain(low),
        plain(high)
    )
}
