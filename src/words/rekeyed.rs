//! What a corrected key changes, in words.

use crate::analysis::Marks;
use crate::domain::header::Header;
use crate::domain::marking::{Outcome, QuestionMark};
use crate::words::count::counted;
use crate::words::numbers::{plain, signed_mark};
use crate::words::sign::Sign;
use crate::words::time::day;

/// How many sittings change.
pub fn heading(changed: usize, all: usize) -> String {
    format!(
        "The corrected key changes {changed} of {}.",
        counted(all, "sitting")
    )
}

/// A sitting's mark in time, before and now.
pub fn totals(header: &Header, was: &Marks, now: &Marks) -> String {
    let mark = |marks: &Marks| format!("{} of {}", plain(marks.in_time.total), plain(marks.max()));
    let day = day(header.started.date_naive());
    format!(
        "{}, {day}, {}: {} in time, was {}",
        header.pupil,
        header.paper.id,
        mark(now),
        mark(was)
    )
}

/// A question that is marked otherwise.
pub fn question(was: &QuestionMark, now: &QuestionMark) -> String {
    let answer = &now.answer;
    let given = answer
        .given
        .map_or_else(|| Sign::Blank.mark().to_owned(), |given| given.to_string());
    let after = if answer.after_time {
        ", after time"
    } else {
        ""
    };
    format!(
        "question {} ({given}{after}): {}, was {}; {}",
        answer.number,
        outcome(now.outcome),
        outcome(was.outcome),
        signed_mark(now.marks - was.marks)
    )
}

const fn outcome(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Right => "right",
        Outcome::Wrong => "wrong",
        Outcome::Blank => "blank",
        Outcome::Void => "void",
    }
}

/// An award that is reached now, or no longer.
pub fn award(name: &str, reached: bool) -> String {
    if reached {
        format!("{name}: reached now")
    } else {
        format!("{name}: not reached any more")
    }
}
