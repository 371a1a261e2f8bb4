//! Sittings as they were read, folded and held against their keys.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::failure::Failure;
use crate::analysis::{Analysis, Studied};
use crate::domain::key::Key;
use crate::domain::paper::Paper;
use crate::domain::thresholds::Thresholds;
use crate::storage::files;
use crate::storage::journal::{Listing, Record};

/// What the log of a record tells, judged by these thresholds.
pub(super) fn analysis(record: &Record, limits: &Arc<Thresholds>) -> Analysis {
    let header = Arc::new(record.header.clone());
    Analysis::of(header, record.events.as_slice().into(), Arc::clone(limits))
}

/// A record with its key and its paper, where they are at hand.
pub(super) fn studied(
    record: &Record,
    key: Option<Arc<Key>>,
    paper: Option<Arc<Paper>>,
    limits: &Arc<Thresholds>,
) -> Studied {
    Studied {
        paper,
        ..Studied::new(analysis(record, limits), key)
    }
}

/// The thresholds that a session file is judged by: those of the folder of sittings that was named, else
/// of the file's own folder, else of the one above it, since pupils have folders of their own.
///
/// # Errors
/// A thresholds file that cannot be used.
pub(super) fn limits_for(file: &Path, sessions: Option<&Path>) -> Result<Arc<Thresholds>, Failure> {
    let folder = folder_of(file);
    let above = folder.join("..");
    let dirs = match sessions {
        Some(sessions) => vec![sessions],
        None => vec![folder.as_path(), above.as_path()],
    };
    let mut dirs = dirs.into_iter();
    let found = dirs.find(|dir| files::thresholds::path_in(dir).is_file());
    let limits = found.map_or_else(|| Ok(Thresholds::default()), files::thresholds::load);
    limits.map(Arc::new).map_err(Failure::could_not)
}

/// The folder that a file lies in.
pub(super) fn folder_of(file: &Path) -> PathBuf {
    match file.parent() {
        Some(parent) if parent != Path::new("") => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// What is said of files that hold a sitting once more: each sitting counts once.
pub(super) fn copies(listing: &Listing) -> impl Iterator<Item = String> + '_ {
    let copies = listing.copies.iter();
    copies.map(|(copy, kept)| {
        format!(
            "{}: the same sitting as {}; it counts once",
            copy.display(),
            kept.display()
        )
    })
}
