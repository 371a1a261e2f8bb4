//! The open file of a sitting.

use std::fs::TryLockError;
use std::io;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use crate::storage::disk::Size;
use crate::storage::disk::operations::{Disk, DiskFile, FileState, is_absence};

/// A line's checksum and its line feed.
const LAST: usize = 9;

/// What lies where a sitting's file belongs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum There {
    /// The file, with what was written to it and nothing else.
    Ours,
    /// Nothing.
    Nothing,
    /// Another file.
    Another,
    /// The file, with something else in it.
    Changed,
}

/// What the last look found, where nothing was written since.
#[derive(Debug)]
struct LastLook {
    path: PathBuf,
    /// Nothing where only bytes tell.
    state: Option<FileState>,
}

/// The file that a sitting's lines go to. It is locked against other programs for as long as it is open, where a
/// lock keeps nobody from reading.
#[derive(Debug)]
pub(super) struct LogFile {
    /// Given up where the system puts no file in the place of an open one.
    file: Option<Box<dyn DiskFile>>,
    /// Some file systems give the same file another number at each look; there only bytes tell.
    numbered: bool,
    /// When it was last written to, as of the last look that compared every byte.
    seen: Option<SystemTime>,
    last_look: Option<LastLook>,
}

impl LogFile {
    fn new(file: Box<dyn DiskFile>, path: &Path) -> Self {
        let numbered = matches!(file.is_at(path), Ok(true));
        Self {
            file: Some(file),
            numbered,
            seen: None,
            last_look: None,
        }
    }

    /// Makes a new one; a file that is there is an error.
    pub(super) fn create(disk: &dyn Disk, path: &Path) -> io::Result<Self> {
        let file = disk.create(path)?;
        // Nobody else can have it yet; where there are no locks it goes on without.
        let _nobody_has_it = lock(&*file);
        Ok(Self::new(file, path))
    }

    /// Opens one that is there.
    ///
    /// # Errors
    /// The system's refusal; `WouldBlock` where another program has it.
    pub(super) fn open(disk: &dyn Disk, path: &Path) -> io::Result<Self> {
        let file = disk.open(path)?;
        match lock(&*file) {
            Err(TryLockError::WouldBlock) => Err(io::ErrorKind::WouldBlock.into()),
            // Some network folders know no locks.
            Ok(()) | Err(TryLockError::Error(_)) => Ok(Self::new(file, path)),
        }
    }

    fn file(&mut self) -> io::Result<&mut Box<dyn DiskFile>> {
        self.file
            .as_mut()
            .ok_or_else(|| io::ErrorKind::NotFound.into())
    }

    /// Stands behind its last byte, after it was opened.
    #[cfg(not(unix))]
    pub(super) fn go_to_end(&mut self) -> io::Result<()> {
        self.file()?.read_to_end().map(drop)
    }

    /// Writes behind what is there.
    pub(super) fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.last_look = None;
        self.file()?.write_all(bytes)
    }

    /// Brings what was written to the disk.
    pub(super) fn sync(&mut self) -> io::Result<()> {
        self.file()?.sync()
    }

    /// Closes it, so that another can be put in its place.
    #[cfg(not(unix))]
    pub(super) fn let_go(&mut self) {
        self.last_look = None;
        self.file = None;
    }

    /// Whether it is the file that lies at `path`, as far as its number tells.
    pub(super) fn is_at(&self, path: &Path) -> io::Result<bool> {
        match &self.file {
            None => Ok(false),
            Some(file) if self.numbered => file.is_at(path),
            Some(_) => path.try_exists(),
        }
    }

    /// Looks at what lies at `path`, where the file with these bytes belongs. Every byte is compared wherever the
    /// file was written to since the last such look.
    pub(super) fn look(
        &mut self,
        disk: &dyn Disk,
        path: &Path,
        written: &[u8],
    ) -> io::Result<There> {
        self.last_look = None;
        if !self.numbered {
            return match disk.read(path, Size::SESSION) {
                Ok(bytes) if bytes == written => {
                    self.note(path, None);
                    Ok(There::Ours)
                }
                Ok(_) => Ok(There::Changed),
                Err(error) if is_absence(&error) => Ok(There::Nothing),
                Err(error) => Err(error),
            };
        }
        let last = written.len().min(LAST);
        let end = written.get(written.len() - last..).unwrap_or_default();
        let seen = self.seen;
        let state = match &mut self.file {
            Some(file) => file.state_at(path, end.len() as u64)?,
            None => None,
        };
        let Some(state) = state else {
            let any = path.try_exists()?;
            return Ok(if any { There::Another } else { There::Nothing });
        };
        let file = self.file()?;
        if state.length != written.len() as u64 || state.end != end {
            return Ok(There::Changed);
        }
        if state.modified.is_none() || seen != state.modified {
            file.rewind()?;
            if file.read_to_end()? != written {
                return Ok(There::Changed);
            }
            self.seen = state.modified;
        }
        self.note(path, Some(state));
        Ok(There::Ours)
    }

    fn note(&mut self, path: &Path, state: Option<FileState>) {
        let path = path.to_owned();
        self.last_look = Some(LastLook { path, state });
    }

    /// Whether a look was taken since the last writing, so that [`Self::is_to_be_looked_at`] sees what happens.
    pub(super) const fn was_looked_at(&self) -> bool {
        self.last_look.is_some()
    }

    /// Whether something else may lie there than the last look found: its device and number, its length, the time of
    /// its last change and its last checksum are compared. Where nobody has looked since the last writing, somebody
    /// is about to.
    pub(super) fn is_to_be_looked_at(&mut self) -> bool {
        let Some(LastLook { path, state }) = self.last_look.take() else {
            return false;
        };
        let same = state
            .as_ref()
            .is_some_and(|found| self.is_still(found, &path));
        self.last_look = Some(LastLook { path, state });
        !same
    }

    fn is_still(&mut self, found: &FileState, path: &Path) -> bool {
        let now = self
            .file()
            .and_then(|file| file.state_at(path, found.end.len() as u64));
        found.modified.is_some() && matches!(now, Ok(Some(now)) if now == *found)
    }
}

/// A lock on the file itself, so that a second window finds it whatever became of the file beside it.
#[cfg(unix)]
fn lock(file: &dyn DiskFile) -> Result<(), TryLockError> {
    file.try_lock()
}

/// A lock would keep others from reading here; the file beside it has to do.
#[cfg(not(unix))]
const fn lock(_: &dyn DiskFile) -> Result<(), TryLockError> {
    Ok(())
}
