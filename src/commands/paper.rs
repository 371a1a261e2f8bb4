//! `paper check` and `paper new`: papers and keys that a tutor writes, held against their form and
//! against each other.

mod check;
mod new;
mod template;

use std::io::Write;
use std::path::PathBuf;

use chrono::NaiveDate;
use clap::{Args, Subcommand};

use super::failure::Failure;
use crate::words::count::counted;

/// What can be done with papers and keys.
#[derive(Debug, Subcommand)]
pub enum PaperWords {
    /// Say everything that is wrong with papers, keys and pace plans
    Check(CheckWords),
    /// Write NAME.paper.ron and NAME.key.ron, with remarks on every field
    New(NewWords),
}

/// What `paper check` takes.
#[derive(Debug, Args)]
pub struct CheckWords {
    /// NAME.paper.ron, NAME.key.ron or NAME.plan.ron; a key is held against its paper, given with it
    /// or standing beside it
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
}

/// What `paper new` takes.
#[derive(Debug, Args)]
pub struct NewWords {
    /// The paper's short name: letters, digits, - and _
    pub name: String,
    /// How many questions it has
    #[arg(long, value_name = "N")]
    pub questions: usize,
    /// The time allowed, such as 60 or 22.5
    #[arg(long, value_name = "M")]
    pub minutes: String,
    /// The options' letters or digits
    #[arg(long, value_name = "LETTERS", default_value = "ABCDE")]
    pub options: String,
    /// The marks of each section, with commas between.
    #[arg(
        long,
        help = "The marks: FIRST-LAST:RIGHT[:WRONG[:BLANK]] for each section, with commas between, such as 1-10:4,11-20:5,21-25:7:-1:0"
    )]
    pub sections: String,
    /// The right answers in order, such as "BDACE BDACE"
    #[arg(long, value_name = "LETTERS")]
    pub answers: String,
    /// The paper's title [default: NAME]
    #[arg(long)]
    pub title: Option<String>,
    /// The folder to write to [default: the one you are in]
    #[arg(long, value_name = "DIR")]
    pub dir: Option<PathBuf>,
}

/// Does what the words say; `today` is the day that no rule can have been checked after.
///
/// # Errors
/// Files with something to mend, words that make no sense, files that cannot be written.
pub fn run(words: &PaperWords, today: NaiveDate, out: &mut dyn Write) -> Result<(), Failure> {
    match words {
        PaperWords::Check(words) => check::check(&words.files, today, out),
        PaperWords::New(words) => new::new(words, out),
    }
}

/// `25 questions, 125 marks, 60 minutes`.
fn size_of(paper: &crate::domain::paper::Paper) -> String {
    let outline = &paper.outline;
    let most = crate::storage::files::paper::most_marks(&outline.rule);
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
