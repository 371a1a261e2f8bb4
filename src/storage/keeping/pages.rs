//! Pages and tables that were written on pupils, so that erasing finds them: `pages.ron` in the folder of sittings,
//! a line a page, the later line for a path standing for it.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::digest::digest;
use crate::domain::header::Alias;
use crate::storage::disk::{self, Size};

/// A page that was written.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct WrittenPage {
    /// Where, from the root on.
    pub path: PathBuf,
    /// Whom it is about.
    pub pupils: BTreeSet<Alias>,
    /// The SHA-256 of what was written.
    pub sha256: String,
}

impl WrittenPage {
    /// Whether what was written is still there, to the byte.
    pub fn is_unchanged(&self) -> bool {
        let there = fs::symlink_metadata(&self.path).is_ok_and(|about| about.is_file());
        let bytes = there.then(|| disk::read_found(&self.path, Size::SESSION).ok());
        bytes
            .flatten()
            .is_some_and(|bytes| digest(&bytes) == self.sha256)
    }
}

/// The folder for pages that nobody named a file for.
pub fn folder_in(sessions: &Path) -> PathBuf {
    sessions.join("pages")
}

/// Whether a file is the list of pages.
pub(super) fn is_it(sessions: &Path, path: &Path) -> bool {
    path == path_in(sessions)
}

fn path_in(sessions: &Path) -> PathBuf {
    sessions.join("pages.ron")
}

/// Puts down that a page was written. What is no ordinary file, and a folder of sittings that is not there, are
/// passed over.
///
/// # Errors
/// The system's refusal.
pub fn note(sessions: &Path, page: &Path, pupils: BTreeSet<Alias>) -> io::Result<()> {
    if !sessions.is_dir() || !page.is_file() || pupils.is_empty() {
        return Ok(());
    }
    let path = fs::canonicalize(page)?;
    let sha256 = digest(&disk::read(&path, Size::SESSION)?);
    let mut all = load(sessions)?;
    all.retain(|known| known.path != path);
    all.push(WrittenPage {
        path,
        pupils,
        sha256,
    });
    save(sessions, &all)
}

/// The pages that were put down; a line that cannot be read is passed over.
///
/// # Errors
/// The system's refusal.
pub fn load(sessions: &Path) -> io::Result<Vec<WrittenPage>> {
    let bytes = match disk::read_found(&path_in(sessions), Size::PAPER) {
        Ok(bytes) => bytes,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(error),
    };
    let text = String::from_utf8_lossy(&bytes);
    let pages = text
        .lines()
        .filter_map(|line| ron::from_str::<WrittenPage>(line).ok());
    let by_path: BTreeMap<PathBuf, WrittenPage> =
        pages.map(|page| (page.path.clone(), page)).collect();
    Ok(by_path.into_values().collect())
}

/// Puts the list in the place of the one that was there; an empty one needs no file.
pub(super) fn save(sessions: &Path, pages: &[WrittenPage]) -> io::Result<()> {
    let path = path_in(sessions);
    if pages.is_empty() {
        return disk::take_away(&path).map(|_was_there| ());
    }
    let mut text = String::new();
    for page in pages {
        text += &ron::to_string(page).map_err(io::Error::other)?;
        text.push('\n');
    }
    disk::put(&path, text.as_bytes())
}
