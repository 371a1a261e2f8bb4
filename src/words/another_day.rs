//! Where a mark would lie on another day: one wording on every page that says it.

use super::numbers::plain;
use crate::domain::mark::Mark;
use crate::season::mark_range::AnotherDay;

/// How often such a range holds the mark: the share of `season::mark_range` in words.
const AS_A_RULE: &str = "8 times in 10";

/// Why a sheet of guesses has no range, for whoever reads it.
pub const ONLY_GUESSES: &str =
    "All these answers were guesses, so the mark says nothing about another day.";

/// For the pupil whose mark it is.
pub fn yours(day: AnotherDay) -> String {
    changes("yours", day)
}

/// For the pupil, beside a mark with the guess round, which it is not about.
pub fn yours_in_time(day: AnotherDay) -> String {
    changes("your mark in time", day)
}

/// For parents, who read a share of days more easily than a chance.
pub fn for_parents(day: AnotherDay) -> String {
    let AnotherDay::Between((low, high)) = day else {
        return ONLY_GUESSES.to_owned();
    };
    format!(
        "If your child sat a paper like this on ten different days, the mark would be between {} and {} on \
         about eight of them.",
        plain(low),
        plain(high)
    )
}

fn changes(mark: &str, day: AnotherDay) -> String {
    match day {
        AnotherDay::Between(range) => {
            format!("Marks change from day to day: {}.", would_be(mark, range))
        }
        AnotherDay::OnlyGuesses => ONLY_GUESSES.to_owned(),
    }
}

/// `8 times in 10, yours would be from 37 to 73`.
pub fn would_be(mark: &str, (low, high): (Mark, Mark)) -> String {
    format!(
        "{AS_A_RULE}, {mark} would be from {} to {}",
        plain(low),
        plain(high)
    )
}
