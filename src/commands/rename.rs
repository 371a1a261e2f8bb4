//! `rename`: a pupil gets another alias.

use std::io::Write;
use std::path::{Path, PathBuf};

use super::failure::Failure;
use super::outlets::{remark, written};
use crate::domain::header::{Alias, NoAlias};
use crate::storage::keeping::{NotKept, Renaming};
use crate::words::keeping as words;

/// What `rename` takes.
#[derive(Debug, clap::Args)]
pub struct RenameArgs {
    /// The pupil's alias now
    #[arg(value_name = "OLD", value_parser = known_alias)]
    from: Alias,
    /// The new alias
    #[arg(value_name = "NEW", value_parser = Alias::new)]
    to: Alias,
    /// Files under the new alias are the same pupil's
    #[arg(long)]
    join: bool,
}

/// An alias that may have been taken before some were refused.
pub(super) fn known_alias(text: &str) -> Result<Alias, NoAlias> {
    Alias::try_from(text.trim().to_owned())
}

/// Renames the pupil below the folder of sittings.
///
/// # Errors
/// Nothing held, an open or damaged sitting, an alias that is somebody's, or the system's refusal.
pub fn run(
    args: &RenameArgs,
    sessions: &Path,
    out: &mut dyn Write,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    let renaming = Renaming {
        from: args.from.clone(),
        to: args.to.clone(),
        join: args.join,
    };
    let done = renaming.run(sessions, &[PathBuf::new()])?;
    for page in &done.pages {
        remark(aside, words::old_page(page));
    }
    for file in &done.mentions {
        remark(aside, words::still_mentions(file, &args.from));
    }
    for list in &done.lists {
        remark(aside, words::in_old_list(list, &args.from, &args.to));
    }
    for files in &done.differing {
        remark(aside, words::differing(files));
    }
    for sheets in &done.rivals {
        remark(aside, words::sheets_differ(&sheets.files, &sheets.apart));
    }
    for file in &done.other_names {
        remark(aside, words::has_other_name(file));
    }
    let said = words::renamed(&args.from, &args.to, done.sittings, done.files);
    written(out, &format!("{said}\n"))
}

impl From<NotKept> for Failure {
    fn from(error: NotKept) -> Self {
        match error {
            NotKept::Journal(error) => Self::from(error),
            NotKept::Same(_) | NotKept::Taken(_) => Self::wrong_words(error),
            other => Self::could_not(other),
        }
    }
}
