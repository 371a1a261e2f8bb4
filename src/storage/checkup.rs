//! Everything in a folder of sittings that is not as it should be, found without changing anything.

use std::fs;
use std::path::{Path, PathBuf};

use super::cache;
use super::files::{FileTrouble, register, thresholds};
use super::keeping::is_other_register;
use crate::domain::header::Alias;
use crate::storage::journal::{
    self, Copied, ENDING, JournalError, PracticeUnread, Record, RivalSheets,
};

/// Something that was found.
#[derive(Debug)]
pub enum Symptom {
    /// A session whose last line was not written to its end.
    Torn(PathBuf),
    /// A session that is damaged, of which what comes before can be read.
    Damaged {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        reason: JournalError,
    },
    /// A session of which nothing can be read, or a folder that cannot be opened.
    Unread(JournalError),
    /// Practice that can't be read, or not to its end.
    Practice(PracticeUnread),
    /// A sitting that began here and went on elsewhere.
    Moved(PathBuf),
    /// What was left here of a sitting that went on elsewhere.
    LeftBehind(PathBuf),
    /// A file that holds a sitting once more.
    Duplicate(Copied),
    /// A file that was not written to its end, or did not get its name.
    Part {
        /// The file.
        path: PathBuf,
        /// Whether it is a whole session, which may say what no other file does.
        whole: bool,
    },
    /// A file that somebody put in a session's place while it was written.
    Other(PathBuf),
    /// A damaged file or a torn end that was kept when the session was repaired.
    Kept(PathBuf),
    /// A lock that nobody has, beside a session that is over or not there.
    OldLock(PathBuf),
    /// Typed-in sheets of one pupil, paper and day of which none counts.
    Sheets(RivalSheets),
    /// A sitting in the folder of another pupil.
    Misplaced {
        /// The file.
        path: PathBuf,
        /// Whose it is.
        pupil: Alias,
        /// Where it belongs.
        place: PathBuf,
    },
    /// A register or thresholds that cannot be used.
    Unusable(FileTrouble),
    /// Notes beside a sitting that cannot be used, so that nobody knows what was decided of it.
    NotesUnread(FileTrouble),
    /// A register that was kept beside the one that holds, since it says something else.
    OtherRegister(PathBuf),
    /// A temporary file of some program.
    Temporary(PathBuf),
    /// What lies in the place of the folder's cache, and is none that can be used.
    Cache(PathBuf),
}

/// Looks through a folder of sittings and the folders in it.
///
/// # Errors
/// The folder itself cannot be opened.
pub fn check(dir: &Path) -> Result<Vec<Symptom>, JournalError> {
    let listing = journal::list(dir)?;
    let mut found = Vec::new();
    for record in listing
        .records
        .iter()
        .filter(|record| record.torn.is_some())
    {
        found.push(Symptom::Torn(record.path.clone()));
    }
    for (path, _) in &listing.unreadable {
        found.extend(unreadable(path));
    }
    // What has come back since is not among them.
    let elsewhere = journal::moved_from(dir);
    let moved = listing.records.iter().map(|record| &record.path);
    let moved = moved.filter(|path| elsewhere.contains(path));
    found.extend(moved.cloned().map(Symptom::Moved));
    found.extend(listing.rival_sheets().into_iter().map(Symptom::Sheets));
    found.extend(listing.records.iter().filter_map(|own| misplaced(dir, own)));
    found.extend(listing.copies.into_iter().map(Symptom::Duplicate));
    let notes = listing.records.iter();
    let notes = notes.filter_map(|record| record.notes_unread.clone());
    let register = register::load(dir).err();
    let limits = thresholds::load(dir).err();
    let unusable = register.into_iter().chain(limits);
    let unusable: Vec<_> = unusable.map(Symptom::Unusable).collect();
    found.extend(unusable);
    found.extend(notes.map(Symptom::NotesUnread));
    found.extend(cache::unusable(dir).map(Symptom::Cache));
    for folder in std::iter::once(dir.to_owned()).chain(entries(dir)) {
        found.extend(entries(&folder).filter_map(|path| beside(&path)));
        let practice = journal::practice_in(&folder).unread;
        found.extend(practice.into_iter().map(Symptom::Practice));
    }
    Ok(found)
}

/// A sitting that lies loose in this folder, or in one below it which is not its pupil's.
fn misplaced(dir: &Path, record: &Record) -> Option<Symptom> {
    let folder = record.path.parent()?;
    let is_here = folder == dir || folder.parent() == Some(dir);
    if !is_here || record.is_in_its_place() {
        return None;
    }
    let pupil = record.header.pupil.clone();
    Some(Symptom::Misplaced {
        place: dir.join(pupil.as_str()),
        path: record.path.clone(),
        pupil,
    })
}

/// What is wrong with a session that is not read, or a folder.
fn unreadable(path: &Path) -> Option<Symptom> {
    if path.is_dir() {
        return journal::list(path).err().map(Symptom::Unread);
    }
    match journal::read_found(path) {
        Ok((_, None)) => None,
        Ok((_, Some(reason))) => Some(Symptom::Damaged {
            path: path.to_owned(),
            reason,
        }),
        Err(reason) => Some(Symptom::Unread(reason)),
    }
}

fn entries(folder: &Path) -> impl Iterator<Item = PathBuf> + use<> {
    let found = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut found: Vec<_> = found.map(|entry| entry.path()).collect();
    found.sort();
    found.into_iter()
}

/// What a file is that lies beside sessions, by its name.
fn beside(path: &Path) -> Option<Symptom> {
    let about = fs::symlink_metadata(path).ok()?;
    let name = path.file_name()?.to_str()?;
    if about.is_dir() || name.ends_with(ENDING) {
        return None;
    }
    let path = path.to_owned();
    if is_other_register(name) {
        return Some(Symptom::OtherRegister(path));
    }
    if name.ends_with('~') {
        return Some(Symptom::Temporary(path));
    }
    let (before, ending) = name.rsplit_once('.')?;
    // `part`, `part-2` and so on.
    let kind = ending.split_once('-').map_or(ending, |(kind, number)| {
        if number.bytes().all(|byte| byte.is_ascii_digit()) {
            kind
        } else {
            ending
        }
    });
    match kind {
        "part" => {
            let read = journal::read_found(&path);
            let whole =
                read.is_ok_and(|(record, damage)| damage.is_none() && record.torn.is_none());
            Some(Symptom::Part { path, whole })
        }
        "other" => Some(Symptom::Other(path)),
        // What editors, browsers and programs for sticks leave.
        "tmp" | "temp" | "swp" => Some(Symptom::Temporary(path)),
        "moved" => Some(Symptom::LeftBehind(path)),
        "damaged" | "torn" => Some(Symptom::Kept(path)),
        "lock" => {
            let session = path.with_file_name(format!("{before}{ENDING}"));
            let read = journal::read_found(&session);
            let is_open = read.is_ok_and(|(record, _)| !record.is_closed());
            (!is_open && !journal::is_in_use(&session)).then_some(Symptom::OldLock(path))
        }
        _ => None,
    }
}
