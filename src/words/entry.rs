//! What is said while an answer sheet is typed in.

use std::fmt::Display;
use std::path::Path;

use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;

/// Asked of a full sheet.
pub const IS_IT_RIGHT: &str = "Is this right? y saves, n starts again: ";

/// How a sheet is typed in.
pub fn how_to_type(outline: &Outline) -> String {
    format!(
        "{} questions, {}. One letter for each question, - for a blank,\n\
         ? after an unsure answer, ?? after a guess. Spaces don't matter, and a line can\n\
         have any number of answers. `again` starts over; Ctrl-C leaves without saving.",
        outline.questions,
        outline.options.range()
    )
}

/// Asks for the answers from this question on.
pub fn from_question(next: QuestionNo) -> String {
    format!("from question {next}: ")
}

/// What to do about a line that is wrong.
pub fn type_it_again(wrong: impl Display) -> String {
    format!("  {wrong}. Type this line again.")
}

/// What to do about a line that goes on past the last question; of a sheet that is not full, from where.
pub fn past_the_end(wrong: impl Display, next: Option<QuestionNo>) -> String {
    match next {
        None => format!("  {wrong}. The sheet is full: y saves it, n starts again."),
        Some(next) => {
            format!("  {wrong}. Carry on from question {next}, or type `again` to start over.")
        }
    }
}

/// Where the sheet was saved.
pub fn saved(path: &Path) -> String {
    format!("Saved: {}", path.display())
}
