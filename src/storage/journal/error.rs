//! What can go wrong with a session file, as sentences.

use std::io;
use std::path::{Path, PathBuf};

use super::line::Wrong;
use super::recover::Damage;
use crate::domain::header::SESSION_FORMAT;
use crate::storage::disk::{self, Unfit};

/// Why a session file cannot be used.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum JournalError {
    /// The system would not do it.
    #[error(
        "{}: cannot {doing} it: {source}. Check the path and your rights there, or name another folder with --sessions",
        path.display()
    )]
    Io {
        /// The file or folder.
        path: PathBuf,
        /// What was tried, such as `read`.
        doing: &'static str,
        /// The system's reason.
        source: io::Error,
    },
    /// It is no file with an end, or larger than any session.
    #[error("{}: {why}", path.display())]
    Unfit {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        why: Unfit,
    },
    /// A line is wrong, with more behind it.
    #[error("{}: line {line} is damaged: {what}{}", path.display(), what_is_left(*line))]
    Damaged {
        /// The file.
        path: PathBuf,
        /// The line, from 1.
        line: usize,
        /// What is wrong with it.
        what: Wrong,
    },
    /// There is no whole first line.
    #[error(
        "{}: there is no whole first line, so no sitting had begun. If the file is yours, remove it",
        .0.display()
    )]
    NoHeader(PathBuf),
    /// It was written by a newer version of the program.
    #[error(
        "{}: a newer version of pacebell wrote it (format {format}, this one knows up to {SESSION_FORMAT}). Use that version",
        path.display()
    )]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its format.
        format: u32,
    },
    /// A new session's file is there already.
    #[error(
        "{}: a file of that name is there already, and no sitting is ever written over. Start again for a new name",
        .0.display()
    )]
    Taken(PathBuf),
    /// The sitting is over, and its file is not written to again.
    #[error("{}: this sitting is over, and nothing is added to it. Start a new one", .0.display())]
    Closed(PathBuf),
    /// The file is no longer what was read.
    #[error("{}: the file was changed since it was read. Read it again", .0.display())]
    Changed(PathBuf),
    /// A record cannot be written as text.
    #[error(
        "{}: a record cannot be written as text: {reason}. Check the paper's file",
        path.display()
    )]
    Unwritable {
        /// The file.
        path: PathBuf,
        /// Why.
        reason: String,
    },
}

impl JournalError {
    pub(super) fn io(path: &Path, doing: &'static str) -> impl FnOnce(io::Error) -> Self {
        let path = path.to_owned();
        move |source| Self::Io {
            path,
            doing,
            source,
        }
    }

    /// Why a file could not be read.
    pub(super) fn read(path: &Path, error: io::Error) -> Self {
        match disk::unfit(&error) {
            Some(why) => Self::Unfit {
                path: path.to_owned(),
                why,
            },
            None => Self::io(path, "read")(error),
        }
    }

    pub(super) fn damaged(path: &Path, damage: Damage) -> Self {
        Self::Damaged {
            path: path.to_owned(),
            line: damage.line,
            what: damage.what,
        }
    }

    /// Whether the file itself is damaged, for which the program has an exit code of its own.
    pub const fn is_damage(&self) -> bool {
        matches!(self, Self::Damaged { .. } | Self::NoHeader(_))
    }
}

/// What the damage of a line leaves, and the way out.
const fn what_is_left(line: usize) -> &'static str {
    match line {
        1 => ", and without it the rest cannot be read. Put back a copy of the file",
        2 => ". The line before it can still be read; for the rest put back a copy of the file",
        _ => ". The lines before it can still be read; for the rest put back a copy of the file",
    }
}
