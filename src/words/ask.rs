//! A question with rows to choose from, or words to write, as a page and lines put it.

use crate::words::count::counted;

/// A question.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Asking {
    /// Where one is.
    pub title: String,
    /// What is asked.
    pub question: String,
    /// What is to be known beside it.
    pub notes: Vec<String>,
    /// A text to read before the rows.
    pub text: Vec<AskLine>,
    /// What there is to choose from; with none, words are written.
    pub rows: Vec<AskRow>,
}

/// A line of a text to read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AskLine {
    /// Words, broken where there is no room.
    Words(String),
    /// A line of a figure.
    AsItStands(String),
}

/// A row to choose.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AskRow {
    /// What it is called.
    pub name: String,
    /// What is to be known of it.
    pub note: String,
    /// The heading that it stands under, with those before it.
    pub group: &'static str,
}

impl AskRow {
    /// A row without a heading.
    pub fn new(name: impl Into<String>, note: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            note: note.into(),
            group: "",
        }
    }
}

/// What was answered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answered {
    /// The row at this place.
    Row(usize),
    /// These words.
    Words(String),
    /// One step back.
    Back,
    /// The program is left.
    Leave,
}

/// Asks for words, in lines.
pub const TYPE_WORDS: &str = "Type it, then Enter. Enter alone goes back.";

/// Before the words written so far, on a page.
pub const WRITTEN: &str = "Write:";

/// Where nothing can be chosen.
pub const NOTHING_TO_CHOOSE: &str = "There's nothing to choose from here. Esc goes back.";

/// The last line of a list in lines: how to choose.
pub fn type_a_number(rows: usize) -> String {
    match rows {
        0 => "There's nothing to choose from here. Press Enter to go back.".to_owned(),
        1 => "Type 1 to choose it, or back.".to_owned(),
        rows => format!("Type a number from 1 to {rows}, or back."),
    }
}

/// The last line of a list that was said before.
pub fn number_or_list(rows: usize) -> String {
    format!("Type a number from 1 to {rows}, list to hear them, or back.")
}

/// That a list goes on, in lines.
pub fn more_rows(left: usize) -> String {
    format!("Type more for {}.", counted(left, "more row"))
}

/// That a line chooses nothing.
pub fn no_such_row(typed: &str, rows: usize) -> String {
    format!("`{typed}` isn't in the list. Type a number from 1 to {rows}, list, or back.")
}
