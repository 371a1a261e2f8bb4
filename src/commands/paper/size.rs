//! A paper's size in words.

use crate::domain::paper::Paper;
use crate::storage::files::paper::most_marks;
use crate::words::paper::size;

/// `25 questions, 125 marks, 60 minutes`.
pub(super) fn size_of(paper: &Paper) -> String {
    size(paper, most_marks(&paper.outline.rule))
}
