//! `paper check`, `paper list`, `paper print` and `paper new`: papers and keys that a tutor writes, held against their form and
//! against each other, and who has met them.

mod check;
mod list;
mod new;
mod print;
mod size;
mod template;
mod twice;

use std::path::Path;

use chrono::NaiveDate;
use clap::Subcommand;

pub use self::check::CheckWords;
pub use self::list::ListWords;
pub use self::new::NewWords;
pub use self::print::PrintWords;

use super::enter::Desk;
use super::failure::Failure;

/// What can be done with papers and keys.
#[derive(Debug, Subcommand)]
pub enum PaperWords {
    /// Check papers, answer keys and pace plans, and list every problem
    Check(CheckWords),
    /// List the papers: source, year, right to use, who sat it when, and which are new to everybody
    List(ListWords),
    /// Write a paper to print: the questions, homework, an answer sheet or a plan card
    Print(PrintWords),
    /// Write a new NAME.paper.ron and NAME.key.ron, with a comment on every field
    New(NewWords),
}

/// Does what the words say; `today` is the day that no rule can have been checked after.
///
/// # Errors
/// Files with problems, words that make no sense, files that cannot be written.
pub fn run(
    words: &PaperWords,
    sessions: Option<&Path>,
    today: NaiveDate,
    desk: &mut Desk<'_>,
) -> Result<(), Failure> {
    match words {
        PaperWords::Check(words) => check::check(words, today, desk),
        PaperWords::List(words) => list::list(words, sessions, desk),
        PaperWords::Print(words) => print::print(words, sessions, today, desk.out, desk.aside),
        PaperWords::New(words) => new::new(words, desk.out),
    }
}
