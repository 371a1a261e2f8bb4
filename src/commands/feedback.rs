//! `feedback`: a page for the pupil, or one for each pupil of a group with a list for the tutor.

mod group;
mod write;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;

use super::failure::Failure;
use super::outlets::{Outlets, written};
use super::read::{analysis, folder_of, limits_for, studied};
use crate::domain::key::Key;
use crate::domain::paper::Paper;
use crate::domain::thresholds::Thresholds;
use crate::reports::feedback::content::{Asked, Before, Feedback, feedback};
use crate::reports::feedback::page;
use crate::storage::files::{self, folders};
use crate::storage::journal::{self, Record};

/// What `feedback` takes.
#[derive(Debug, clap::Args)]
pub struct Words {
    /// The sitting's file; several with --group
    #[arg(value_name = "SESSION", required = true)]
    files: Vec<PathBuf>,
    /// The paper's key
    #[arg(long, value_name = "KEY")]
    key: PathBuf,
    /// The page to write; without it the page goes to standard output
    #[arg(short, long, value_name = "FILE.html", conflicts_with = "group")]
    output: Option<PathBuf>,
    /// Add answers and workings to the hints
    #[arg(long)]
    with_working: bool,
    /// Write a page for each sitting into this folder, and index.html for the tutor
    #[arg(long, value_name = "DIR")]
    group: Option<PathBuf>,
}

/// Writes the page, or the group's pages; `sessions` is the folder of sittings where one was named.
///
/// # Errors
/// A file that cannot be read, is damaged, does not go with the key, or a page that cannot be
/// written. With `--group` the other sittings get their pages all the same.
pub fn run(
    words: &Words,
    sessions: Option<&Path>,
    today: NaiveDate,
    outlets: &mut Outlets<'_>,
) -> Result<(), Failure> {
    let desk = Desk::new(words, sessions, today)?;
    match (&words.group, words.files.as_slice()) {
        (Some(dir), files) => group::write(&desk, files, dir, outlets),
        (None, [file]) => {
            let told = desk.tell(file)?;
            let page = page(&told);
            match &words.output {
                Some(path) => write::replace(path, page.as_bytes()),
                None => written(outlets.out, &page),
            }
        }
        (None, _) => Err(Failure::WrongWords(
            "several sittings get a page each; say which folder they go into with --group DIR"
                .to_owned(),
        )),
    }
}

/// What all pages of one call share.
struct Desk<'a> {
    key: Arc<Key>,
    paper: Option<Arc<Paper>>,
    sessions: Option<&'a Path>,
    with_working: bool,
    today: NaiveDate,
}

impl<'a> Desk<'a> {
    fn new(words: &Words, sessions: Option<&'a Path>, today: NaiveDate) -> Result<Self, Failure> {
        let key = files::key::load(&words.key).map_err(Failure::could_not)?;
        Ok(Self {
            key: Arc::new(key),
            paper: paper_beside(&words.key).map(Arc::new),
            sessions,
            with_working: words.with_working,
            today,
        })
    }

    fn tell(&self, file: &Path) -> Result<Feedback, Failure> {
        let record = journal::read(file)?;
        let header = &record.header;
        let wrong = |reason: &dyn std::fmt::Display| {
            Failure::CouldNot(format!("{}: {reason}", file.display()))
        };
        let fits = self.key.fits(&header.paper);
        fits.map_err(|mismatch| wrong(&mismatch))?;
        let limits = limits_for(file, self.sessions)?;
        let same_questions =
            |paper: &&Arc<Paper>| paper.outline.fingerprint == header.paper.fingerprint;
        let paper = self.paper.as_ref().filter(same_questions).cloned();
        let studied = studied(&record, Some(Arc::clone(&self.key)), paper, &limits);
        let before = before(&record, &self.folder(file), &limits)?;
        let asked = Asked {
            studied: &studied,
            before: &before,
            with_working: self.with_working,
            today: self.today,
        };
        feedback(&asked).ok_or_else(|| {
            wrong(&format!(
                "the sitting is still open, and its pupil may go on with it; end it first with `pacebell sit --pupil {}`",
                header.pupil
            ))
        })
    }

    /// Where the pupil's other sittings lie: the folder of sittings that was named, else the
    /// sitting's own.
    fn folder(&self, file: &Path) -> PathBuf {
        let own = || folder_of(file);
        self.sessions.map_or_else(own, Path::to_owned)
    }
}

/// The paper beside its key, where there is one that can be read: it only adds first words.
fn paper_beside(key: &Path) -> Option<Paper> {
    let name = key
        .file_name()?
        .to_str()?
        .strip_suffix(folders::KEY_ENDING)?;
    let path = key.with_file_name(format!("{name}{}", folders::PAPER_ENDING));
    files::paper::load(&path).ok()
}

/// The same pupil's earlier sittings; what cannot be read among them is nothing to look back on.
fn before(
    record: &Record,
    folder: &Path,
    limits: &Arc<Thresholds>,
) -> Result<Vec<Before>, Failure> {
    let own = folder.join(record.header.pupil.as_str());
    let folder = if own.is_dir() { own } else { folder.to_owned() };
    let listing = journal::list(&folder)?;
    let earlier = listing.records.iter();
    Ok(earlier
        .filter_map(|other| Before::of(&record.header, &analysis(other, limits)))
        .collect())
}
