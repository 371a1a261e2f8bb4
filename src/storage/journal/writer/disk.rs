//! What the writer asks of a disk, so that tests can have one that goes wrong.

use std::fs::{File, OpenOptions};
use std::io::{self, Seek, SeekFrom, Write};
use std::path::Path;

use crate::storage::disk;
use crate::storage::journal::place;

/// A disk.
pub(super) trait Disk: Send {
    /// Makes a new file for its owner alone; one that is there is an error.
    fn create(&self, path: &Path) -> io::Result<Box<dyn JournalFile>>;
    /// Puts a file in another's place.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Brings a folder's entries to the disk.
    fn sync_folder(&self, folder: &Path) -> io::Result<()>;
    /// Removes a file that is of no use, if it can.
    fn remove(&self, path: &Path);
}

/// An open file.
pub(super) trait JournalFile: Send {
    /// Writes behind what is there.
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()>;
    /// Brings what was written to the disk.
    fn sync(&mut self) -> io::Result<()>;
    /// Whether it is the file that lies at `path`.
    fn is_at(&self, path: &Path) -> io::Result<bool>;
}

/// The machine's own disk.
pub(super) struct RealDisk;

impl Disk for RealDisk {
    fn create(&self, path: &Path) -> io::Result<Box<dyn JournalFile>> {
        let file = disk::open_private(OpenOptions::new().write(true).create_new(true), path)?;
        Ok(RealSheet::boxed(file, path))
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        disk::rename(from, to)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        disk::sync_folder(folder)
    }

    fn remove(&self, path: &Path) {
        disk::remove(path);
    }
}

struct RealSheet {
    file: File,
    /// Some file systems never count a file's names; there nothing can be told from their number.
    told: bool,
}

impl RealSheet {
    fn boxed(file: File, path: &Path) -> Box<dyn JournalFile> {
        let told = matches!(place::is_at(&file, path), Ok(true));
        Box::new(Self { file, told })
    }
}

impl JournalFile for RealSheet {
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.file.write_all(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        self.file.sync_data()
    }

    fn is_at(&self, path: &Path) -> io::Result<bool> {
        if self.told {
            place::is_at(&self.file, path)
        } else {
            path.try_exists()
        }
    }
}

/// Opens a session to go on behind its first `good` bytes; the rest is cut off. What is kept is on
/// the disk when this returns: lines that a killed program had written may only be in the cache.
pub(super) fn reopen(path: &Path, good: usize) -> io::Result<Box<dyn JournalFile>> {
    let mut file = File::options().write(true).open(path)?;
    let good = u64::try_from(good).map_err(io::Error::other)?;
    if file.metadata()?.len() != good {
        file.set_len(good)?;
    }
    file.sync_all()?;
    file.seek(SeekFrom::End(0))?;
    Ok(RealSheet::boxed(file, path))
}
