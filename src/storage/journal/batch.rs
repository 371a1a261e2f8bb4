//! Sittings that have ended, put among the others all at once: each is on the disk, under a name that nobody reads,
//! before the first gets its own.
//!
//! A program that is killed on the way leaves some of them whole and the others not begun, and a folder that the next
//! run clears.

use std::fs::{self, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::error::JournalError;
use super::lock::{Lock, LockError};
use super::place;
use super::record::text_of;
use crate::domain::character::ShownPath as _;
use crate::domain::event::Stamped;
use crate::domain::header::Header;
use crate::storage::disk;

/// The folder in which they wait for their names.
const WAITING: &str = ".entering";

/// A name that somebody takes at the same moment is looked for anew so many times.
const MOST_TRIES: u32 = 100;

/// Why they are not among the others, or not all.
#[derive(Debug, thiserror::Error)]
pub enum NotPut {
    /// Another program is at it.
    #[error(
        "{}: answer sheets are being saved in another window. Wait until that is done, then try again",
        .0.shown()
    )]
    Busy(PathBuf),
    /// The system would not do it.
    #[error(transparent)]
    Lock(LockError),
    /// See [`JournalError`].
    #[error(transparent)]
    Journal(#[from] JournalError),
}

/// Puts ended sittings below `dir`, each in its pupil's folder, and gives their paths.
///
/// # Errors
/// A folder that cannot be written to. Unless the paths had begun to be taken, nothing is left behind.
pub fn put_all(dir: &Path, sittings: &[(Header, Vec<Stamped>)]) -> Result<Vec<PathBuf>, NotPut> {
    let folder = dir.join(WAITING);
    let lock = match Lock::take(&folder.join(format!("{WAITING}{}", place::ENDING))) {
        Ok((lock, _heartbeat)) => lock,
        Err(LockError::Taken(_)) => return Err(NotPut::Busy(dir.to_owned())),
        Err(other) => return Err(NotPut::Lock(other)),
    };
    clear(&folder);
    let put = wait(&folder, sittings).and_then(|parts| name(dir, sittings, &parts));
    clear(&folder);
    lock.release();
    let _somebody_else_may_have_come = fs::remove_dir(&folder);
    Ok(put?)
}

/// Removes what a run left that was killed; of one that is going on, nothing.
pub fn discard_unfinished(dir: &Path) {
    if dir.join(WAITING).is_dir() {
        let _one_that_goes_on_clears_up_itself = put_all(dir, &[]);
    }
}

fn clear(folder: &Path) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.extension().is_some_and(|ending| ending == "part") {
            disk::remove(&path);
        }
    }
}

/// Writes each under a name that is no session's.
fn wait(folder: &Path, sittings: &[(Header, Vec<Stamped>)]) -> Result<Vec<PathBuf>, JournalError> {
    let part = |(index, (header, events)): (usize, &(Header, Vec<Stamped>))| {
        let path = folder.join(format!("{index}.part"));
        let whole = text_of(header, events).map_err(|error| JournalError::Unwritable {
            path: path.clone(),
            reason: error.to_string(),
        })?;
        write(&path, whole.text.as_bytes()).map_err(JournalError::io(&path, "write the file"))?;
        Ok(path)
    };
    sittings.iter().enumerate().map(part).collect()
}

fn write(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut options = OpenOptions::new();
    let mut file = disk::open_private(options.write(true).create_new(true), path)?;
    file.write_all(bytes)?;
    disk::sync_all(&file)
}

/// Gives each its own name, and has the names on the disk.
fn name(
    dir: &Path,
    sittings: &[(Header, Vec<Stamped>)],
    parts: &[PathBuf],
) -> Result<Vec<PathBuf>, JournalError> {
    for (header, _) in sittings {
        let folder = dir.join(header.pupil.as_str());
        disk::create_private_dir_all(&folder)
            .map_err(JournalError::io(&folder, "make the folder"))?;
    }
    let mut paths = Vec::new();
    for ((header, _), part) in sittings.iter().zip(parts) {
        paths.push(name_one(dir, header, part)?);
    }
    for path in &paths {
        let folder = disk::folder_of(path);
        disk::sync_folder(folder).map_err(JournalError::io(folder, "write to the folder"))?;
    }
    disk::sync_folder(dir).map_err(JournalError::io(dir, "write to the folder"))?;
    Ok(paths)
}

fn name_one(dir: &Path, header: &Header, part: &Path) -> Result<PathBuf, JournalError> {
    let mut tries = 0;
    loop {
        let path = place::path_for(dir, header);
        match disk::rename_new(part, &path) {
            Ok(()) => return Ok(path),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists && tries < MOST_TRIES => {
                tries += 1;
            }
            Err(error) => return Err(JournalError::io(&path, "write the file")(error)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::storage::journal::{list, samples};

    fn sittings(count: u64) -> Vec<(Header, Vec<Stamped>)> {
        let header = |index: u64| Header {
            sitting: format!("20261125-160000-{index:016x}"),
            ..samples::header()
        };
        (0..count)
            .map(|index| (header(index), Vec::new()))
            .collect()
    }

    #[test]
    fn all_are_there_and_nothing_else() {
        let dir = tempfile::tempdir().unwrap();
        let paths = put_all(dir.path(), &sittings(3)).unwrap();
        let found = list(dir.path()).unwrap();
        assert_eq!((found.records.len(), paths.len()), (3, 3));
        assert!(found.unreadable.is_empty() && !dir.path().join(WAITING).exists());
    }

    #[test]
    fn what_a_killed_run_left_is_cleared_and_another_run_is_waited_for() {
        let dir = tempfile::tempdir().unwrap();
        let folder = dir.path().join(WAITING);
        fs::create_dir(&folder).unwrap();
        for name in ["0.part", "99.part"] {
            fs::write(folder.join(name), "half a sit").unwrap();
        }
        put_all(dir.path(), &sittings(1)).unwrap();
        assert!(!folder.exists());
        let (_lock, _) = Lock::take(&folder.join(".entering.session.ron")).unwrap();
        let busy = put_all(dir.path(), &sittings(1)).unwrap_err();
        assert!(matches!(busy, NotPut::Busy(_)));
        assert_eq!(list(dir.path()).unwrap().records.len(), 1);
    }

    #[cfg(unix)]
    #[test]
    fn what_cannot_be_written_leaves_nothing() {
        let dir = tempfile::tempdir().unwrap();
        let (header, _) = sittings(1).remove(0);
        fs::write(
            dir.path().join(header.pupil.as_str()),
            "a file where a folder has to be",
        )
        .unwrap();
        put_all(dir.path(), &sittings(2)).unwrap_err();
        let names = fs::read_dir(dir.path()).unwrap();
        assert_eq!(names.count(), 1);
    }
}
