//! How far a mark is from a boundary, in words.

use crate::domain::marking::Outcome;
use crate::odds::shortfall::{Short, Ways};
use crate::words::numbers::small;

/// What would have been enough: `one more right in 21-25, or two in 1-10`.
pub fn ways(short: &Short) -> String {
    said(
        short,
        "",
        [" (starting with wrong answers)", " (starting with blanks)"],
    )
}

/// The same for its pupil: `one more right in questions 21-25, or two in 1-10`.
pub fn ways_in_full(short: &Short) -> String {
    said(
        short,
        "questions ",
        [", starting with wrong answers", ", starting with blanks"],
    )
}

fn said(short: &Short, questions: &str, [wrong, blank]: [&str; 2]) -> String {
    let (ways, joint, last) = match &short.ways {
        Ways::Either(ways) => (ways, ", or ", ", or "),
        Ways::Together(ways) => (ways, ", ", " and "),
        Ways::OutOfReach => return "more than these questions could give".into(),
    };
    let mut parts = Vec::new();
    for (index, more) in ways.iter().enumerate() {
        let (right, questions) = if index == 0 {
            (" more right", questions)
        } else {
            ("", "")
        };
        let first = match more.first {
            Some(Outcome::Wrong) => wrong,
            Some(Outcome::Blank) => blank,
            Some(Outcome::Right | Outcome::Void) | None => "",
        };
        let count = small(more.questions);
        parts.push(format!(
            "{count}{right} in {questions}{}{first}",
            more.section
        ));
    }
    let end = parts.pop().unwrap_or_default();
    if parts.is_empty() {
        return end;
    }
    parts.join(joint) + last + &end
}

#[cfg(test)]
mod tests;
