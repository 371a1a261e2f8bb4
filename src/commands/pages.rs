//! Pages and tables: who is asked before one takes the place of another file, and the note by which erasing a pupil
//! finds it and makes a group's page again.

use std::collections::BTreeSet;
use std::env;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::failure::Failure;
use super::outlets::remark;
use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;
use crate::storage::catalogue::Catalogue;
use crate::storage::disk::{self, Rights};
use crate::storage::keeping::pages::{self, PageThere, Remake};
use crate::words::keeping::{list_not_noted, page_not_noted};

/// Whether a file may be lost.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::Args)]
pub(super) struct ForceArg {
    /// Replace a file of that name even if Pacebell didn't write it, or if it was changed since
    #[arg(long)]
    pub(super) force: bool,
}

/// Why a page is not written.
#[derive(Debug, thiserror::Error)]
enum NoPage<'a> {
    #[error("cannot write {} ({error}); name a file in a folder that exists and that you may write to", path.shown())]
    NotWritten { path: &'a Path, error: io::Error },
    #[error("{}: Pacebell didn't write the file of that name; name another one, or add --force to replace it", .0.shown())]
    NotOurs(&'a Path),
    #[error("{}: this file was changed after Pacebell wrote it; name another one, or add --force to replace it", .0.shown())]
    Changed(&'a Path),
    #[error("{} is the name of a paper, a key or a sitting; name a file with another ending", .0.shown())]
    Ron(&'a Path),
}

/// A page or a table that is to be written.
pub(super) struct NewPage<'a> {
    /// The file.
    pub(super) path: &'a Path,
    /// Whom it is about.
    pub(super) pupils: BTreeSet<Alias>,
    /// The words that make it again, where it is about several.
    pub(super) words: Vec<String>,
}

impl<'a> NewPage<'a> {
    /// A page about one pupil.
    pub(super) fn about(path: &'a Path, pupil: &Alias) -> Self {
        Self {
            path,
            pupils: BTreeSet::from([pupil.clone()]),
            words: Vec::new(),
        }
    }
}

/// Where pages are written down, and whether they may replace any file.
pub(super) struct PagePress<'a> {
    sessions: Option<&'a Path>,
    force: ForceArg,
}

impl<'a> PagePress<'a> {
    /// Pages on what a catalogue holds. What is written down of them goes into the folder of sittings; the usual one is
    /// made where it is not there yet.
    pub(super) fn new(catalogue: &'a Catalogue, force: ForceArg) -> Self {
        let sessions = catalogue.sessions().ok();
        if let Some(usual) = sessions.filter(|_| catalogue.given_sessions().is_none()) {
            // Where it cannot be made, the note says so.
            let _ = disk::create_private_dir_all(usual);
        }
        Self { sessions, force }
    }

    /// Refuses a page that would take the place of another file: a page of ours that is as it was written is replaced,
    /// anything else only by force.
    pub(super) fn may_write(&self, path: &Path) -> Result<(), Failure> {
        if path.extension().is_some_and(|ending| ending == "ron") {
            return Err(Failure::wrong_words(NoPage::Ron(path)));
        }
        let refused = match pages::there(self.sessions, path) {
            PageThere::Nothing | PageThere::Ours | PageThere::NoFile => return Ok(()),
            _ if self.force.force => return Ok(()),
            PageThere::Changed => NoPage::Changed(path),
            PageThere::NotOurs => NoPage::NotOurs(path),
        };
        Err(Failure::could_not(refused))
    }

    /// Writes a page in place of the one that was there, whole or not at all, for its owner's eyes, and puts that down.
    pub(super) fn put(
        &self,
        page: NewPage<'_>,
        bytes: &[u8],
        aside: &mut dyn Write,
    ) -> Result<(), Failure> {
        let path = page.path;
        self.may_write(path)?;
        self.note(page, bytes, aside);
        replace(path, bytes)
    }

    /// Writes a table and the file that describes it, as [`Self::put`] does; a pipe or a terminal has nothing beside it.
    pub(super) fn put_with_metadata(
        &self,
        page: NewPage<'_>,
        (bytes, metadata): (&[u8], &[u8]),
        aside: &mut dyn Write,
    ) -> Result<(), Failure> {
        let path = page.path;
        let beside = pages::metadata_beside(path);
        let is_file = pages::there(None, path) != PageThere::NoFile;
        // Nobody named what describes the table, so no link leads that elsewhere.
        if is_file && disk::is_link(&beside) && !self.force.force {
            return Err(Failure::could_not(NoPage::NotOurs(&beside)));
        }
        self.may_write(path)?;
        if !is_file {
            self.note(page, bytes, aside);
            return replace(path, bytes);
        }
        if !pages::is_known(self.sessions, path) {
            self.may_write(&beside)?;
        }
        self.note(page, bytes, aside);
        // A table is known again by what describes it, so that comes first.
        disk::replace_itself(&beside, metadata).map_err(|error| not_written(&beside, error))?;
        replace(path, bytes)
    }

    /// Puts down that a page is written. It is written whether or not this can be done.
    fn note(&self, page: NewPage<'_>, bytes: &[u8], aside: &mut dyn Write) {
        let Some(sessions) = self.sessions else {
            return;
        };
        let several = page.pupils.len() > 1 && !page.words.is_empty();
        let remake = env::current_dir().ok().filter(|_| several);
        let remake = remake.map(|folder| Remake {
            words: page.words,
            folder,
        });
        if let Err(error) = pages::note(sessions, page.path, bytes, page.pupils, remake) {
            remark(aside, page_not_noted(page.path, &error.to_string()));
        }
    }
}

/// The file that was named, else one of this name in `pages` in the folder of sittings, which is made.
///
/// # Errors
/// No folder of sittings, or the system's refusal.
pub(super) fn place(
    catalogue: &Catalogue,
    output: Option<&Path>,
    name: &str,
) -> Result<PathBuf, Failure> {
    if let Some(path) = output {
        return Ok(path.to_owned());
    }
    let sessions = catalogue.sessions().map_err(Failure::could_not)?;
    let folder = pages::folder_in(sessions);
    disk::create_private_dir_all(&folder)?;
    Ok(folder.join(name))
}

fn replace(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    disk::replace(path, bytes, Rights::Owner).map_err(|error| not_written(path, error))
}

fn not_written(path: &Path, error: io::Error) -> Failure {
    Failure::could_not(NoPage::NotWritten { path, error })
}

/// Puts down that a file was saved on these pupils by somebody else's rules.
pub(super) fn note_in(sessions: &Path, page: &Path, pupil: &Alias, aside: &mut dyn Write) {
    let pupils = BTreeSet::from([pupil.clone()]);
    let bytes = disk::read_found(page, disk::Size::PAPER);
    let noted = bytes.and_then(|bytes| pages::note(sessions, page, &bytes, pupils, None));
    if let Err(error) = noted {
        remark(aside, page_not_noted(page, &error.to_string()));
    }
}

/// Puts down that a list of pupils' sheets was read, so that erasing and renaming can say that an alias stands in it.
/// A list that is not put down is found only where lists usually lie, which is said.
pub(super) fn note_list(
    sessions: &Path,
    list: &Path,
    pupils: impl IntoIterator<Item = Alias>,
    aside: &mut dyn Write,
) {
    if let Err(error) = pages::note_list(sessions, list, pupils.into_iter().collect()) {
        remark(aside, list_not_noted(list, &error.to_string()));
    }
}

/// The words that make a page again, from the command on.
#[derive(Debug, Default)]
pub(super) struct RemakeWords(Vec<String>);

impl RemakeWords {
    /// A command.
    pub(super) fn of(command: &str) -> Self {
        Self(vec![command.to_owned()])
    }

    /// Words as they were typed: files, folders, aliases.
    #[must_use]
    pub(super) fn paths<'a>(mut self, paths: impl IntoIterator<Item = &'a PathBuf>) -> Self {
        let paths = paths
            .into_iter()
            .map(|path| path.to_string_lossy().into_owned());
        self.0.extend(paths);
        self
    }

    /// A word with its value, once for each value.
    #[must_use]
    pub(super) fn with<'a>(
        mut self,
        word: &str,
        values: impl IntoIterator<Item = &'a Path>,
    ) -> Self {
        for value in values {
            self.0
                .extend([word.to_owned(), value.to_string_lossy().into_owned()]);
        }
        self
    }

    /// A word that is there or not.
    #[must_use]
    pub(super) fn flag(mut self, word: &str, is_there: bool) -> Self {
        self.0.extend(is_there.then(|| word.to_owned()));
        self
    }

    /// All of them.
    pub(super) fn words(self, sessions: Option<&Path>) -> Vec<String> {
        self.with("--sessions", sessions).0
    }
}
