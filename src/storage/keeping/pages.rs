//! Pages and tables that were written on pupils, so that erasing finds them: `pages.ron` in the folder of sittings,
//! a line a page, the later line for a path standing for it.
//!
//! A page in the folder itself is put down by its path from there, so that a copy of the folder means its own. Any
//! other says which folder put it down: in a copy it is none of that one's pages.

use std::collections::{BTreeMap, BTreeSet};
use std::ffi::OsStr;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::digest::digest;
use super::known_by::{METADATA, is_of_ours};
use crate::domain::header::Alias;
use crate::storage::catalogue::tables_in;
use crate::storage::disk::{self, Size};

pub use super::known_by::metadata_beside;

/// A page that was written.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct WrittenPage {
    /// Where, from the root on; in the file, from the folder of sittings on where the page lies in there.
    pub path: PathBuf,
    /// The folder of sittings that put it down, from the root on; older lines don't say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) of: Option<PathBuf>,
    /// Whom it is about.
    pub pupils: BTreeSet<Alias>,
    /// The SHA-256 of what was written; empty for a list that somebody else wrote and that was read.
    pub sha256: String,
    /// The SHA-256 of the page that it replaces, which is there until it is written.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub before: String,
    /// How it is made again, where it is about several pupils.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub again: Option<Remake>,
}

/// How a page is made again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Remake {
    /// The words of the command.
    pub words: Vec<String>,
    /// The folder that they were typed in.
    pub folder: PathBuf,
}

impl Remake {
    /// The same without a pupil: words that name the pupil or the pupil's files are left out. Nothing where the pupil
    /// stands in the folder's own name.
    pub fn without(&self, pupil: &Alias) -> Option<Self> {
        let words = self.words.iter().filter(|word| !pupil.is_in(word));
        let folder = self.folder.clone();
        let named = pupil.is_in(&folder.to_string_lossy());
        (!named).then(|| Self {
            words: words.cloned().collect(),
            folder,
        })
    }

    /// Whether the words write a page and do nothing else, over nothing that is somebody's: the list of pages may be
    /// forged.
    pub(super) fn only_makes_a_page(&self) -> bool {
        let makes = self
            .words
            .first()
            .is_some_and(|word| MAKERS.contains(&word.as_str()));
        makes && !self.words.iter().any(|word| word == "--force")
    }

    /// Whether the page counts pupils and names none, for people outside.
    pub fn is_for_outside(&self) -> bool {
        self.words.iter().any(|word| word == "--outside")
    }

    /// Whether a pupil stands in it.
    pub(super) fn names(&self, pupil: &Alias) -> bool {
        self.without(pupil).as_ref() != Some(self)
    }
}

/// The commands that write pages about several pupils.
const MAKERS: [&str; 6] = [
    "evidence", "feedback", "group", "mark", "overview", "progress",
];

/// What is where a page is to be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PageThere {
    /// Nothing.
    Nothing,
    /// A page of ours, to the byte.
    Ours,
    /// A page of ours that somebody changed.
    Changed,
    /// A file of somebody else's.
    NotOurs,
    /// No ordinary file: a pipe, a terminal, a folder.
    NoFile,
}

impl WrittenPage {
    /// Whether it is a list that was read, and nothing that was written.
    pub const fn is_list(&self) -> bool {
        self.sha256.is_empty()
    }

    /// Whether it is about a pupil.
    pub fn is_about(&self, pupil: &Alias) -> bool {
        self.pupils.iter().any(|own| own.is_same(pupil))
    }

    /// Whether it is the folder of an export: nothing that erasing takes away.
    pub(super) fn is_export(&self) -> bool {
        self.is_list() && self.path.is_dir()
    }

    /// Whether another folder of sittings put it down, of which this one is a copy. A line that doesn't say is another's
    /// where the page lies in another folder that has such a list.
    pub(super) fn is_of_another(&self, sessions: &Path) -> bool {
        let Ok(own) = disk::canonical(sessions) else {
            return false;
        };
        if self.path.starts_with(&own) {
            return false;
        }
        if let Some(of) = &self.of {
            *of != own
        } else {
            let mut above = self.path.ancestors().skip(1);
            above.any(|folder| path_in(folder).is_file())
        }
    }

    /// Whether what was written is still there, to the byte.
    pub fn is_unchanged(&self) -> bool {
        self.is_as_written().unwrap_or_default()
    }

    /// The same, where that can be found out. A line of the list may be forged, with the digest of somebody's file: so
    /// the file itself has to say that it is ours, and no link may lead to it.
    pub(super) fn is_as_written(&self) -> io::Result<bool> {
        if !fs::symlink_metadata(&self.path).is_ok_and(|about| about.is_file())
            || disk::canonical(&self.path).is_ok_and(|real| real != self.path)
        {
            return Ok(false);
        }
        match disk::read_found(&self.path, Size::SESSION) {
            Ok(bytes) => {
                let there = digest(&bytes);
                let is_same = there == self.sha256 || there == self.before;
                Ok(is_same && is_of_ours(&self.path, &bytes))
            }
            Err(error) if disk::unfit(&error).is_some() => Ok(false),
            Err(error) => Err(error),
        }
    }
}

/// The pages about a pupil that were written before and are still there, the earliest name first.
pub fn given_out(sessions: &Path, pupil: &Alias) -> Vec<PathBuf> {
    let all = load(sessions).unwrap_or_default().into_iter();
    let own = all.filter(|page| !page.is_list() && page.is_about(pupil) && page.path.is_file());
    let own: BTreeSet<_> = own
        .filter(|page| !page.is_of_another(sessions))
        .map(|page| page.path)
        .collect();
    own.into_iter().collect()
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

fn known(sessions: Option<&Path>, page: &Path) -> Option<WrittenPage> {
    let path = disk::canonical(page).ok()?;
    let mut all = load(sessions?).ok()?.into_iter();
    all.find(|own| own.path == path && !own.is_list())
}

/// Whether a page of that name was written before, whatever became of it.
pub fn is_known(sessions: Option<&Path>, page: &Path) -> bool {
    known(sessions, page).is_some()
}

/// What is where a page is to be written, as far as the folder of sittings says. What lies in the folder for pages
/// and was not put down is ours.
pub fn there(sessions: Option<&Path>, page: &Path) -> PageThere {
    let Ok(about) = fs::metadata(page) else {
        return PageThere::Nothing;
    };
    let system = ["/dev", "/proc"].iter().any(|dir| page.starts_with(dir));
    if !about.is_file() || system {
        return PageThere::NoFile;
    }
    let is_inside = |sessions: &Path| {
        let folder = disk::canonical(folder_in(sessions)).ok();
        let page = disk::canonical(page).ok();
        folder.is_some_and(|folder| page.is_some_and(|page| page.starts_with(folder)))
    };
    match known(sessions, page) {
        Some(known) if known.is_unchanged() => PageThere::Ours,
        Some(_) => PageThere::Changed,
        None if sessions.is_some_and(is_inside) => PageThere::Ours,
        None => PageThere::NotOurs,
    }
}

/// Puts down that a page is written with these bytes, before or after it is: killed in between, what is there is still
/// known. What is no ordinary file, and a folder of sittings that is not there, are passed over.
///
/// # Errors
/// The system's refusal.
pub fn note(
    sessions: &Path,
    page: &Path,
    bytes: &[u8],
    pupils: BTreeSet<Alias>,
    again: Option<Remake>,
) -> io::Result<()> {
    if !sessions.is_dir() || there(None, page) == PageThere::NoFile {
        return Ok(());
    }
    let folder = disk::folder_of(page);
    let path = match disk::canonical(page) {
        Ok(path) => path,
        Err(_) => disk::canonical(folder)?.join(page.file_name().unwrap_or_default()),
    };
    let there = disk::read_found(&path, Size::SESSION).ok();
    let known = known(Some(sessions), page).filter(WrittenPage::is_unchanged);
    let before = there.zip(known).map(|(there, _)| digest(&there));
    let page = WrittenPage {
        path,
        of: disk::canonical(sessions).ok(),
        pupils,
        sha256: digest(bytes),
        before: before.unwrap_or_default(),
        again,
    };
    put_down(sessions, page)
}

/// Puts down that a list of pupils' sheets was read.
///
/// # Errors
/// The system's refusal.
pub fn note_list(sessions: &Path, list: &Path, pupils: BTreeSet<Alias>) -> io::Result<()> {
    if !sessions.is_dir() || !list.is_file() {
        return Ok(());
    }
    put_down(sessions, not_ours(sessions, list, pupils)?)
}

/// Puts down that everything kept of a pupil was copied into a folder, so that erasing can name it.
///
/// # Errors
/// The system's refusal.
pub fn note_export(sessions: &Path, folder: &Path, pupil: &Alias) -> io::Result<()> {
    let pupils = BTreeSet::from([pupil.clone()]);
    put_down(sessions, not_ours(sessions, folder, pupils)?)
}

/// What pupils stand in, and what nobody here takes away.
fn not_ours(sessions: &Path, path: &Path, pupils: BTreeSet<Alias>) -> io::Result<WrittenPage> {
    Ok(WrittenPage {
        path: disk::canonical(path)?,
        of: disk::canonical(sessions).ok(),
        pupils,
        sha256: String::new(),
        before: String::new(),
        again: None,
    })
}

/// Whether a file is, to the byte, a page or a table that was written on others or on nobody, or the file that
/// describes such a table: an alias in it is a word like any other there. Its path says nothing: a folder of sittings
/// that was copied has the same pages.
pub(super) fn is_on_others(all: &[WrittenPage], path: &Path, pupil: &Alias) -> bool {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    if pupil.is_in(&name) {
        return false;
    }
    let written = match name.strip_suffix(METADATA) {
        Some(table) => path.with_file_name(table),
        None => path.to_owned(),
    };
    let Ok(bytes) = disk::read_found(&written, Size::SESSION) else {
        return false;
    };
    let there = digest(&bytes);
    let same: Vec<_> = all.iter().filter(|page| page.sha256 == there).collect();
    !same.is_empty() && !same.iter().any(|page| page.is_about(pupil))
}

/// What became of a page about several pupils that was to be made again without one of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Remade {
    /// It is there, and the pupil is not in it.
    Without,
    /// It is there, and the pupil is still in it.
    StillWith,
    /// It is not there.
    Not,
}

/// Looks at a page that was to be made again. Where it was not put down here, it was made from another folder of
/// sittings, and the alias is looked for in it.
pub fn remade(sessions: &Path, page: &Path, pupil: &Alias) -> Remade {
    let Ok(bytes) = disk::read_found(page, Size::SESSION) else {
        return Remade::Not;
    };
    let known = known(Some(sessions), page).filter(|known| known.sha256 == digest(&bytes));
    let is_still_in = known.map_or_else(
        || pupil.is_in(&String::from_utf8_lossy(&bytes)),
        |known| known.is_about(pupil),
    );
    if is_still_in {
        Remade::StillWith
    } else {
        Remade::Without
    }
}

fn put_down(sessions: &Path, page: WrittenPage) -> io::Result<()> {
    let mut all = load(sessions)?;
    all.retain(|known| known.path != page.path);
    all.push(page);
    save(sessions, &all)
}

/// The CSV files in which an alias stands as a word of its own: lists that were read, and those in these folders.
pub(super) fn lists_with(
    sessions: &Path,
    near: &[PathBuf],
    pupil: &Alias,
) -> io::Result<Vec<PathBuf>> {
    let all = load(sessions)?;
    let written = all.iter().filter(|page| !page.is_list());
    let written: BTreeSet<_> = written.map(|page| page.path.clone()).collect();
    let read = all.iter().filter(|page| page.is_list());
    let read = read.map(|page| page.path.clone());
    let near = tables_in(near).into_iter();
    let near = near.filter_map(|path| disk::canonical(path).ok());
    let found: BTreeSet<_> = read
        .chain(near)
        .filter(|path| !written.contains(path))
        .collect();
    let has = |path: &PathBuf| {
        let bytes = disk::read_found(path, Size::SESSION).unwrap_or_default();
        pupil.is_in(&String::from_utf8_lossy(&bytes))
    };
    Ok(found.into_iter().filter(has).collect())
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
    let own = disk::canonical(sessions)?;
    let text = String::from_utf8_lossy(&bytes);
    let pages = text
        .lines()
        .filter_map(|line| ron::from_str::<WrittenPage>(line).ok())
        .map(|mut page| {
            // By parts, so that Windows shows it as it writes paths itself.
            page.path = own.join(page.path).components().collect();
            // What would be made again there would be another folder's.
            page.again = page
                .again
                .filter(|_| page.of.as_ref().is_none_or(|of| *of == own));
            page
        });
    let by_path: BTreeMap<PathBuf, WrittenPage> =
        pages.map(|page| (page.path.clone(), page)).collect();
    Ok(by_path.into_values().collect())
}

/// A path inside the folder in the one form that every system reads: the folder may be carried to another.
fn slashed(inside: &Path) -> PathBuf {
    let parts: Option<Vec<_>> = inside.iter().map(OsStr::to_str).collect();
    parts.map_or_else(|| inside.to_owned(), |parts| parts.join("/").into())
}

/// Puts the list in the place of the one that was there; an empty one needs no file.
pub(super) fn save(sessions: &Path, pages: &[WrittenPage]) -> io::Result<()> {
    let path = path_in(sessions);
    if pages.is_empty() {
        return disk::take_away(&path).map(|_was_there| ());
    }
    let own = disk::canonical(sessions)?;
    let mut text = String::new();
    for page in pages {
        let mut page = page.clone();
        if let Ok(inside) = page.path.strip_prefix(&own) {
            page.path = slashed(inside);
        }
        text += &ron::to_string(&page).map_err(io::Error::other)?;
        text.push('\n');
    }
    disk::put(&path, text.as_bytes())
}
