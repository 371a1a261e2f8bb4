//! Pages on the disk: whole or not at all, and for their owner's eyes.

use std::io;
use std::path::Path;

use crate::commands::failure::Failure;
use crate::storage::disk::{self, Rights};

/// A page that the disk does not take.
#[derive(Debug, thiserror::Error)]
#[error("cannot write {} ({error}); name a file in a folder that exists and that you may write to", path.display())]
struct PageNotWritten<'a> {
    path: &'a Path,
    error: io::Error,
}

/// Writes a file in place of what was there; a page half written never takes the place of a whole one.
pub(super) fn replace(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    disk::replace(path, bytes, Rights::Owner)
        .map_err(|error| Failure::could_not(PageNotWritten { path, error }))
}
