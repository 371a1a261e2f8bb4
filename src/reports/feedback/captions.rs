//! What stands around the pictures, and how much the page holds of what comes from files: what the page
//! sets, and what the reckoning of its room counts.

use crate::reports::feedback::content::{Feedback, TimeSpent};
use crate::words::feedback::{self as words, State};
use crate::words::notices::last_of_all;

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

pub(super) fn time_notes(hour: &TimeSpent) -> Vec<String> {
    let mut notes = hour.notes.clone();
    notes.extend(hour.sheet.iter().cloned());
    if !hour.bars.is_empty() {
        let all = [
            State::Right,
            State::Wrong,
            State::Blank,
            State::Answered,
            State::Void,
        ];
        let has = |state: &State| hour.bars.iter().any(|bar| bar.state == *state);
        notes.push(words::bars(all.into_iter().filter(has), hour.plan));
    }
    if hour.bars.len() > MOST_BARS {
        notes.push(words::longest_alone(hour.bars.len(), MOST_BARS));
    }
    notes
}
