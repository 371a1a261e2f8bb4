//! A file put in another's place, or where nothing is, as a whole, on any disk, and what that leaves where a program is killed.

use std::fs::{self, OpenOptions, TryLockError};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::operations::{self, Disk, RealDisk};
use super::{folder_of, open_private};

/// Puts a file in the place of what was there: it is on the disk when this returns, and until then the
/// old one is. It is its owner's alone, unless it keeps the rights of the old one.
///
/// A link is followed, and stays. What is no file, such as a pipe or a terminal, is written to as it is.
///
/// # Errors
/// The system's refusal; a file that was there is then as it was.
pub fn replace(path: &Path, bytes: &[u8], rights: Rights) -> io::Result<()> {
    replace_on(&RealDisk, path, bytes, rights)
}

/// The same on any disk.
///
/// # Errors
/// As [`replace`].
pub fn replace_on(disk: &dyn Disk, path: &Path, bytes: &[u8], rights: Rights) -> io::Result<()> {
    match fs::symlink_metadata(path) {
        Ok(about) if !about.is_file() => match linked_file(path) {
            Some(target) => replace_file(disk, &target, bytes, rights),
            None => write_as_it_is(path, bytes),
        },
        _ => replace_file(disk, path, bytes, rights),
    }
}

/// Puts a file in the place of what was there like [`replace`]; a link is no way to elsewhere: it is replaced itself.
///
/// # Errors
/// The system's refusal; what was there is then as it was.
pub fn replace_itself(path: &Path, bytes: &[u8]) -> io::Result<()> {
    replace_file(&RealDisk, path, bytes, Rights::Owner)
}

/// Who may read a file that takes the place of another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rights {
    /// Its owner: pages and notes are on pupils.
    Owner,
    /// Whoever could read the old one: a tutor may share papers.
    AsBefore,
}

/// The file that a link leads to. The system's own links, such as `/dev/stdout`, lead to files that are
/// open already: a new file in their place would not be the one that is written to.
fn linked_file(path: &Path) -> Option<PathBuf> {
    let target = fs::canonicalize(path).ok()?;
    let own = ["/dev", "/proc"].iter().any(|dir| path.starts_with(dir));
    (target.is_file() && !own).then_some(target)
}

/// Writes to what is there. Nothing is made by it: a link that leads nowhere is the system's refusal.
fn write_as_it_is(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut there = OpenOptions::new().write(true).truncate(true).open(path)?;
    there.write_all(bytes).and_then(|()| there.flush())
}

fn replace_file(disk: &dyn Disk, path: &Path, bytes: &[u8], rights: Rights) -> io::Result<()> {
    // What cannot be taken away now is found by whoever looks for it.
    let _does_no_harm = take_away_parts_on(disk, path);
    let like = match rights {
        Rights::Owner => None,
        Rights::AsBefore => fs::metadata(path).ok(),
    };
    put_new(disk, path, bytes, like)
}

/// Makes a new file for its owner alone: it is on the disk when this returns, and until then nothing is there.
///
/// # Errors
/// A file of that name is there, be it a link, or the system refuses: then nothing is left behind.
pub fn create(path: &Path, bytes: &[u8]) -> io::Result<()> {
    create_on(&RealDisk, path, bytes)
}

/// The same on any disk.
///
/// # Errors
/// As [`create`].
pub fn create_on(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> io::Result<()> {
    // What cannot be taken away now is found by whoever looks for it.
    let _does_no_harm = take_away_parts_on(disk, path);
    // Nothing is written where it cannot be put in its place.
    if fs::symlink_metadata(path).is_ok() {
        return Err(io::ErrorKind::AlreadyExists.into());
    }
    write_and_name(disk, path, bytes, None, |part| disk.rename_new(part, path))?;
    let synced = disk.sync_folder(folder_of(path));
    if synced.is_err() {
        let _a_leftover_does_no_harm = disk.remove(path);
    }
    synced
}

/// Writes a new file and puts it in its place.
fn put_new(
    disk: &dyn Disk,
    path: &Path,
    bytes: &[u8],
    like: Option<fs::Metadata>,
) -> io::Result<()> {
    write_and_name(disk, path, bytes, like, |part| disk.rename(part, path))?;
    disk.sync_folder(folder_of(path))
}

/// Writes a new file under a name that nobody looks for, and then gives it its own.
fn write_and_name(
    disk: &dyn Disk,
    path: &Path,
    bytes: &[u8],
    like: Option<fs::Metadata>,
    name: impl FnOnce(&Path) -> io::Result<()>,
) -> io::Result<()> {
    let part = part_of(path);
    let named = write_new(disk, &part, bytes, like).and_then(|()| name(&part));
    if named.is_err() {
        let _a_leftover_does_no_harm = disk.remove(&part);
    }
    named
}

fn write_new(
    disk: &dyn Disk,
    path: &Path,
    bytes: &[u8],
    like: Option<fs::Metadata>,
) -> io::Result<()> {
    let mut file = disk.create(path)?;
    // Nobody takes it for a leftover meanwhile; where there are no locks, that is up to people.
    let _nobody_else_can_have_it = file.try_lock();
    file.write_all(bytes)?;
    if let Some(like) = like {
        file.allow(like.permissions())?;
    }
    file.sync_all()
}

/// Puts a file in its place like [`replace`], and takes away what programs that were killed have left half written
/// of it: a job that was killed and is run again leaves nothing behind.
///
/// # Errors
/// The system's refusal; a file that was there is then as it was.
pub(in crate::storage) fn put(path: &Path, bytes: &[u8]) -> io::Result<()> {
    put_on(&RealDisk, path, bytes)
}

/// The same on any disk.
///
/// # Errors
/// The system's refusal; a file that was there is then as it was, unless only its folder's entries could not be brought
/// to the disk.
pub fn put_on(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> io::Result<()> {
    take_away_parts_on(disk, path)?;
    put_new(disk, path, bytes, None)
}

/// Takes away what programs that were killed have left half written of a file.
pub(in crate::storage) fn take_away_parts(path: &Path) -> io::Result<()> {
    take_away_parts_on(&RealDisk, path)
}

fn take_away_parts_on(disk: &dyn Disk, path: &Path) -> io::Result<()> {
    let found = match fs::read_dir(folder_of(path)) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        found => found?,
    };
    for left in found {
        let left = left?;
        if is_part_of(path, &left.file_name().to_string_lossy()) {
            take_away_leftover(disk, &left.path())?;
        }
    }
    Ok(())
}

/// A name for a half-written file; nobody can put anything under it beforehand.
pub(super) fn part_of(path: &Path) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!(".{name}.{:016x}.part", rand::random::<u64>()))
}

/// Whether a half-written file of this path has this name; of an older program it has no number.
fn is_part_of(path: &Path, name: &str) -> bool {
    let own = path.file_name().unwrap_or_default().to_string_lossy();
    let inner = name
        .strip_prefix('.')
        .and_then(|name| name.strip_suffix(".part"));
    let number = inner.and_then(|inner| inner.strip_prefix(&*own));
    number.is_some_and(|number| {
        let number = number.strip_prefix('.').unwrap_or(number);
        matches!(number.len(), 0 | 16) && number.bytes().all(|byte| byte.is_ascii_hexdigit())
    })
}

/// Removes an ordinary file that nobody is writing to.
fn take_away_leftover(disk: &dyn Disk, path: &Path) -> io::Result<()> {
    if !fs::symlink_metadata(path).is_ok_and(|about| about.is_file()) {
        return Ok(());
    }
    let open = open_private(OpenOptions::new().read(true), path)?;
    match open.try_lock() {
        Err(TryLockError::WouldBlock) => Ok(()),
        Ok(()) | Err(TryLockError::Error(_)) => {
            drop(open);
            take_away_on(disk, path).map(|_was_there| ())
        }
    }
}

/// Removes a file, and says whether it was there; it is gone from the disk when this returns.
pub(in crate::storage) fn take_away(path: &Path) -> io::Result<bool> {
    take_away_on(&RealDisk, path)
}

fn take_away_on(disk: &dyn Disk, path: &Path) -> io::Result<bool> {
    match disk.remove(path) {
        Ok(()) => disk.sync_folder(folder_of(path)).map(|()| true),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(error) => Err(error),
    }
}

/// Makes a folder and those above it; on Unix nobody but the owner can enter those that it makes. Their names are on
/// the disk when this returns.
///
/// # Errors
/// The system's refusal.
pub fn create_private_dir_all(dir: &Path) -> io::Result<()> {
    operations::make_folders(&RealDisk, dir)
}
