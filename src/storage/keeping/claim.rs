//! One job at a time on a folder of sittings.

use std::fs::{File, OpenOptions, TryLockError};
use std::path::{Path, PathBuf};

use super::error::NotKept;
use crate::storage::disk;

/// The right to change many files of a folder of sittings; given back when it is dropped, and by the system when
/// the program dies.
#[derive(Debug)]
pub(super) struct Claim {
    path: PathBuf,
    _file: File,
}

impl Claim {
    /// Takes the folder.
    ///
    /// # Errors
    /// Another job is going on there, or the system refuses.
    pub(super) fn take(sessions: &Path) -> Result<Self, NotKept> {
        let path = sessions.join(".keeping.lock");
        let mut options = OpenOptions::new();
        options.read(true).write(true).create(true).truncate(false);
        let file = disk::open_private(&mut options, &path);
        let file = file.map_err(NotKept::io(&path, "lock the folder"))?;
        match file.try_lock() {
            Err(TryLockError::WouldBlock) => Err(NotKept::Busy(sessions.to_owned())),
            // A network folder without locks: it is up to people then.
            Ok(()) | Err(TryLockError::Error(_)) => Ok(Self { path, _file: file }),
        }
    }
}

impl Drop for Claim {
    fn drop(&mut self) {
        disk::remove(&self.path);
    }
}
