//! `doctor`: what is not as it should be in a folder of sittings, each with its remedy. Nothing is changed.

use std::io::Write;
use std::path::{Path, PathBuf};

use super::failure::Failure;
use super::outlets::written;
use crate::storage::checkup::{self, Symptom};
use crate::words::doctor as words;
use crate::words::keeping::sheets_differ;
use crate::words::standing::notes_unread;

/// What `doctor` takes.
#[derive(Debug, clap::Args)]
pub struct DoctorArgs {
    /// The folder to look through [default: the folder of sittings]
    #[arg(value_name = "DIR")]
    dir: Option<PathBuf>,
}

impl DoctorArgs {
    /// The folder that was named.
    pub fn dir(&self) -> Option<&Path> {
        self.dir.as_deref()
    }
}

/// Lists what was found.
///
/// # Errors
/// A folder that cannot be opened; or, once all is said, a damaged session among what was found.
pub fn run(dir: &Path, out: &mut dyn Write) -> Result<(), Failure> {
    if !dir.is_dir() {
        return Err(Failure::of_file(dir, words::NO_SUCH_FOLDER));
    }
    let found = checkup::check(dir)?;
    let mut said: Vec<String> = found.iter().map(told).collect();
    said.push(words::summary(dir, found.len()));
    written(out, &format!("{}\n", said.join("\n")))?;
    let damaged = |symptom: &&Symptom| match symptom {
        Symptom::Damaged { .. } => true,
        Symptom::Unread(reason) => reason.is_damage(),
        _ => false,
    };
    match found.iter().filter(damaged).count() {
        0 => Ok(()),
        count => Err(Failure::Damaged(words::damaged_among(count))),
    }
}

fn told(symptom: &Symptom) -> String {
    match symptom {
        Symptom::Torn(path) => words::torn(path),
        Symptom::Damaged { path, reason } => words::damaged(path, reason),
        Symptom::Unread(reason) => reason.to_string(),
        Symptom::Practice(reason) => words::practice(reason),
        Symptom::Moved(path) => words::moved(path),
        Symptom::LeftBehind(path) => words::left_behind(path),
        Symptom::Duplicate(copy) => words::duplicate(&copy.path, &copy.kept, copy.differs),
        Symptom::Part { path, whole } => words::part(path, *whole),
        Symptom::Other(path) => words::other(path),
        Symptom::Kept(path) => words::kept(path),
        Symptom::OldLock(path) => words::old_lock(path),
        Symptom::Sheets(sheets) => sheets_differ(&sheets.files, &sheets.apart),
        Symptom::Misplaced { path, pupil, place } => words::misplaced(path, pupil, place),
        Symptom::Unusable(trouble) => trouble.to_string(),
        Symptom::NotesUnread(trouble) => notes_unread(trouble),
        Symptom::OtherRegister(path) => words::other_register(path),
        Symptom::Temporary(path) => words::temporary(path),
        Symptom::Cache(path) => words::cache(path),
    }
}
