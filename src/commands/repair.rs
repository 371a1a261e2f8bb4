//! `repair`: a session file whose end or middle is spoilt keeps what can be read of it.

use std::io::Write;
use std::path::PathBuf;

use chrono::{DateTime, FixedOffset};

use super::failure::Failure;
use super::outlets::written;
use crate::domain::notes::Ruling;
use crate::storage::files::notes;
use crate::storage::journal::{self, NotRepaired};
use crate::words::damage as words;

/// What `repair` takes.
#[derive(Debug, clap::Args)]
pub struct RepairArgs {
    /// The damaged session file
    #[arg(value_name = "SITTING")]
    sitting: PathBuf,
}

/// Puts what can be read of a session file in its place, and keeps the file as it was beside it. A sitting whose end
/// cannot be read any more is set aside, so that nobody carries on with it.
///
/// # Errors
/// A file of which nothing can be read, that is in use, or that cannot be written.
pub fn run(
    args: &RepairArgs,
    now: DateTime<FixedOffset>,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let repaired = match journal::repair(&args.sitting) {
        Ok(repaired) => repaired,
        Err(NotRepaired::Journal(error)) => return Err(Failure::from(error)),
        Err(sound @ NotRepaired::Sound(_)) => return written(out, &format!("{sound}.\n")),
        Err(other) => return Err(Failure::could_not(other)),
    };
    let record = &repaired.record;
    let zone = record.header.started.timezone();
    let last = record.events.last();
    let until = last.map_or(record.header.started, |last| last.utc.with_timezone(&zone));
    let answers = record
        .sitting()
        .rows()
        .iter()
        .filter(|row| row.in_time.is_some())
        .count();
    let mut said = words::repaired(&args.sitting, answers, until, &repaired.kept);
    if repaired.had_ended {
        let sitting = &record.header.sitting;
        let mut notes = notes::load(&record.path, sitting).map_err(Failure::could_not)?;
        notes.decisions.push(Ruling {
            at: now,
            counts: false,
            because: words::END_UNREADABLE.to_owned(),
            by: words::BY_REPAIR.to_owned(),
        });
        notes::save(&record.path, &notes).map_err(Failure::could_not)?;
        said += words::SET_ASIDE_SINCE_REPAIRED;
    }
    written(out, &format!("{said}\n"))
}
