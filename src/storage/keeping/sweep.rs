//! Where an alias still stands, and files that a killed program left half written.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::error::NotKept;
use super::held::{entries, take_away};
use crate::domain::header::Alias;
use crate::storage::disk::{self, Size};
use crate::storage::files::folders;

/// Every ordinary file below a folder that mentions an alias; links are not followed.
pub(super) fn mentions(folder: &Path, pupil: &Alias) -> Result<Vec<PathBuf>, NotKept> {
    files_with(folder, |path| names(path, pupil).unwrap_or(false))
}

/// Removes the caches that mention an alias, and those that cannot be read or are too long to be: they are made again
/// from what is left.
pub(super) fn caches(pupil: &Alias) -> Result<(), NotKept> {
    let Some(cache) = folders::cache_dir() else {
        return Ok(());
    };
    for path in files_with(&cache, |path| names(path, pupil).unwrap_or(true))? {
        take_away(&path)?;
    }
    Ok(())
}

/// Every ordinary file below a folder of which something holds; links are not followed.
fn files_with(folder: &Path, holds: impl Fn(&Path) -> bool) -> Result<Vec<PathBuf>, NotKept> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for path in entries(&folder)? {
            let about = match fs::symlink_metadata(&path) {
                Ok(about) => about,
                Err(error) if error.kind() == io::ErrorKind::NotFound => continue,
                Err(error) => return Err(NotKept::io(&path, "look at the file")(error)),
            };
            if about.is_dir() {
                folders.push(path);
            } else if about.is_file() && holds(&path) {
                found.push(path);
            }
        }
    }
    found.sort();
    Ok(found)
}

/// Whether a file mentions an alias in its name or in what it says.
///
/// # Errors
/// Why it cannot be read.
fn names(path: &Path, pupil: &Alias) -> io::Result<bool> {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    if pupil.is_in(&name) {
        return Ok(true);
    }
    let bytes = disk::read_found(path, Size::SESSION)?;
    Ok(pupil.is_in(&String::from_utf8_lossy(&bytes)))
}

/// Whether a file is one that a program leaves half written when it is killed.
pub(super) fn is_part(path: &Path) -> bool {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    name.starts_with('.') && name.ends_with(".part")
}

/// Every half-written file below a folder.
pub(super) fn parts_below(folder: &Path) -> Result<Vec<PathBuf>, NotKept> {
    files_with(folder, is_part)
}

/// Removes half-written files that mention an alias.
pub(super) fn parts(folder: &Path, pupil: &Alias) -> Result<usize, NotKept> {
    let parts = mentions(folder, pupil)?
        .into_iter()
        .filter(|path| is_part(path));
    let mut count = 0;
    for path in parts {
        count += usize::from(take_away(&path)?);
    }
    Ok(count)
}
