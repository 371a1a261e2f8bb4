//! What can go wrong with a session file, as sentences.

use std::error::Error;
use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

use super::line::Wrong;
use super::recover::Damage;
use crate::storage::disk::{self, Unfit};

/// Why a session file cannot be used.
#[derive(Debug)]
#[non_exhaustive]
pub enum JournalError {
    /// The system would not do it.
    Io {
        /// The file or folder.
        path: PathBuf,
        /// What was tried, such as `read`.
        doing: &'static str,
        /// The system's reason.
        source: io::Error,
    },
    /// It is no file with an end, or larger than any session.
    Unfit {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        why: Unfit,
    },
    /// A line is wrong, with more behind it.
    Damaged {
        /// The file.
        path: PathBuf,
        /// The line, from 1.
        line: usize,
        /// What is wrong with it.
        what: Wrong,
    },
    /// There is no whole first line.
    NoHeader(PathBuf),
    /// It was written by a newer version of the program.
    Newer {
        /// The file.
        path: PathBuf,
        /// Its format.
        format: u32,
    },
    /// A new session's file is there already.
    Taken(PathBuf),
    /// The sitting is over, and its file is not written to again.
    Closed(PathBuf),
    /// The file is no longer what was read.
    Changed(PathBuf),
    /// A record cannot be written as text.
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

impl fmt::Display for JournalError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Io {
                path,
                doing,
                source,
            } => write!(
                f,
                "{}: cannot {doing} it: {source}. Check the path and your rights there, or name another folder with --sessions",
                path.display()
            ),
            Self::Unfit { path, why } => write!(f, "{}: {why}", path.display()),
            Self::Damaged {
                path,
                line: 1,
                what,
            } => write!(
                f,
                "{}: line 1 is damaged: {what}, and without it the rest cannot be read. Put back a copy of the file",
                path.display()
            ),
            Self::Damaged { path, line, what } => write!(
                f,
                "{}: line {line} is damaged: {what}. The {} before it can still be read; for the rest put back a copy of the file",
                path.display(),
                if *line == 2 { "line" } else { "lines" }
            ),
            Self::NoHeader(path) => write!(
                f,
                "{}: there is no whole first line, so no sitting had begun. If the file is yours, remove it",
                path.display()
            ),
            Self::Newer { path, format } => write!(
                f,
                "{}: a newer version of pacebell wrote it (format {format}, this one knows up to {}). Use that version",
                path.display(),
                crate::domain::header::SESSION_FORMAT
            ),
            Self::Taken(path) => write!(
                f,
                "{}: a file of that name is there already, and no sitting is ever written over. Start again for a new name",
                path.display()
            ),
            Self::Closed(path) => write!(
                f,
                "{}: this sitting is over, and nothing is added to it. Start a new one",
                path.display()
            ),
            Self::Changed(path) => write!(
                f,
                "{}: the file was changed since it was read. Read it again",
                path.display()
            ),
            Self::Unwritable { path, reason } => write!(
                f,
                "{}: a record cannot be written as text: {reason}. Check the paper's file",
                path.display()
            ),
        }
    }
}

impl Error for JournalError {
    fn source(&self) -> Option<&(dyn Error + 'static)> {
        match self {
            Self::Io { source, .. } => Some(source),
            Self::Unfit { .. }
            | Self::Damaged { .. }
            | Self::NoHeader(_)
            | Self::Newer { .. }
            | Self::Taken(_)
            | Self::Closed(_)
            | Self::Changed(_)
            | Self::Unwritable { .. } => None,
        }
    }
}
