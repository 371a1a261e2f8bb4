//! The sentences around the pictures, and how much the page holds of what comes from files: what the page
//! sets, and what the reckoning of its room counts.

use super::tidy::capital;
use crate::reports::feedback::content::{Feedback, Hour, State};
use crate::words::notices::last_of_all;

/// What the curve shows.
pub(super) const CURVE: &str =
    "The blue line is the mark you would have had if time had been up at that moment.";
/// What the boundaries are.
pub(super) const BOUNDARIES: &str = "Boundaries are this paper's, and can move each year.";

/// The most characters of a title.
pub(super) const TITLE: usize = 100;
/// The most characters of a sentence that holds names from a file.
pub(super) const SENTENCE: usize = 260;
/// More questions than this get no picture of them all: the longest are drawn.
pub(super) const MOST_BARS: usize = 30;

pub(super) fn remember(feedback: &Feedback) -> Vec<String> {
    let mut lines = last_of_all(&feedback.outline, feedback.today);
    lines.retain(|line| feedback.caution.as_ref() != Some(line));
    lines
}

pub(super) fn time_notes(hour: &Hour) -> Vec<String> {
    let mut notes = hour.notes.clone();
    notes.extend(hour.sheet.iter().cloned());
    if !hour.bars.is_empty() {
        let line = if hour.plan {
            "your plan"
        } else {
            "an even share of the time"
        };
        let has = |state| hour.bars.iter().any(|bar| bar.state == state);
        let kinds = [
            (State::Right, "a full bar is right"),
            (State::Wrong, "an open bar is wrong"),
            (State::Blank, "a dotted bar is blank"),
            (State::Answered, "a dotted bar with a square is done"),
            (State::Void, "void does not count"),
        ];
        let kinds = kinds.iter().filter(|(state, _)| has(*state));
        let kinds: Vec<_> = kinds.map(|(_, words)| *words).collect();
        let key = capital(&kinds.join(", "));
        notes.push(format!("{key}. The small upright line is {line}."));
    }
    if hour.bars.len() > MOST_BARS {
        notes.push(format!(
            "Of {} questions, the {MOST_BARS} that took longest.",
            hour.bars.len()
        ));
    }
    notes
}
