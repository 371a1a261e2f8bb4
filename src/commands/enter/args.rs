//! What is written after `enter`.

use std::path::PathBuf;

use chrono::NaiveDate;

use super::desk::EnterError;
use crate::domain::header::Alias;
use crate::domain::mark::Mark;

/// What `enter` takes.
#[derive(Debug, clap::Args)]
pub struct EnterArgs {
    /// The paper: a file, or the id of one here, in ./sample-papers, or beside or in the
    /// folder of sittings
    #[arg(value_name = "PAPER")]
    pub(super) paper: String,
    /// Whose answers they are: an alias, not a real name
    #[arg(long, value_name = "ALIAS", value_parser = Alias::new, required_unless_present = "from")]
    pub(super) pupil: Option<Alias>,
    /// The answers: one letter for each question, - for a blank, ? after an unsure answer,
    /// ?? after a guess; if you leave this out, you are asked for them
    #[arg(long, value_name = "STRING", allow_hyphen_values = true)]
    pub(super) answers: Option<String>,
    /// A class's sheets: a CSV file headed pupil,1,2,3,... with a row for each pupil's alias; a row
    /// with empty cells only is a pupil who was absent
    #[arg(long, value_name = "FILE.csv", conflicts_with_all = ["pupil", "answers"])]
    pub(super) from: Option<PathBuf>,
    /// Codes for a blank in the list, besides an empty cell and -; put commas between them
    #[arg(long, value_name = "CODES", value_delimiter = ',', requires = "from")]
    pub(super) blank_codes: Vec<String>,
    /// The day it was sat, such as 2026-11-25 [default: today]
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub(super) date: Option<NaiveDate>,
    /// Extra time that everybody here had, such as 25% [default: what the register says]
    #[arg(long, value_name = "PERCENT", value_parser = crate::commands::sit::wanted::extra_time)]
    pub(super) extra_time: Option<Mark>,
    /// Replace the sheet of the same pupil, paper and day that was typed in before: it is kept but
    /// doesn't count any more
    #[arg(long)]
    pub(super) again: bool,
    /// Type everything a second time and see every difference before anything is saved;
    /// --twice=SECOND takes the second keying from a CSV file, or with --answers from SECOND itself
    #[arg(long, value_name = "SECOND", require_equals = true, num_args = 0..=1)]
    #[expect(
        clippy::option_option,
        reason = "clap's own shape of a word with an optional value"
    )]
    pub(super) twice: Option<Option<String>>,
}

fn date(text: &str) -> Result<NaiveDate, EnterError> {
    text.trim().parse().map_err(|_no_date| EnterError::NoDay)
}
