//! `set-aside`: whether a sitting counts is the tutor's decision. It is kept in the notes; the log is never touched.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::failure::{Failure, Failures};
use super::outlets::written;
use crate::domain::character::ShownPath as _;
use crate::domain::character::plain_line;
use crate::domain::notes::Ruling;
use crate::storage::catalogue::Catalogue;
use crate::storage::files::notes;
use crate::storage::journal::Record;
use crate::storage::keeping::pages::given_out;
use crate::words::keeping::written_before;
use crate::words::standing;

/// What `set-aside` takes.
#[derive(Debug, clap::Args)]
pub struct SetAsideArgs {
    /// The sitting's session file
    #[arg(value_name = "SITTING")]
    sitting: PathBuf,
    /// Why it doesn't count, in a few words
    #[arg(
        long,
        value_name = "TEXT",
        required_unless_present = "back",
        conflicts_with = "back"
    )]
    because: Option<String>,
    /// It counts, also if it was set aside before or is very short
    #[arg(long)]
    back: bool,
    /// The initials to put beside the decision
    #[arg(long, value_name = "INITIALS", default_value = "tutor")]
    by: String,
}

/// Why nothing is decided.
#[derive(Debug, thiserror::Error)]
enum NotDecided {
    #[error("several sittings are meant; name one of these files: {}", listed(.0))]
    Several(Vec<PathBuf>),
    #[error("say in a few words why it doesn't count, such as --because \"false start\"")]
    NoReason,
}

fn listed(files: &[PathBuf]) -> String {
    let files = files.iter().map(|file| file.shown().to_string());
    files.collect::<Vec<_>>().join(", ")
}

/// Writes the decision into the notes beside the session file.
///
/// # Errors
/// No sitting or several, no reason, notes that cannot be read or written.
pub fn run(
    args: &SetAsideArgs,
    sessions: Option<&Path>,
    now: DateTime<FixedOffset>,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let because = plain_line(args.because.as_deref().unwrap_or_default());
    if !args.back && because.is_empty() {
        return Err(Failure::wrong_words(NotDecided::NoReason));
    }
    let record = the_one(&args.sitting, sessions)?;
    let mut notes =
        notes::load(&record.path, &record.header.sitting).map_err(Failure::could_not)?;
    notes.decisions.push(Ruling {
        at: now,
        counts: args.back,
        because,
        by: plain_line(&args.by),
    });
    notes::save(&record.path, &notes).map_err(Failure::could_not)?;
    let header = &record.header;
    let catalogue = Catalogue::open(sessions, &[]);
    let said = if args.back {
        let barred = catalogue.barred(&record.path)?;
        match barred {
            None => standing::counts_again(header),
            Some(barred) => standing::back_but_barred(header, barred.reason, &barred.by),
        }
    } else {
        standing::is_set_aside(header, &record.path)
    };
    let said =
        [said]
            .into_iter()
            .chain(catalogue.sessions().ok().and_then(|sessions| {
                written_before(&header.pupil, &given_out(sessions, &header.pupil))
            }));
    let said: Vec<_> = said.collect();
    written(out, &format!("{}\n", said.join("\n")))
}

/// The sitting that is meant.
///
/// # Errors
/// None, several, or a file that cannot be read.
pub(super) fn the_one(named: &Path, sessions: Option<&Path>) -> Result<Arc<Record>, Failure> {
    let catalogue = Catalogue::open(sessions, &[]);
    let mut meant = catalogue.sittings(&[named.to_owned()])?;
    Failures::of_sittings(&meant).none()?;
    let files = meant.records.iter().map(|record| record.path.clone());
    let copies = meant.copies.iter().map(|copy| copy.path.clone());
    let files: Vec<_> = files.chain(copies).collect();
    match meant.records.pop() {
        Some(record) if files.len() == 1 => Ok(record),
        _ => Err(Failure::wrong_words(NotDecided::Several(files))),
    }
}
