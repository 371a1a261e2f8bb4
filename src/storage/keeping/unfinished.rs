//! What was begun on a folder of sittings and is not done yet, `unfinished.ron`.

use std::fs;
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use super::error::NotKept;
use super::held::take_away;
use super::pages::Remake;
use crate::domain::header::Alias;
use crate::storage::disk::{self, Size};

/// A page that is to be made again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PageAgain {
    /// Where it was.
    pub path: PathBuf,
    /// How it is made.
    pub how: Remake,
}

/// A job of many steps.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) enum Job {
    /// A pupil gets another alias.
    Rename {
        /// The alias before.
        from: Alias,
        /// The alias afterwards.
        to: Alias,
    },
    /// Everything of a pupil goes.
    Erase {
        /// Whose.
        pupil: Alias,
        /// When it was begun.
        at: DateTime<FixedOffset>,
        /// How many files there were then.
        files: usize,
        /// Why, by its code.
        reason: String,
        /// Whose initials.
        by: String,
        /// Pages about others as well, which are to be made again without the pupil.
        #[serde(default)]
        again: Vec<PageAgain>,
    },
}

impl Job {
    /// The words that finish it.
    fn command(&self) -> String {
        match self {
            Self::Rename { from, to } => format!("rename {from} {to}"),
            Self::Erase { pupil, .. } => format!("erase {pupil}"),
        }
    }
}

#[derive(Serialize, Deserialize)]
struct UnfinishedFile {
    format: u32,
    job: Job,
}

/// Whether a file is the one that says what is not done yet.
pub(super) fn is_it(sessions: &Path, path: &Path) -> bool {
    path == path_in(sessions)
}

fn path_in(sessions: &Path) -> PathBuf {
    sessions.join("unfinished.ron")
}

/// What was begun there; a file that cannot be read is an error, since nobody knows what it says.
pub(super) fn load(sessions: &Path) -> Result<Option<Job>, NotKept> {
    let path = path_in(sessions);
    if fs::symlink_metadata(&path).is_err() {
        return Ok(None);
    }
    let bytes = disk::read_found(&path, Size::PAPER);
    let bytes = bytes.map_err(NotKept::io(&path, "read the file"))?;
    let read = ron::de::from_bytes::<UnfinishedFile>(&bytes);
    let read =
        read.map_err(|error| NotKept::io(&path, "read the file")(std::io::Error::other(error)))?;
    Ok(Some(read.job))
}

/// Refuses where something else was begun, and says how to finish it.
pub(super) fn nothing_but(
    sessions: &Path,
    wanted: impl Fn(&Job) -> bool,
) -> Result<Option<Job>, NotKept> {
    match load(sessions)? {
        Some(job) if !wanted(&job) => Err(NotKept::Unfinished {
            sessions: sessions.to_owned(),
            command: job.command(),
        }),
        job => Ok(job),
    }
}

/// Puts down what is begun.
pub(super) fn begin(sessions: &Path, job: &Job) -> Result<(), NotKept> {
    let path = path_in(sessions);
    let file = UnfinishedFile {
        format: 1,
        job: job.clone(),
    };
    let text = ron::to_string(&file);
    let text =
        text.map_err(|error| NotKept::io(&path, "write the file")(std::io::Error::other(error)))?;
    disk::put(&path, format!("{text}\n").as_bytes()).map_err(NotKept::io(&path, "write the file"))
}

/// It is done.
pub(super) fn end(sessions: &Path) -> Result<(), NotKept> {
    take_away(&path_in(sessions)).map(|_was_there| ())
}
