//! The sentences that several pages share.

use std::fmt::Write;

use crate::domain::event::How;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;

/// From here on the clock shows seconds.
pub(super) const LAST_MINUTES: Elapsed = Elapsed::minutes(5);
const MINUTE: u64 = 60_000;

/// The whole minutes that the clock shows, to the nearest: so that the change to seconds is no jump.
pub(super) const fn minutes_shown(left: Elapsed) -> u64 {
    (left.as_millis() + MINUTE / 2 - 1) / MINUTE
}

/// The time left in words: minutes, to the nearest, until the last five; then minutes and seconds.
pub fn time_left(left: Elapsed) -> String {
    if left <= LAST_MINUTES {
        format!("{} left", left.countdown())
    } else {
        format!("{} left", minutes(minutes_shown(left)))
    }
}

/// `1 minute`, `47 minutes`.
pub(super) fn minutes(count: u64) -> String {
    counted(count, "minute")
}

/// A span in words: whole minutes, or minutes and seconds.
pub(super) fn span(span: Elapsed) -> String {
    if span.as_millis().is_multiple_of(MINUTE) {
        minutes(span.as_millis() / MINUTE)
    } else {
        span.countdown()
    }
}

/// `1 blank`, `4 blanks`.
pub(super) fn blanks(count: usize) -> String {
    counted(count, "blank")
}

/// `1 flag`, `4 flags`.
pub(super) fn flags(count: usize) -> String {
    counted(count, "flag")
}

fn counted(count: impl std::fmt::Display, thing: &str) -> String {
    let count = count.to_string();
    let ending = if count == "1" { "" } else { "s" };
    format!("{count} {thing}{ending}")
}

/// Question numbers in a row: `3, 9, 11 to 14 and 20`.
pub(super) fn numbers(questions: &[QuestionNo]) -> String {
    let mut runs: Vec<(QuestionNo, QuestionNo)> = Vec::new();
    for question in questions {
        match runs.last_mut() {
            Some((_, last)) if last.0.saturating_add(1) == question.0 => *last = *question,
            _ => runs.push((*question, *question)),
        }
    }
    let parts: Vec<String> = runs
        .iter()
        .flat_map(|(first, last)| match last.0 - first.0 {
            0 => vec![first.to_string()],
            1 => vec![first.to_string(), last.to_string()],
            _ => vec![format!("{first} to {last}")],
        })
        .collect();
    let mut out = String::new();
    for (index, part) in parts.iter().enumerate() {
        let between = match index {
            0 => "",
            _ if index + 1 == parts.len() => " and ",
            _ => ", ",
        };
        // Writing into a String cannot go wrong.
        let _ = write!(out, "{between}{part}");
    }
    out
}

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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_clock_is_calm_until_the_last_five_minutes() {
        let shown = |seconds| time_left(Elapsed::seconds(seconds));
        assert_eq!(shown(3600), "60 minutes left");
        assert_eq!(shown(3571), "60 minutes left");
        assert_eq!(shown(3570), "59 minutes left");
        assert_eq!(shown(301), "5 minutes left");
        assert_eq!(shown(300), "5:00 left");
        assert_eq!(time_left(Elapsed(59_001)), "1:00 left");
        assert_eq!(shown(0), "0:00 left");
    }

    #[test]
    fn question_numbers_are_a_short_list() {
        let list = |numbers: &[u16]| {
            super::numbers(&numbers.iter().map(|n| QuestionNo(*n)).collect::<Vec<_>>())
        };
        assert_eq!(list(&[]), "");
        assert_eq!(list(&[3]), "3");
        assert_eq!(list(&[3, 4]), "3 and 4");
        assert_eq!(list(&[3, 9, 11, 12, 13, 20]), "3, 9, 11 to 13 and 20");
        assert_eq!(
            (blanks(1), blanks(4)),
            ("1 blank".into(), "4 blanks".into())
        );
        assert_eq!(span(Elapsed::seconds(90)), "1:30");
    }
}
