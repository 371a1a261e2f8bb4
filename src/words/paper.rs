//! What is said of a paper's file and of its key's.

use std::fmt::Display;
use std::path::Path;

use chrono::NaiveDate;

use crate::domain::character::ShownPath as _;
use crate::domain::key::Key;
use crate::domain::mark::Mark;
use crate::domain::paper::{Outline, Paper};
use crate::words::count::counted;
use crate::words::guess::rule_caution;
use crate::words::numbers::marks;
use crate::words::time::time_in_words;

/// What to do with a new paper.
pub const OPEN_THEM: &str =
    "Open them in any text editor; comments in them explain every field. After each change, run:";

/// `25 questions, 125 marks, 60 minutes`.
pub fn size(paper: &Paper, most: Mark) -> String {
    let questions = counted(usize::from(paper.outline.questions), "question");
    let time = time_in_words(paper.allowed);
    format!("{questions}, {}, {time}", marks(most))
}

/// That a new paper and its key were written.
pub fn written(paper: &Path, key: &Path, size: &str) -> String {
    format!("{} and {} written: {size}", paper.shown(), key.shown())
}

/// That a question is not in sight as a whole in a window of so many columns and rows.
pub fn out_of_sight(columns: u16, rows: u16) -> String {
    format!(
        "it doesn't fit in a window of {columns} columns by {rows} rows, so pupils have to scroll; shorten the words or the figure"
    )
}

/// That nobody has checked a paper's rule this year, and where a check is recorded.
pub fn rule_not_checked(outline: &Outline, today: NaiveDate) -> Option<String> {
    let caution = rule_caution(outline, today)?;
    Some(format!(
        "{caution} Then write the day and your initials in the paper's field `rule_checked`."
    ))
}

/// A paper that can be used.
pub fn checked(size: &str, outline: &Outline) -> String {
    format!(
        "{size}; fingerprint {} (identifies this version of the questions)",
        outline.fingerprint
    )
}

/// A key that can be used, whether it was checked against its paper or not.
pub fn key_checked(key: &Key, letters: &str, held: bool) -> String {
    let answers = counted(key.answers.len(), "answer");
    let paper = &key.paper;
    let against = if held {
        format!("for {paper}")
    } else {
        format!(
            "for {paper}, which was not found, so the key was not checked against it; name the paper as well, or put it beside the key"
        )
    };
    let notes = match key.notes.len() {
        0 => String::new(),
        count => format!("; notes on {}", counted(count, "question")),
    };
    format!("{answers} ({letters}) {against}{notes}")
}

/// That a key was checked against a paper that has problems itself.
pub fn held_as_it_is(paper: &Path) -> String {
    format!(
        "there's a problem in its paper {}; the key was checked against it as it is",
        paper.shown()
    )
}

/// What of a key could not be checked, since its paper is not sound.
pub fn not_checked(paper: &Path, unread: &[impl AsRef<str>]) -> String {
    let unread: Vec<_> = unread.iter().map(AsRef::as_ref).collect();
    format!(
        "there's a problem in its paper {}, so this could not be checked: {}; correct the paper and check again",
        paper.shown(),
        unread.join(", ")
    )
}

/// That a file can be used.
pub fn fine(said: impl Display) -> String {
    format!("fine: {said}")
}

/// How many problems a file has.
pub fn problems_found(count: usize) -> String {
    format!("{} found", counted(count, "problem"))
}
