//! What `doctor` says of a folder of sittings: what was found, and what to do about it.

use std::fmt::Display;
use std::path::Path;

use super::count::{agree, counted};
use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;

/// Of a word that is no folder.
pub const NO_SUCH_FOLDER: &str = "there's no such folder; check its name";

/// What was found altogether.
pub fn summary(dir: &Path, found: usize) -> String {
    match found {
        0 => format!("{}: everything is as it should be.", dir.shown()),
        many => format!(
            "{}: {} found. Nothing was changed.",
            dir.shown(),
            counted(many, "thing")
        ),
    }
}

/// How many of them are damaged sessions.
pub fn damaged_among(count: usize) -> String {
    let are = agree(count, "is", "are");
    format!(
        "{} {are} damaged; see above",
        counted(count, "session file")
    )
}

/// A torn end.
pub fn torn(path: &Path) -> String {
    let path = path.shown();
    format!(
        "{path}: torn. Its last line was not written completely; everything before it is there. Carrying on with the sitting puts that right, and so does `pacebell repair {path}`."
    )
}

/// A damaged session.
pub fn damaged(path: &Path, reason: impl Display) -> String {
    format!(
        "{reason}. Or keep what comes before the damage: `pacebell repair {}`.",
        path.shown()
    )
}

/// Practice that is not read to its end.
pub fn practice(reason: impl Display) -> String {
    format!("{reason}. If you have a copy of this file elsewhere, put it here instead.")
}

/// A sitting that went on elsewhere.
pub fn moved(path: &Path) -> String {
    let folder = path.parent().and_then(Path::parent).unwrap_or(path);
    format!(
        "{}: moved. This sitting began here and was saved elsewhere. Bring it back with `pacebell gather {}`.",
        path.shown(),
        folder.shown()
    )
}

/// What was left where a sitting began.
pub fn left_behind(path: &Path) -> String {
    format!(
        "{}: left behind when the sitting was saved elsewhere. Once that is here again, delete this file.",
        path.shown()
    )
}

/// A second file of one sitting.
pub fn duplicate(path: &Path, kept: &Path, differs: bool) -> String {
    let (path, kept) = (path.shown(), kept.shown());
    if differs {
        format!(
            "{path}: duplicate of the sitting in {kept}, and it says something else. Look at both with `pacebell review`, then leave one out: `pacebell set-aside FILE --because TEXT`."
        )
    } else {
        format!(
            "{path}: duplicate of the sitting in {kept}, which says all that it says. Delete it."
        )
    }
}

/// A file that was not finished.
pub fn part(path: &Path, whole: bool) -> String {
    let path = path.shown();
    if whole {
        format!(
            "{path}: part. A sitting that did not get its name. If no other file has it, rename this one so that it ends in .session.ron; else delete it."
        )
    } else {
        format!("{path}: part. A file that was never finished. Delete it.")
    }
}

/// A file that somebody put in a session's place.
pub fn other(path: &Path) -> String {
    format!(
        "{}: other. Another program put this in the place of a session file while it was written; the sitting itself was saved again. If you don't need it, delete it.",
        path.shown()
    )
}

/// What was kept of a file that was repaired.
pub fn kept(path: &Path) -> String {
    format!(
        "{}: kept from before a repair. If you don't need it, delete it.",
        path.shown()
    )
}

/// A lock that nobody needs.
pub fn old_lock(path: &Path) -> String {
    format!(
        "{}: a lock that nobody needs any more. Delete it.",
        path.shown()
    )
}

/// A sitting in another pupil's folder.
pub fn misplaced(path: &Path, pupil: &Alias, place: &Path) -> String {
    format!(
        "{}: this sitting is {pupil}'s, and it is in another folder. Move it, with the files of the same name, to {}.",
        path.shown(),
        place.shown()
    )
}

/// A register that was kept beside the one that holds.
pub fn other_register(path: &Path) -> String {
    format!(
        "{}: a second register, kept because it says something else; only register.ron holds. Write there what is right, then delete this file.",
        path.shown()
    )
}

/// A temporary file.
pub fn temporary(path: &Path) -> String {
    format!(
        "{}: a temporary file that another program left. If nothing has it open, delete it.",
        path.shown()
    )
}

/// A cache that is none.
pub fn cache(path: &Path) -> String {
    format!(
        "{}: `pacebell review` keeps its cache here, but can't use this one. Delete it; the list is then read from the files.",
        path.shown()
    )
}
