//! Everything held on a pupil copied into a folder, from which it can be gathered again.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::error::NotKept;
use super::held::{Holdings, entries, put_register, take_away};
use super::known_by::metadata_beside;
use super::rename::{bytes_of, is_dropped, put_new, roots};
use super::sweep::parts_below;
use crate::domain::header::Alias;
use crate::domain::register::{Register, Registered};
use crate::storage::disk;
use crate::storage::files::register;

/// Where an export lies within its folder until all of it is there: what a kill leaves is taken for no export.
pub(super) const UNFINISHED: &str = ".unfinished-export";

/// Where the parts of an export are put, within its folder, until [`finish_export`].
pub fn unfinished_export(into: &Path) -> PathBuf {
    into.join(UNFINISHED)
}

/// Puts a whole export in its place: the copies of the sittings last, since they make it one that can be gathered. Gives
/// what the system refused once all of it was there: to begin anew would be to take away what may be in use.
///
/// # Errors
/// The system's refusal; typing the same words again begins it anew.
pub fn finish_export(into: &Path) -> Result<Option<io::Error>, NotKept> {
    let unfinished = unfinished_export(into);
    // Half-written files whose removal was refused.
    for left in parts_below(&unfinished)? {
        take_away(&left)?;
    }
    let mut parts = entries(&unfinished)?;
    parts.sort_by_key(|part| part.ends_with(LAST));
    for part in parts {
        let own = into.join(part.file_name().unwrap_or_default());
        disk::rename(&part, &own).map_err(NotKept::io(&own, "put the export there"))?;
    }
    let gone = disk::take_away_folder(&unfinished);
    let gone = gone.or_else(|_once_more| disk::take_away_folder(&unfinished));
    Ok(gone.and_then(|_is_empty| disk::sync_folder(into)).err())
}

/// Copies a pupil's files as they are into `sessions/PUPIL` in the unfinished export of a folder that is new, empty or
/// has nothing but an export that was killed, with the entry of the register beside them, and gives the copies.
///
/// # Errors
/// Nothing held, a folder with something in it, or the system's refusal.
pub fn export_files(sessions: &Path, pupil: &Alias, into: &Path) -> Result<Vec<PathBuf>, NotKept> {
    let mut held = Vec::new();
    for root in roots(sessions) {
        held.push(Holdings::of(&root, pupil)?);
    }
    let known = register::load(sessions)?;
    let entry = known.as_ref().and_then(|known| known.pupil(pupil)).cloned();
    if held.iter().all(Holdings::is_empty) && entry.is_none() {
        return Err(NotKept::Nobody {
            alias: pupil.clone(),
            sessions: sessions.to_owned(),
        });
    }
    if unfinished_export(into).is_dir() {
        take_back_export(into);
    }
    if into.exists() && !entries(into)?.is_empty() {
        return Err(NotKept::NotEmpty(into.to_owned()));
    }
    let copied = copy_all(&held, entry, pupil, &unfinished_export(into));
    if copied.is_err() {
        take_back_export(into);
    }
    copied
}

/// Takes back an export that could not be finished, as far as it can be, so that the same words can be typed again. Of
/// what lies in its folder that is what an export is made of; anything else is somebody's.
pub fn take_back_export(into: &Path) {
    if fs::symlink_metadata(into.join(LAST)).is_ok() {
        // All of it is there.
        let _an_empty_one_does_no_harm = disk::take_away_folder(&unfinished_export(into));
        return;
    }
    // Last what tells that the rest is of an export that was not finished.
    for file in ExportFile::ALL {
        let path = into.join(file.name());
        take_back(&path);
        if file.is_table() {
            take_back(&metadata_beside(&path));
        }
    }
    take_back(&into.join(UNFINISHED));
}

fn take_back(path: &Path) {
    if fs::symlink_metadata(path).is_ok_and(|about| about.is_dir()) {
        for inner in entries(path).unwrap_or_default() {
            take_back(&inner);
        }
        let _what_stays_is_named_at_the_next_try = disk::take_away_folder(path);
    } else {
        disk::remove(path);
    }
}

/// The part of an export that comes to its place last.
const LAST: &str = "sessions";

/// What else an export is made of; beside each table lies what describes it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ExportFile {
    /// The logs of the sittings.
    Sittings,
    /// A table of the time on each question.
    Times,
    /// The marks.
    Marks,
    /// The same as a table.
    MarksTable,
    /// The page that names each field.
    Fields,
}

impl ExportFile {
    /// All of them.
    const ALL: [Self; 5] = [
        Self::Sittings,
        Self::Times,
        Self::Marks,
        Self::MarksTable,
        Self::Fields,
    ];

    /// Whether what describes it lies beside it.
    const fn is_table(self) -> bool {
        matches!(self, Self::Times | Self::MarksTable)
    }

    /// Its name in the export's folder.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Sittings => "sittings.json",
            Self::Times => "times.csv",
            Self::Marks => "marks.json",
            Self::MarksTable => "marks.csv",
            Self::Fields => "index.html",
        }
    }
}

fn copy_all(
    held: &[Holdings],
    entry: Option<Registered>,
    pupil: &Alias,
    into: &Path,
) -> Result<Vec<PathBuf>, NotKept> {
    let target = into.join(LAST);
    disk::create_private_dir_all(&target).map_err(NotKept::io(&target, "make the folder"))?;
    let mut copies = Vec::new();
    for held in held {
        for file in held.files.iter().filter(|file| !is_dropped(file)) {
            if fs::symlink_metadata(&file.path).is_ok_and(|about| !about.is_file()) {
                continue;
            }
            let bytes = bytes_of(&file.path)?;
            let copy = target.join(pupil.as_str()).join(&file.inside);
            put_new(&copy, &bytes)?;
            copies.push(copy);
        }
    }
    if let Some(entry) = entry {
        let alone = Register {
            pupils: vec![entry],
            ..Register::default()
        };
        let path = register::path_in(&target);
        put_register(&path, &alone)?;
        copies.push(path);
    }
    Ok(copies)
}
