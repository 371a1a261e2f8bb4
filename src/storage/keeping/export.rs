//! Everything held on a pupil copied into a folder, from which it can be gathered again.

use std::fs;
use std::path::{Path, PathBuf};

use super::error::NotKept;
use super::held::{Holdings, entries, put_register};
use super::rename::{bytes_of, is_dropped, put_new, roots};
use crate::domain::header::Alias;
use crate::domain::register::{Register, Registered};
use crate::storage::disk;
use crate::storage::files::register;

/// Copies a pupil's files as they are into `sessions/PUPIL` in a folder that is new or empty, with the entry of the
/// register beside them, and gives the copies.
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
    if into.exists() && !entries(into)?.is_empty() {
        return Err(NotKept::NotEmpty(into.to_owned()));
    }
    let copied = copy_all(&held, entry, pupil, into);
    if copied.is_err() {
        take_back_export(into);
    }
    copied
}

/// Takes back an export that could not be finished, as far as it can be, so that the same words can be typed again:
/// everything in a folder that was new or empty when it was begun.
pub fn take_back_export(into: &Path) {
    for path in entries(into).unwrap_or_default() {
        if fs::symlink_metadata(&path).is_ok_and(|about| about.is_dir()) {
            take_back_export(&path);
            let _what_stays_is_named_at_the_next_try = disk::take_away_folder(&path);
        } else {
            disk::remove(&path);
        }
    }
}

fn copy_all(
    held: &[Holdings],
    entry: Option<Registered>,
    pupil: &Alias,
    into: &Path,
) -> Result<Vec<PathBuf>, NotKept> {
    let target = into.join("sessions");
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
