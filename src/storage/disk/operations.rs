//! What a sitting asks of a disk, an operation at a time, so that any of them can be made to fail.
//!
//! Whoever keeps a sitting (its writer, its lock) changes files through a [`Disk`] alone. The program has
//! one, [`RealDisk`]. A test has others: the n-th operation refused once or for ever, a power cut after
//! any of them.

use std::fmt::Debug;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Read, Seek, Write};
use std::path::Path;
use std::time::SystemTime;

use super::{Size, Unfit, folder_of, open_private, private_folders};

/// No lock is larger, in bytes.
pub(crate) const LARGEST_LOCK: u64 = 4096;

/// What others may do with a file that is held, where the system asks: read it, write to it. Nobody may then
/// remove it, move it or put another in its place.
const SHARE_READ: u32 = 1;
/// See [`SHARE_READ`].
const SHARE_WRITE: u32 = 2;

/// Keeps others from taking an open file away, where the system can (Windows: `CreateFileW`, share modes).
#[cfg(windows)]
fn hold(options: &mut OpenOptions, share: u32) {
    std::os::windows::fs::OpenOptionsExt::share_mode(options, share);
}

/// Anybody may take an open file away here, which is noticed.
#[cfg(not(windows))]
const fn hold(_: &mut OpenOptions, _: u32) {}

/// Opens the file itself, no link to another, and waits for nobody at a pipe.
#[cfg(unix)]
fn follow_no_link(options: &mut OpenOptions) -> &mut OpenOptions {
    use rustix::fs::OFlags;
    let flags = OFlags::NOFOLLOW | OFlags::NONBLOCK;
    std::os::unix::fs::OpenOptionsExt::custom_flags(options, flags.bits().cast_signed())
}

#[cfg(not(unix))]
const fn follow_no_link(options: &mut OpenOptions) -> &mut OpenOptions {
    options
}

/// A disk.
pub trait Disk: Debug + Send + Sync {
    /// Makes a new file for its owner alone; one that is there is an error.
    ///
    /// # Errors
    /// What the system says; so of every operation here.
    fn create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>>;
    /// Opens a file that is there, to read and write it.
    fn open(&self, path: &Path) -> io::Result<Box<dyn DiskFile>>;
    /// Opens a small file to read and write it, and makes it for its owner alone where there is none. A link is
    /// not followed; it, a folder, a pipe and what is large are refused as [`Unfit::NoLock`].
    fn open_or_create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>>;
    /// Reads a file to its end.
    fn read(&self, path: &Path, most: Size) -> io::Result<Vec<u8>>;
    /// Makes a folder that nobody but the owner can enter.
    fn make_folder(&self, folder: &Path) -> io::Result<()>;
    /// Puts a file in another's place.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Gives a file a name that nothing has yet: what is there, be it a link, is an error. Whoever is killed meanwhile
    /// may leave the old name as well.
    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Removes a file.
    fn remove(&self, path: &Path) -> io::Result<()>;
    /// Gives a file a second name, which nothing has yet; not every file system can.
    fn second_name(&self, path: &Path, new: &Path) -> io::Result<()>;
    /// Brings a folder's entries to the disk.
    fn sync_folder(&self, folder: &Path) -> io::Result<()>;
}

/// Makes a folder with those above it, and has the names of all that were not there on the disk: each before there is
/// anything in it. The last that is there may have been made by a program that was killed before its name was.
///
/// # Errors
/// What the system says.
pub(in crate::storage) fn make_folders(disk: &dyn Disk, folder: &Path) -> io::Result<()> {
    let mut missing = Vec::new();
    for one in folder.ancestors().filter(|one| *one != Path::new("")) {
        if one.is_dir() {
            disk.sync_folder(folder_of(one))?;
            break;
        }
        missing.push(one);
    }
    for one in missing.into_iter().rev() {
        match disk.make_folder(one) {
            Err(error) if error.kind() != io::ErrorKind::AlreadyExists || !one.is_dir() => {
                return Err(error);
            }
            _ => disk.sync_folder(folder_of(one))?,
        }
    }
    Ok(())
}

/// What an open file looks like.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileState {
    /// Its length in bytes.
    pub length: u64,
    /// When it was last written to, where the system tells.
    pub modified: Option<SystemTime>,
    /// Its last bytes, as many as were asked for.
    pub end: Vec<u8>,
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
    /// Gives others such rights to it.
    fn allow(&mut self, rights: fs::Permissions) -> io::Result<()>;
    /// Brings what was written to the disk.
    fn sync(&mut self) -> io::Result<()>;
    /// The same with everything that is known about the file.
    fn sync_all(&mut self) -> io::Result<()>;
    /// Locks it against other programs, until it is dropped.
    fn try_lock(&self) -> Result<(), TryLockError>;
    /// Whether it is the file that lies at `path`: the same device and number where the system has them.
    fn is_at(&self, path: &Path) -> io::Result<bool>;
    /// What it looks like now, with so many of its last bytes; it stands where it stood.
    fn state(&mut self, last: u64) -> io::Result<FileState>;

    /// Writes over what lies from this byte on. It may stand anywhere then.
    fn write_over(&mut self, from: u64, bytes: &[u8]) -> io::Result<()>;

    /// What [`state`](Self::state) tells, where it is the file that lies at `path`.
    fn state_at(&mut self, path: &Path, last: u64) -> io::Result<Option<FileState>> {
        self.is_at(path)?.then(|| self.state(last)).transpose()
    }
}

/// The machine's own disk.
#[derive(Clone, Copy, Debug)]
pub struct RealDisk;

impl Disk for RealDisk {
    fn create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let mut options = OpenOptions::new();
        let file = open_private(options.read(true).write(true).create_new(true), path)?;
        Ok(Box::new(RealFile::new(file)?))
    }

    fn open(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let mut options = OpenOptions::new();
        hold(options.read(true).write(true), SHARE_READ);
        Ok(Box::new(RealFile::new(options.open(path)?)?))
    }

    fn open_or_create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let mut options = OpenOptions::new();
        options.read(true).write(true).create(true).truncate(false);
        hold(follow_no_link(&mut options), SHARE_READ | SHARE_WRITE);
        let file = open_private(&mut options, path).map_err(|error| {
            if fs::symlink_metadata(path).is_ok_and(|about| !about.is_file()) {
                Unfit::NoLock.into()
            } else {
                error
            }
        })?;
        let about = file.metadata()?;
        if !about.is_file() || about.len() > LARGEST_LOCK {
            return Err(Unfit::NoLock.into());
        }
        Ok(Box::new(RealFile::new(file)?))
    }

    fn read(&self, path: &Path, most: Size) -> io::Result<Vec<u8>> {
        super::read(path, most)
    }

    fn make_folder(&self, folder: &Path) -> io::Result<()> {
        private_folders().create(folder)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        super::rename(from, to)
    }

    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        super::rename_new(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn second_name(&self, path: &Path, new: &Path) -> io::Result<()> {
        fs::hard_link(path, new)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        super::sync_folder(folder)
    }
}

/// A file of the machine's own disk.
#[derive(Debug)]
struct RealFile {
    file: File,
    /// Its device and number when it was opened.
    #[cfg(unix)]
    number: (u64, u64),
}

impl RealFile {
    #[cfg(unix)]
    fn new(file: File) -> io::Result<Self> {
        let number = number_of(&file.metadata()?);
        Ok(Self { file, number })
    }

    #[cfg(not(unix))]
    #[expect(clippy::unnecessary_wraps, reason = "elsewhere it asks the system")]
    const fn new(file: File) -> io::Result<Self> {
        Ok(Self { file })
    }
}

#[cfg(unix)]
fn number_of(about: &fs::Metadata) -> (u64, u64) {
    use std::os::unix::fs::MetadataExt;
    (about.dev(), about.ino())
}

impl DiskFile for RealFile {
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        Write::write_all(&mut self.file, bytes)
    }

    fn rewind(&mut self) -> io::Result<()> {
        Seek::rewind(&mut self.file)
    }

    fn read_to_end(&mut self) -> io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        Read::read_to_end(&mut self.file, &mut bytes)?;
        Ok(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        super::sync(&self.file)
    }

    fn allow(&mut self, rights: fs::Permissions) -> io::Result<()> {
        self.file.set_permissions(rights)
    }

    fn sync_all(&mut self) -> io::Result<()> {
        super::sync_all(&self.file)
    }

    fn try_lock(&self) -> Result<(), TryLockError> {
        self.file.try_lock()
    }

    /// No other file is given its number while it is open. Where the numbers differ the file itself is asked again:
    /// some systems give it another one.
    #[cfg(unix)]
    fn is_at(&self, path: &Path) -> io::Result<bool> {
        use std::os::unix::fs::MetadataExt;
        match fs::metadata(path).map(|there| number_of(&there)) {
            Ok(there) if there == self.number => Ok(true),
            Ok(there) => {
                let own = self.file.metadata()?;
                Ok(own.nlink() > 0 && number_of(&own) == there)
            }
            Err(error) if is_absence(&error) => Ok(false),
            Err(error) => Err(error),
        }
    }

    /// Nobody here can take a file away that is held, but the computer that a network folder lies on can.
    #[cfg(windows)]
    fn is_at(&self, path: &Path) -> io::Result<bool> {
        use same_file::Handle;
        let own = Handle::from_file(self.file.try_clone()?)?;
        match Handle::from_path(path) {
            Ok(there) => Ok(own == there),
            Err(error) if is_absence(&error) => Ok(false),
            Err(error) => Err(error),
        }
    }

    fn state(&mut self, last: u64) -> io::Result<FileState> {
        let about = self.file.metadata()?;
        state_of(&mut self.file, &about, last)
    }

    /// A waiting sitting does this all along: the system is asked once instead of twice.
    #[cfg(unix)]
    fn write_over(&mut self, from: u64, bytes: &[u8]) -> io::Result<()> {
        std::os::unix::fs::FileExt::write_all_at(&self.file, bytes, from)
    }

    #[cfg(not(unix))]
    fn write_over(&mut self, from: u64, bytes: &[u8]) -> io::Result<()> {
        self.file.seek(io::SeekFrom::Start(from))?;
        Write::write_all(&mut self.file, bytes)
    }

    /// As above: what is told of the path is told of the file.
    #[cfg(unix)]
    fn state_at(&mut self, path: &Path, last: u64) -> io::Result<Option<FileState>> {
        match fs::metadata(path) {
            Ok(there) if number_of(&there) == self.number => {
                state_of(&mut self.file, &there, last).map(Some)
            }
            _ => self.is_at(path)?.then(|| self.state(last)).transpose(),
        }
    }
}

fn state_of(file: &mut File, about: &fs::Metadata, last: u64) -> io::Result<FileState> {
    let from = about.len().saturating_sub(last);
    let mut end = vec![0; usize::try_from(last.min(about.len())).unwrap_or_default()];
    let read = read_at(file, &mut end, from)?;
    end.truncate(read);
    Ok(FileState {
        length: about.len(),
        modified: about.modified().ok(),
        end,
    })
}

/// Reads as many bytes as there are from this place on, at most as many as fit.
fn read_at(file: &mut File, bytes: &mut [u8], from: u64) -> io::Result<usize> {
    #[cfg(unix)]
    return loop {
        // A file gives all that it has at once; what is shorter has been cut meanwhile.
        match std::os::unix::fs::FileExt::read_at(file, bytes, from) {
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            read => break read,
        }
    };
    #[cfg(not(unix))]
    {
        let stood = file.stream_position()?;
        file.seek(io::SeekFrom::Start(from))?;
        let mut read = Vec::new();
        Read::by_ref(file)
            .take(bytes.len() as u64)
            .read_to_end(&mut read)?;
        file.seek(io::SeekFrom::Start(stood))?;
        let there = bytes.get_mut(..read.len()).unwrap_or_default();
        there.copy_from_slice(&read);
        Ok(read.len())
    }
}

/// Whether an error says that a file or its folder is not there.
pub(in crate::storage) fn is_absence(error: &io::Error) -> bool {
    matches!(
        error.kind(),
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory
    )
}
