//! `paper check` and `paper new`: papers and keys that a tutor writes, held against their form and
//! against each other.

mod check;
mod new;
mod size;
mod template;

use std::io::Write;

use chrono::NaiveDate;
use clap::Subcommand;

pub use self::check::CheckWords;
pub use self::new::NewWords;

use super::failure::Failure;

/// What can be done with papers and keys.
#[derive(Debug, Subcommand)]
pub enum PaperWords {
    /// Check papers, answer keys and pace plans, and list every problem
    Check(CheckWords),
    /// Write a new NAME.paper.ron and NAME.key.ron, with a comment on every field
    New(NewWords),
}

/// Does what the words say; `today` is the day that no rule can have been checked after.
///
/// # Errors
/// Files with problems, words that make no sense, files that cannot be written.
pub fn run(words: &PaperWords, today: NaiveDate, out: &mut dyn Write) -> Result<(), Failure> {
    match words {
        PaperWords::Check(words) => check::check(&words.files, today, out),
        PaperWords::New(words) => new::new(words, out),
    }
}
