//! The open file of a sitting.

use std::io;
use std::path::Path;

use crate::storage::disk::operations::{Disk, DiskFile};

/// The file that a sitting's lines go to.
#[derive(Debug)]
pub(super) struct LogFile {
    file: Box<dyn DiskFile>,
    /// Some file systems never count a file's names; there nothing can be told from their number.
    told: bool,
}

impl LogFile {
    fn new(file: Box<dyn DiskFile>, path: &Path) -> Self {
        let told = matches!(file.is_at(path), Ok(true));
        Self { file, told }
    }

    /// Makes a new one; a file that is there is an error.
    pub(super) fn create(disk: &dyn Disk, path: &Path) -> io::Result<Self> {
        Ok(Self::new(disk.create(path)?, path))
    }

    /// Opens a session to go on behind its first `good` bytes; the rest is cut off. What is kept is on
    /// the disk when this returns: lines that a killed program had written may only be in the cache.
    pub(super) fn reopen(disk: &dyn Disk, path: &Path, good: usize) -> io::Result<Self> {
        let mut file = disk.open(path)?;
        let good = u64::try_from(good).map_err(io::Error::other)?;
        file.set_length(good)?;
        file.sync()?;
        Ok(Self::new(file, path))
    }

    /// Writes behind what is there.
    pub(super) fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.file.write_all(bytes)
    }

    /// Brings what was written to the disk.
    pub(super) fn sync(&mut self) -> io::Result<()> {
        self.file.sync()
    }

    /// Whether it is the file that lies at `path`.
    pub(super) fn is_at(&self, path: &Path) -> io::Result<bool> {
        if self.told {
            self.file.is_at(path)
        } else {
            path.try_exists()
        }
    }
}
