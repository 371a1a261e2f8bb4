//! How lucky guesses were, and what guesses can give.

use crate::domain::mark::Mark;
use crate::domain::rule::QuestionNo;
use crate::odds::luck::Luck;
use crate::odds::mark_distribution::MarkDistribution;
use crate::words::count::{counted, counted_as};
use crate::words::numbers::{plain, ranges, short, times_in_100};

/// Of which marks the totals are when they are those of the whole paper.
pub const OF_THE_WHOLE_PAPER: &str = "Marks of the whole paper: start marks, the questions given as right, these guesses, and the rest blank.";

/// Of which marks the totals are when they are those of the guesses.
pub const OF_THE_GUESSES_ALONE: &str =
    "Marks for these guesses alone, without start marks or other questions (--total adds them).";

/// The column of the chance of a total or a higher one.
pub const THIS_OR_MORE: &str = "This or more";

/// How lucky the guesses of a sitting were, where there were any.
pub fn of_a_sitting(luck: &Luck) -> Option<String> {
    let expected = short(luck.expected, 1);
    let unit = if expected == "1" { "mark" } else { "marks" };
    let often = match luck.at_least_this {
        // "This much or more" of the least there can be would be true of every sheet.
        _ if luck.right == 0 => {
            let none = if luck.actual == Mark::ZERO {
                "none at all"
            } else {
                "none right"
            };
            format!("; {none} happens {}", times_in_100(luck.none_right))
        }
        Some(chance) => format!("; this much or more happens {}", times_in_100(chance)),
        None => String::new(),
    };
    (luck.guesses > 0).then(|| {
        format!(
            "{} ({}): about {expected} {unit} expected, {} came{often}.",
            counted_as(luck.guesses, "guess", "guesses"),
            made(luck),
            plain(luck.actual)
        )
    })
}

/// When the guesses were made, and how many the program filled in: a guess after time is never
/// told as one in time.
fn made(luck: &Luck) -> String {
    let after = luck.after_time;
    let when = match luck.guesses - after.min(luck.guesses) {
        0 => "after time".to_owned(),
        in_time if after > 0 => format!("{in_time} in time, {after} after"),
        _ => "in time".to_owned(),
    };
    match luck.filled {
        0 => when,
        1 if luck.guesses == 1 => when + "; filled at random",
        all if all == luck.guesses => when + "; all filled at random",
        filled => format!("{when}; {filled} of them filled at random"),
    }
}

/// The guesses that are asked about: their number, which they are, and how many more are void.
pub fn heading(numbers: &[QuestionNo], void: usize) -> String {
    let count = counted_as(numbers.len(), "guess", "guesses");
    let listed = if numbers.is_empty() {
        String::new()
    } else {
        format!(": {}", ranges(numbers))
    };
    let left_out = match void {
        0 => String::new(),
        void => format!(" ({} left out: void in the key)", counted(void, "question")),
    };
    format!("{count}{listed}{left_out}")
}

/// Middle and spread of what the guesses can give.
pub fn on_average(totals: &MarkDistribution) -> String {
    format!(
        "On average {:.2} marks, give or take {:.2} (SD). Median {}, most likely {}.",
        totals.mean(),
        totals.sd(),
        plain(totals.median()),
        plain(totals.mode()),
    )
}

/// What the same questions give when they are left blank.
pub fn left_blank(marks: Mark) -> String {
    format!("Left blank, these questions give exactly {}.", plain(marks))
}

/// How many totals a long table leaves out.
pub fn totals_left_out(count: usize) -> String {
    format!(
        "{} left out, each less likely than 1 in 1000; --json has all.",
        counted(count, "total")
    )
}
