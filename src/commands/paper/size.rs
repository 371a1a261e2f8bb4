//! A paper's size in words.

use crate::domain::paper::Paper;
use crate::storage::files::paper::most_marks;
use crate::words::count::counted;

/// `25 questions, 125 marks, 60 minutes`.
pub(super) fn size_of(paper: &Paper) -> String {
    let outline = &paper.outline;
    let most = most_marks(&outline.rule);
    let millis = paper.allowed.as_millis();
    let time = if millis.is_multiple_of(60_000) {
        (millis / 60_000).to_string()
    } else {
        paper.allowed.stopwatch()
    };
    format!(
        "{}, {most} marks, {time} minutes",
        counted(usize::from(outline.questions), "question")
    )
}
