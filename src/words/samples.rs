//! What is said of the sample papers that the program carries.

use std::path::Path;

use super::ask::{AskRow, Asking};
use super::count::counted;

use crate::domain::character::ShownPath as _;

/// The key that writes the samples, and what it does.
pub const W_THEN_ENTER: &str = "W then Enter";
/// See [`W_THEN_ENTER`].
pub const WRITES_THEM: &str = "write sample papers";
/// See [`W_THEN_ENTER`].
pub const THEN_ENTER: &str = "then Enter: write the sample papers";
/// See [`W_THEN_ENTER`].
pub const AFTER_W: &str = "after W: write the sample papers";
/// What Enter alone does there.
pub const W_FIRST: &str = "Press W, then Enter, to write the sample papers.";
/// What Enter does after W.
pub const READY: &str = "Enter writes the sample papers. Any other key goes back.";

/// The two rows of the question in lines.
pub const NOT_NOW: &str = "Not now";
/// See [`NOT_NOW`].
pub const WRITE_THEM: &str = "Write the sample papers";

/// Where nobody can be asked.
pub const IN_A_TERMINAL: &str =
    "no paper was found. In a terminal, `pacebell paper list` offers to write sample papers";

/// What there is, and where it would be written.
pub fn carried(papers: usize, folder: &Path) -> String {
    format!(
        "Pacebell has {} with answer keys inside. It can write them to {}. Files that are already there stay as they are.",
        counted(papers, "sample paper"),
        folder.shown()
    )
}

/// The question, its first row the one that writes nothing.
pub fn asking(title: &str, papers: usize, folder: &Path) -> Asking {
    Asking {
        title: title.to_owned(),
        question: "No paper was found. Do you want the sample papers?".to_owned(),
        notes: vec![carried(papers, folder)],
        rows: vec![AskRow::new(NOT_NOW, ""), AskRow::new(WRITE_THEM, "")],
        ..Asking::default()
    }
}

/// What was done.
pub fn written(files: usize, folder: &Path) -> String {
    format!("{} written to {}.", counted(files, "file"), folder.shown())
}
