//! A session file as lists need it.

use std::path::Path;

use super::error::JournalError;
use super::record::{Decided, read_as};
use crate::domain::abridged::Abridged;
use crate::storage::cache::{ContentDigest, Summaries};
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

/// Reads a session file that was found in a folder, every byte of it; its records only where `known` has no file of
/// these very bytes. Damaged, torn and open files are never remembered.
///
/// # Errors
/// A file that cannot be read, comes from a newer version, or whose first line is not good.
pub fn read_brief(path: &Path, known: &Summaries) -> Result<Brief, JournalError> {
    let bytes = disk::read_found(path, Size::SESSION);
    let bytes = bytes.map_err(|error| JournalError::read(path, error))?;
    let digest = known.is_kept().then(|| ContentDigest::of(&bytes));
    if let Some(sitting) = digest.and_then(|digest| known.get(digest, path)) {
        return Ok(Brief {
            decided: Decided::beside(path, &sitting.sitting),
            sitting,
            torn: false,
            damage: None,
        });
    }
    let (record, damage) = read_as(path, &bytes)?;
    let sitting = Abridged::of(&record.sitting());
    let torn = record.torn.is_some();
    if let Some(digest) = digest.filter(|_| damage.is_none() && !torn && record.is_closed()) {
        known.put(digest, path, &sitting);
    }
    Ok(Brief {
        decided: record.decided(),
        sitting,
        torn,
        damage,
    })
}
