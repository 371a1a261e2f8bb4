//! Why answers are not on the disk yet, as sentences for the pupil who sits there.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

use crate::domain::character::ShownPath as _;
use crate::storage::disk::operations::is_absence;

/// What keeps the writer from saving. Nothing is lost while it lasts: every line of the sitting is
/// in memory, and it is tried again.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Trouble {
    /// No room.
    Full(PathBuf),
    /// The disk is read-only.
    ReadOnly(PathBuf),
    /// No right to write there.
    NotAllowed(PathBuf),
    /// The folder is not there: a stick pulled out, a network gone.
    FolderGone(PathBuf),
    /// Somebody removed, moved or replaced the file.
    FileGone(PathBuf),
    /// Somebody wrote to the file or cut it.
    FileChanged(PathBuf),
    /// Another program has locked the file that lies there now.
    InUse(PathBuf),
    /// Anything else the system says.
    Disk {
        /// The file.
        path: PathBuf,
        /// The system's reason.
        reason: String,
    },
    /// The disk has not answered in the time it was given.
    Slow(PathBuf),
    /// The writer has ended: nothing more is saved.
    Ended(PathBuf),
}

impl Trouble {
    pub(super) fn of(path: &Path, error: &io::Error) -> Self {
        let path = path.to_owned();
        match error.kind() {
            io::ErrorKind::StorageFull
            | io::ErrorKind::QuotaExceeded
            | io::ErrorKind::FileTooLarge => Self::Full(path),
            io::ErrorKind::ReadOnlyFilesystem => Self::ReadOnly(path),
            io::ErrorKind::PermissionDenied => Self::NotAllowed(path),
            io::ErrorKind::ResourceBusy => Self::InUse(path),
            _ if is_absence(error) => Self::FolderGone(path),
            _ => Self::Disk {
                path,
                reason: error.to_string(),
            },
        }
    }

    /// Whether somebody has touched the file, so that the whole sitting is written anew.
    pub(super) const fn is_touch(&self) -> bool {
        matches!(
            self,
            Self::FileGone(_) | Self::FileChanged(_) | Self::FolderGone(_)
        )
    }

    /// The file that it is about.
    pub fn path(&self) -> &Path {
        match self {
            Self::Full(path)
            | Self::ReadOnly(path)
            | Self::NotAllowed(path)
            | Self::FolderGone(path)
            | Self::FileGone(path)
            | Self::FileChanged(path)
            | Self::InUse(path)
            | Self::Disk { path, .. }
            | Self::Slow(path)
            | Self::Ended(path) => path,
        }
    }

    /// What is the matter, in a few words that fit a line: `The disk is full`.
    pub fn brief(&self) -> String {
        match self {
            Self::Full(_) => "The disk is full".to_owned(),
            Self::ReadOnly(_) => "The disk is read-only".to_owned(),
            Self::NotAllowed(_) => "Writing to the folder is not allowed".to_owned(),
            Self::FolderGone(_) => "The folder has gone".to_owned(),
            Self::FileGone(_) => "The file was moved or removed".to_owned(),
            Self::FileChanged(_) => "Another program changed the file".to_owned(),
            Self::InUse(_) => "Another program has the file open".to_owned(),
            Self::Disk { reason, .. } => format!("The disk reported: {reason}"),
            Self::Slow(_) => "The disk isn't responding".to_owned(),
            Self::Ended(_) => "Saving has stopped".to_owned(),
        }
    }

    /// The way out.
    pub const fn way_out(&self) -> &'static str {
        match self {
            Self::Full(_) => "make room on the disk, or save to another folder",
            Self::ReadOnly(_) | Self::NotAllowed(_) | Self::Disk { .. } => "save to another folder",
            Self::FolderGone(_) => {
                "plug the memory stick in or reconnect the network, or save to another folder"
            }
            Self::FileGone(_) | Self::FileChanged(_) => {
                "wait while the file is written again, or save to another folder"
            }
            Self::InUse(_) => "close the other program, or save to another folder",
            Self::Slow(_) => "wait a little, or save to another folder",
            Self::Ended(_) => "leave, then carry on with the sitting",
        }
    }
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (brief, path, way_out) = (self.brief(), self.path().shown(), self.way_out());
        if matches!(self, Self::Ended(_)) {
            return write!(f, "{brief} ({path}). Tell your tutor: {way_out}.");
        }
        write!(
            f,
            "{brief} ({path}). Your answers are kept in memory until they can be saved. Tell your tutor: {way_out}."
        )
    }
}
