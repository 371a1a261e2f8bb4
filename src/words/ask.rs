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
    /// Whether there is nothing to go back to, so that going back leaves.
    pub is_first: bool,
}

impl Asking {
    /// The word that goes one step back.
    const fn way_back(&self) -> &'static str {
        if self.is_first { "leave" } else { "back" }
    }
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

/// Of a step back from the first list.
pub const NOTHING_BEFORE: &str = "There's nothing to go back to. Type leave to stop.";

/// Where nothing can be chosen.
pub const NOTHING_TO_CHOOSE: &str = "There's nothing to choose from here. Esc goes back.";

/// The last line of a list in lines: how to choose.
pub fn type_a_number(asking: &Asking) -> String {
    let back = asking.way_back();
    match asking.rows.len() {
        0 => "There's nothing to choose from here. Press Enter to go back.".to_owned(),
        rows => format!("{}, help, or {back}.", numbers(rows)),
    }
}

/// The last line of a list that was said before.
pub fn number_or_list(asking: &Asking) -> String {
    let back = asking.way_back();
    match asking.rows.len() {
        0 => type_a_number(asking),
        rows => format!("{}, list to hear them, or {back}.", numbers(rows)),
    }
}

/// `Type a number from 1 to 9`
fn numbers(rows: usize) -> String {
    match rows {
        0 | 1 => "Type 1 to choose it".to_owned(),
        rows => format!("Type a number from 1 to {rows}"),
    }
}

/// All that can be typed at a list.
pub fn help_with_a_list(asking: &Asking) -> Vec<String> {
    let mut said = vec![
        asking.question.clone(),
        format!("{}, then Enter.", numbers(asking.rows.len())),
        "Or type words that only one row has.".to_owned(),
        "list: hear the rows again.".to_owned(),
    ];
    if !asking.is_first {
        said.push("back: go one step back.".to_owned());
    }
    said.push("leave: stop here.".to_owned());
    said
}

/// All that can be typed where words are asked for.
pub fn help_with_words(asking: &Asking) -> Vec<String> {
    let question = std::iter::once(asking.question.clone());
    let notes = question.chain(asking.notes.iter().cloned());
    notes.chain([TYPE_WORDS.to_owned()]).collect()
}

/// That a list goes on, in lines.
pub fn more_rows(left: usize) -> String {
    format!("Type more for {}.", counted(left, "more row"))
}

/// That a line chooses nothing.
pub fn no_such_row(typed: &str, asking: &Asking) -> String {
    format!("{typed} isn't in the list. {}", number_or_list(asking))
}
