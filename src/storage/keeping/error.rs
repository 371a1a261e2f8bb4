//! Why nothing was done, or not all of it, as sentences.

use std::io;
use std::path::{Path, PathBuf};

use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;
use crate::storage::files::FileTrouble;
use crate::storage::journal::JournalError;

/// Why a pupil's files, or a folder's, are not changed.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum NotKept {
    /// The system would not do it.
    #[error("{}: cannot {doing} ({source}). What was done so far is safe: put that right, then type the same command again", path.shown())]
    Io {
        /// The file or folder.
        path: PathBuf,
        /// What was tried.
        doing: &'static str,
        /// The system's reason.
        source: io::Error,
    },
    /// Another job is going on there.
    #[error("{}: another window is renaming, erasing or gathering there; wait until it has finished", .0.shown())]
    Busy(PathBuf),
    /// Something else was begun there and not finished.
    #[error("{}: first finish what was begun there; type: pacebell {command}", sessions.shown())]
    Unfinished {
        /// The folder of sittings.
        sessions: PathBuf,
        /// The words that finish it.
        command: String,
    },
    /// A pupil's folder is a link.
    #[error("{} is a link to somewhere else; put the folder itself in its place, or delete the link", .0.shown())]
    Link(PathBuf),
    /// Nothing is held on that pupil.
    #[error("nothing is kept of a pupil `{alias}` in {}; check the alias, or name the folder of sittings with --sessions DIR", sessions.shown())]
    Nobody {
        /// The alias.
        alias: Alias,
        /// Where sittings are kept.
        sessions: PathBuf,
    },
    /// A sitting is still open.
    #[error("{}: this sitting isn't finished; finish it first with `pacebell sit --pupil {alias}`", path.shown())]
    Open {
        /// Whose it is.
        alias: Alias,
        /// Its file.
        path: PathBuf,
    },
    /// Practice goes on.
    #[error("{}: this practice is open in another window; end it there first", .0.shown())]
    Practising(PathBuf),
    /// The new alias is the old one.
    #[error("`{0}` is the same alias; capitals make no difference")]
    Same(Alias),
    /// The new alias is somebody's already.
    #[error(
        "there are files of a pupil `{0}` already; choose another alias, or add --join if both are the same pupil"
    )]
    Taken(Alias),
    /// A file of that name is there, and it says something else.
    #[error("{}: a file of that name is there and says something else; move one of the two elsewhere", .0.shown())]
    InTheWay(PathBuf),
    /// A folder that is named is not there.
    #[error("{}: there's no such folder; check its name, and that the stick is plugged in", .0.shown())]
    NoFolder(PathBuf),
    /// A folder that is to be new has something in it.
    #[error("{}: there's something in this folder; name one that is new or empty", .0.shown())]
    NotEmpty(PathBuf),
    /// A folder would be gathered into itself.
    #[error("{} and the folder of sittings {} are the same, or one is in the other; name another folder", from.shown(), into.shown())]
    IntoItself {
        /// What was named.
        from: PathBuf,
        /// The folder of sittings.
        into: PathBuf,
    },
    /// A session file that cannot be used.
    #[error(transparent)]
    Journal(#[from] JournalError),
    /// A file that a tutor may have written and that cannot be used.
    #[error(transparent)]
    File(#[from] FileTrouble),
}

impl NotKept {
    pub(super) fn io(path: &Path, doing: &'static str) -> impl FnOnce(io::Error) -> Self {
        let path = path.to_owned();
        move |source| Self::Io {
            path,
            doing,
            source,
        }
    }
}
