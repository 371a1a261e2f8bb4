//! What is held on a pupil below a folder of sittings.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use super::error::NotKept;
use crate::domain::header::Alias;
use crate::domain::notes::Notes;
use crate::domain::register::Register;
use crate::storage::disk;
use crate::storage::files::{notes, register};
use crate::storage::journal::{self, ENDING, JournalError, PRACTICE_ENDING, Record};

/// A file that is held on a pupil.
#[derive(Debug)]
pub struct HeldFile {
    /// The file.
    pub path: PathBuf,
    /// What it says, where it is a session.
    pub session: Option<Result<Box<Record>, JournalError>>,
    /// The name that its file would have in the pupil's folder.
    pub inside: PathBuf,
    /// Whether the file has another name elsewhere, which stays.
    pub has_other_names: bool,
}

/// Everything that is held on a pupil below a folder: in the folder of that name, and sittings elsewhere with the
/// files beside them.
#[derive(Debug, Default)]
pub struct Holdings {
    /// The files, by path.
    pub files: Vec<HeldFile>,
    /// The folders of that name and those in them, the innermost first.
    pub folders: Vec<PathBuf>,
}

impl Holdings {
    /// Looks through a folder of sittings; one that is not there holds nothing. Capitals make no other pupil.
    ///
    /// # Errors
    /// A folder that cannot be looked into, or a pupil's folder that is a link.
    pub fn of(sessions: &Path, pupil: &Alias) -> Result<Self, NotKept> {
        let mut found = Self::default();
        for path in entries(sessions)? {
            let about = fs::symlink_metadata(&path);
            let about = about.map_err(NotKept::io(&path, "look at the file"))?;
            if is_named(&path, pupil) {
                if about.is_symlink() {
                    return Err(NotKept::Link(path));
                }
                if about.is_dir() {
                    found.take_folder(&path, Path::new(""), pupil)?;
                }
            } else if about.is_dir() {
                found.take_loose(&entries(&path)?, pupil);
            }
        }
        let in_root: Vec<_> = entries(sessions)?;
        found.take_loose(&in_root, pupil);
        found.files.sort_by(|one, other| one.path.cmp(&other.path));
        Ok(found)
    }

    /// Whether there is nothing.
    pub const fn is_empty(&self) -> bool {
        self.files.is_empty() && self.folders.is_empty()
    }

    /// The sittings that can be read.
    pub fn records(&self) -> impl Iterator<Item = &Record> {
        let sessions = self.files.iter().filter_map(|held| held.session.as_ref());
        sessions.filter_map(|read| read.as_deref().ok())
    }

    /// Refuses where a sitting is still open, or practice goes on in another window.
    ///
    /// # Errors
    /// The first that is.
    pub fn all_over(&self) -> Result<(), NotKept> {
        let mut paths = self.files.iter().map(|file| &file.path);
        let practised = paths.find(|path| is_practice(path) && journal::is_in_use(path));
        if let Some(path) = practised {
            return Err(NotKept::Practising(path.clone()));
        }
        match self.records().find(|record| !record.is_closed()) {
            None => Ok(()),
            Some(open) => Err(NotKept::Open {
                alias: open.header.pupil.clone(),
                path: open.path.clone(),
            }),
        }
    }

    fn take_folder(&mut self, folder: &Path, inside: &Path, pupil: &Alias) -> Result<(), NotKept> {
        let all = entries(folder)?;
        let mut others = BTreeSet::new();
        for path in all.iter().filter(|path| is_session(path)) {
            // A sitting of somebody else's that lies here by mistake stays with its notes.
            if let Some(Ok(record)) = read(path)
                && !record.header.pupil.is_same(pupil)
            {
                others.insert(stem(path));
            }
        }
        for path in all {
            let about = fs::symlink_metadata(&path);
            let about = about.map_err(NotKept::io(&path, "look at the file"))?;
            let inside = inside.join(path.file_name().unwrap_or_default());
            if about.is_dir() {
                self.take_folder(&path, &inside, pupil)?;
            } else if !others.iter().any(|stem| is_beside(&path, stem)) {
                self.take(path, inside, &about);
            }
        }
        self.folders.push(folder.to_owned());
        Ok(())
    }

    /// Takes the pupil's sittings among these files, with what lies beside them.
    fn take_loose(&mut self, files: &[PathBuf], pupil: &Alias) {
        let own = files.iter().filter(|path| is_session(path));
        let own = own.filter(|path| {
            let read = read(path).and_then(Result::ok);
            read.is_some_and(|record| record.header.pupil.is_same(pupil))
        });
        let stems: BTreeSet<_> = own.map(|path| stem(path)).collect();
        for path in files {
            if stems.iter().any(|stem| is_beside(path, stem))
                && let Ok(about) = fs::symlink_metadata(path)
            {
                let name = PathBuf::from(path.file_name().unwrap_or_default());
                self.take(path.clone(), name, &about);
            }
        }
    }

    fn take(&mut self, path: PathBuf, inside: PathBuf, about: &fs::Metadata) {
        let session = if is_session(&path) { read(&path) } else { None };
        self.files.push(HeldFile {
            session: session.map(|read| read.map(Box::new)),
            has_other_names: has_other_names(about),
            inside,
            path,
        });
    }
}

#[cfg(unix)]
fn has_other_names(about: &fs::Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    about.is_symlink() || about.nlink() > 1
}

#[cfg(not(unix))]
fn has_other_names(about: &fs::Metadata) -> bool {
    about.is_symlink()
}

/// The entries of a folder, by name; none where it is not there.
pub(super) fn entries(folder: &Path) -> Result<Vec<PathBuf>, NotKept> {
    let found = match fs::read_dir(folder) {
        Ok(found) => found,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(NotKept::io(folder, "open the folder")(error)),
    };
    let paths: std::io::Result<Vec<_>> = found.map(|entry| Ok(entry?.path())).collect();
    let mut paths = paths.map_err(NotKept::io(folder, "open the folder"))?;
    paths.sort();
    Ok(paths)
}

/// Whether a folder has a pupil's name as its own: what the disk takes for the same name is another matter.
fn is_named(path: &Path, pupil: &Alias) -> bool {
    let name = path.file_name().and_then(|name| name.to_str());
    name.is_some_and(|name| name.to_lowercase() == pupil.as_str().to_lowercase())
}

pub(super) fn is_session(path: &Path) -> bool {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    name.ends_with(ENDING)
}

fn is_practice(path: &Path) -> bool {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    name.ends_with(PRACTICE_ENDING)
}

pub(super) fn stem(session: &Path) -> String {
    let name = session.file_name().unwrap_or_default().to_string_lossy();
    name.strip_suffix(ENDING).unwrap_or(&name).to_owned()
}

/// Whether a file is a session of this stem, or lies beside it: its notes, its lock, its torn end, a part of it.
pub(super) fn is_beside(path: &Path, stem: &str) -> bool {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let name = name.strip_prefix('.').unwrap_or(&name);
    let rest = name.strip_prefix(stem);
    rest.is_some_and(|rest| rest.starts_with('.'))
}

/// A session file that was found; nothing where it is no ordinary file.
fn read(path: &Path) -> Option<Result<Record, JournalError>> {
    let there = fs::metadata(path).is_ok_and(|about| about.is_file());
    there.then(|| match journal::read_found(path) {
        Ok((record, None)) => Ok(record),
        Ok((_, Some(damage))) | Err(damage) => Err(damage),
    })
}

/// Puts a register in its place.
pub(super) fn put_register(path: &Path, register: &Register) -> Result<(), NotKept> {
    let text = register::text(register);
    disk::put(path, text.as_bytes()).map_err(NotKept::io(path, "write the register"))
}

/// Puts notes in their place.
pub(super) fn put_notes(path: &Path, said: &Notes) -> Result<(), NotKept> {
    let text = notes::text(said).map_err(std::io::Error::other);
    let text = text.map_err(NotKept::io(path, "write the notes"))?;
    disk::put(path, text.as_bytes()).map_err(NotKept::io(path, "write the notes"))
}

/// Removes a file, where it is there; on the disk when this returns.
pub(super) fn take_away(path: &Path) -> Result<bool, NotKept> {
    disk::take_away(path).map_err(NotKept::io(path, "delete the file"))
}
