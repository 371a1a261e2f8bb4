//! A session file as lists need it.

use std::path::Path;

use super::error::JournalError;
use super::record::{Decided, read_as};
use crate::domain::abridged::Abridged;
use crate::storage::cache::{ContentDigest, ReadFile, Summaries};
use crate::storage::disk::{self, Size};

/// What lists need of a session file.
#[derive(Debug)]
pub struct Brief {
    /// The sitting, as far as the file can be read.
    pub sitting: Abridged,
    /// Whether its last record was not written to its end.
    pub torn: bool,
    /// What is known of whether it counts.
    pub decided: Decided,
    /// The damage up to which it was read, where it has one.
    pub damage: Option<JournalError>,
}

/// Reads a session file that was found in a folder: its bytes only where `known` has no file of which the system says
/// the same, its records only where it has none of these very bytes. Damaged, torn and open files are never remembered.
///
/// # Errors
/// A file that cannot be read, comes from a newer version, or whose first line is not good.
pub fn read_brief(path: &Path, known: &Summaries) -> Result<Brief, JournalError> {
    // Asked before the bytes are read: a change in between is another stamp the next time.
    let stamp = known.stamp(path);
    let unchanged = stamp.and_then(|stamp| known.of_unchanged(stamp, path));
    if let Some(sitting) = unchanged {
        return Ok(Brief::remembered(path, sitting));
    }
    let bytes = disk::read_found(path, Size::SESSION);
    let bytes = bytes.map_err(|error| JournalError::read(path, error))?;
    let file = known.is_kept().then(|| ReadFile {
        path,
        digest: ContentDigest::of(&bytes),
        stamp,
    });
    if let Some(sitting) = file.and_then(|file| known.get(file)) {
        return Ok(Brief::remembered(path, sitting));
    }
    let (record, damage) = read_as(path, &bytes)?;
    let sitting = Abridged::of(&record.sitting());
    let torn = record.torn.is_some();
    if let Some(file) = file.filter(|_| damage.is_none() && !torn && record.is_closed()) {
        known.put(file, &sitting);
    }
    Ok(Brief {
        decided: record.decided(),
        sitting,
        torn,
        damage,
    })
}

impl Brief {
    /// That of a file that a cache has.
    fn remembered(path: &Path, sitting: Abridged) -> Self {
        Self {
            decided: Decided::beside(path, &sitting.sitting),
            sitting,
            torn: false,
            damage: None,
        }
    }
}
