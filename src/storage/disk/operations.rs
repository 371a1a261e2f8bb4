//! What a sitting asks of a disk, an operation at a time, so that any of them can be made to fail.
//!
//! Whoever keeps a sitting (its writer, its lock) changes files through a [`Disk`] alone. The program has
//! one, [`RealDisk`]. A test has others: the n-th operation refused once or for ever, a power cut after
//! any of them.

use std::fmt::Debug;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::Path;

use super::{Size, create_private_dir_all, open_private, private_folders};

/// A disk.
pub trait Disk: Debug + Send + Sync {
    /// Makes a new file for its owner alone; one that is there is an error.
    ///
    /// # Errors
    /// What the system says; so of every operation here.
    fn create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>>;
    /// Opens a file that is there, to read and write it.
    fn open(&self, path: &Path) -> io::Result<Box<dyn DiskFile>>;
    /// Opens a file to read and write it, and makes it for its owner alone where there is none.
    fn open_or_create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>>;
    /// Reads a file to its end.
    fn read(&self, path: &Path, most: Size) -> io::Result<Vec<u8>>;
    /// Makes a folder that nobody but the owner can enter.
    fn make_folder(&self, folder: &Path) -> io::Result<()>;
    /// The same with those above it; one that is there is no error.
    fn make_folders(&self, folder: &Path) -> io::Result<()>;
    /// Puts a file in another's place.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Removes a file.
    fn remove(&self, path: &Path) -> io::Result<()>;
    /// Brings a folder's entries to the disk.
    fn sync_folder(&self, folder: &Path) -> io::Result<()>;
}

/// An open file.
pub trait DiskFile: Debug + Send {
    /// Writes at the place that it stands at, behind what was read or written last.
    ///
    /// # Errors
    /// What the system says; so of every operation here.
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()>;
    /// Goes to its beginning.
    fn rewind(&mut self) -> io::Result<()>;
    /// Reads from there to the end.
    fn read_to_end(&mut self) -> io::Result<Vec<u8>>;
    /// Cuts it, or makes it longer by zeros, and goes to its end.
    fn set_length(&mut self, bytes: u64) -> io::Result<()>;
    /// Brings what was written to the disk.
    fn sync(&mut self) -> io::Result<()>;
    /// Locks it against other programs, until it is dropped.
    fn try_lock(&self) -> Result<(), TryLockError>;
    /// Whether it is the file that lies at `path`, as far as one can tell everywhere: it has a name,
    /// and there is a file there. Its number is not compared, since some network folders give a file
    /// a new one now and then.
    fn is_at(&self, path: &Path) -> io::Result<bool>;
}

/// The machine's own disk.
#[derive(Clone, Copy, Debug)]
pub struct RealDisk;

impl Disk for RealDisk {
    fn create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let mut options = OpenOptions::new();
        let file = open_private(options.read(true).write(true).create_new(true), path)?;
        Ok(Box::new(file))
    }

    fn open(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let file = File::options().read(true).write(true).open(path)?;
        Ok(Box::new(file))
    }

    fn open_or_create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let mut options = OpenOptions::new();
        options.read(true).write(true).create(true).truncate(false);
        Ok(Box::new(open_private(&mut options, path)?))
    }

    fn read(&self, path: &Path, most: Size) -> io::Result<Vec<u8>> {
        super::read(path, most)
    }

    fn make_folder(&self, folder: &Path) -> io::Result<()> {
        private_folders().create(folder)
    }

    fn make_folders(&self, folder: &Path) -> io::Result<()> {
        create_private_dir_all(folder)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        super::rename(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        super::sync_folder(folder)
    }
}

impl DiskFile for File {
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        Write::write_all(self, bytes)
    }

    fn rewind(&mut self) -> io::Result<()> {
        Seek::rewind(self)
    }

    fn read_to_end(&mut self) -> io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        Read::read_to_end(self, &mut bytes)?;
        Ok(bytes)
    }

    fn set_length(&mut self, bytes: u64) -> io::Result<()> {
        self.set_len(bytes)?;
        self.seek(SeekFrom::End(0)).map(|_end| ())
    }

    fn sync(&mut self) -> io::Result<()> {
        self.sync_data()
    }

    fn try_lock(&self) -> Result<(), TryLockError> {
        Self::try_lock(self)
    }

    #[cfg(unix)]
    fn is_at(&self, path: &Path) -> io::Result<bool> {
        use std::os::unix::fs::MetadataExt;
        if self.metadata()?.nlink() == 0 {
            return Ok(false);
        }
        match fs::metadata(path) {
            Ok(_) => Ok(true),
            Err(error) if is_absence(&error) => Ok(false),
            Err(error) => Err(error),
        }
    }

    /// An open file cannot be taken away here.
    #[cfg(not(unix))]
    fn is_at(&self, path: &Path) -> io::Result<bool> {
        path.try_exists()
    }
}

/// Whether an error says that a file or its folder is not there.
pub(in crate::storage) fn is_absence(error: &io::Error) -> bool {
    matches!(
        error.kind(),
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory
    )
}
