//! What can go wrong with a session file, as sentences.

use std::io;
use std::path::{Path, PathBuf};

use super::line::Wrong;
use super::recover::Damage;
use crate::domain::character::ShownPath as _;
use crate::domain::header::SESSION_FORMAT;
use crate::storage::disk::{self, Unfit};

/// Why a session file cannot be used.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum JournalError {
    /// The system would not do it.
    #[error("{}: {}", path.shown(), refused(doing, source))]
    Io {
        /// The file or folder.
        path: PathBuf,
        /// What was tried, such as `read the file`.
        doing: &'static str,
        /// The system's reason.
        source: io::Error,
    },
    /// A folder that the system does not open.
    #[error(
        "{}: this folder can't be opened ({source}), so nothing in it was read. Check who owns it",
        path.shown()
    )]
    Folder {
        /// The folder.
        path: PathBuf,
        /// The system's reason.
        source: io::Error,
    },
    /// It is no file with an end, or larger than any session.
    #[error("{}: {why}", path.shown())]
    Unfit {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        why: Unfit,
    },
    /// A line is wrong, with more behind it.
    #[error("{}: line {line} is damaged: {what}{}", path.shown(), what_is_left(*line))]
    Damaged {
        /// The file.
        path: PathBuf,
        /// The line, from 1.
        line: usize,
        /// What is wrong with it.
        what: Wrong,
    },
    /// Another kind of file was named.
    #[error(
        "{}: this isn't a session file; name a file that ends in .session.ron",
        .0.shown()
    )]
    OtherKind(PathBuf),
    /// There is no whole first line.
    #[error(
        "{}: its first line is incomplete, so no sitting had begun. If the file is yours, delete it",
        .0.shown()
    )]
    NoHeader(PathBuf),
    /// It was written by a newer version of the program.
    #[error(
        "{}: it was written by a newer version of Pacebell (format {format}; this one reads up to {SESSION_FORMAT}). Update the program",
        path.shown()
    )]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its format.
        format: u32,
    },
    /// A new session's file is there already.
    #[error(
        "{}: a file of that name already exists, and sittings are never overwritten. Start again to get a new name",
        .0.shown()
    )]
    Taken(PathBuf),
    /// The sitting is over, and its file is not written to again.
    #[error("{}: this sitting is over, so nothing can be added. Start a new one", .0.shown())]
    Closed(PathBuf),
    /// Another running program writes it.
    #[error(
        "{}: this sitting is open in another window. Carry on there, or close it there first",
        .0.shown()
    )]
    InUse(PathBuf),
    /// The file is no longer what was read.
    #[error("{}: the file has changed since it was read. Open it again", .0.shown())]
    Changed(PathBuf),
    /// A record cannot be written as text.
    #[error(
        "{}: an event cannot be written as text ({reason}). Check the paper file",
        path.shown()
    )]
    Unwritable {
        /// The file.
        path: PathBuf,
        /// Why.
        reason: String,
    },
}

/// What is tried when a file that was named is read.
const READ: &str = "read the file";

/// What the system would not do, and the way out.
fn refused(doing: &str, source: &io::Error) -> String {
    if doing == READ && source.kind() == io::ErrorKind::NotFound {
        return disk::why_unread(source);
    }
    format!(
        "cannot {doing} ({source}). Check the path and who owns it, or name another folder with --sessions"
    )
}

impl JournalError {
    pub(super) fn unwritable(path: &Path, error: &ron::Error) -> Self {
        Self::Unwritable {
            path: path.to_owned(),
            reason: error.to_string(),
        }
    }

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
            None => Self::io(path, READ)(error),
        }
    }

    pub(super) fn damaged(path: &Path, damage: Damage) -> Self {
        Self::Damaged {
            path: path.to_owned(),
            line: damage.line,
            what: damage.what,
        }
    }

    /// Whether it is about a folder as a whole.
    pub const fn is_about_a_folder(&self) -> bool {
        matches!(self, Self::Folder { .. })
    }

    /// Whether there may be an open sitting of which nothing can be read.
    pub const fn may_hide_a_sitting(&self) -> bool {
        match self {
            Self::Damaged { line, .. } => *line == 1,
            Self::Io { .. } | Self::Folder { .. } | Self::Unfit { .. } | Self::Newer { .. } => true,
            _ => false,
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
        1 => ", and without it the rest cannot be read. Restore a copy of the file",
        2 => ". The line before it can still be read; for the rest, restore a copy of the file",
        _ => ". The lines before it can still be read; for the rest, restore a copy of the file",
    }
}
