//! Where a session lies: names of files.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use crate::domain::header::Header;
use crate::storage::disk::operations::Disk;
use crate::storage::disk::{self, Size, folder_of};

/// How a new file ends that is to be put in a session's place.
pub(super) const PART: &str = "part";

/// How a session's file name ends.
pub const ENDING: &str = ".session.ron";

/// A free path for a new session: `PUPIL/2026-11-25-0912-PAPER.session.ron` below `dir`, by the
/// start on the wall, with a number behind it where that name is taken.
pub fn path_for(dir: &Path, header: &Header) -> PathBuf {
    let start = header.started.format("%Y-%m-%d-%H%M");
    let name = format!("{start}-{}", plain(&header.paper.id));
    free(&dir.join(header.pupil.as_str()), &name)
}

/// A path in `folder` for this name that is not taken.
pub(super) fn free(folder: &Path, name: &str) -> PathBuf {
    let taken = |path: &Path| fs::symlink_metadata(path).is_ok();
    let mut path = folder.join(format!("{name}{ENDING}"));
    let mut number = 1_u64;
    while taken(&path) || taken(&sibling(&path, "lock")) {
        number += 1;
        path = folder.join(format!("{name}-{number}{ENDING}"));
    }
    path
}

/// An id as a part of a file name: what is no letter, digit, hyphen or underscore becomes a hyphen.
fn plain(id: &str) -> String {
    let fits = |c: char| c.is_alphanumeric() || c == '-' || c == '_';
    id.chars()
        .take(60)
        .map(|c| if fits(c) { c } else { '-' })
        .collect()
}

/// The session's name without its ending.
pub(super) fn stem(session: &Path) -> String {
    let name = session.file_name().unwrap_or_default().to_string_lossy();
    name.strip_suffix(ENDING).unwrap_or(&name).to_owned()
}

/// A file that lies beside a session: `NAME.lock` beside `NAME.session.ron`.
pub(super) fn sibling(session: &Path, ending: &str) -> PathBuf {
    session.with_file_name(format!("{}.{ending}", stem(session)))
}

/// The file itself where its name is a link to it: who goes on with a sitting writes a new file in its place, and the
/// link would then lead to what was there before.
pub(crate) fn itself(session: &Path) -> PathBuf {
    let is_link = fs::symlink_metadata(session).is_ok_and(|about| about.is_symlink());
    let file = is_link.then(|| disk::canonical(session));
    match file {
        Some(Ok(file)) => file,
        // A link to nothing is told by whoever reads it.
        _ => session.to_owned(),
    }
}

/// Whether a file is a session by its name.
pub(super) fn is_session(path: &Path) -> bool {
    path.file_name()
        .and_then(|name| name.to_str())
        .is_some_and(|name| name.ends_with(ENDING))
}

/// A path beside a session that is not taken: `NAME.torn`, `NAME.torn-2` and so on.
pub(super) fn free_sibling(session: &Path, ending: &str) -> PathBuf {
    siblings(session, ending).1
}

/// The last path beside a session with that ending that is taken, and the first that is not.
fn siblings(session: &Path, ending: &str) -> (Option<PathBuf>, PathBuf) {
    let mut last = None;
    let mut path = sibling(session, ending);
    let mut number = 1_u64;
    while fs::symlink_metadata(&path).is_ok() {
        number += 1;
        last = Some(path);
        path = sibling(session, &format!("{ending}-{number}"));
    }
    (last, path)
}

/// Removes new files that a killed program was about to put in a session's place, where they hold nothing but the
/// beginning of what the session has. Nobody else may write to the session meanwhile.
pub(super) fn take_away_parts(disk: &dyn Disk, session: &Path, whole: &[u8]) {
    let mut number = 1_u64;
    let mut part = sibling(session, PART);
    while fs::symlink_metadata(&part).is_ok() {
        let read = disk.read(&part, Size::SESSION);
        if read.is_ok_and(|read| whole.starts_with(&read)) {
            let _one_that_stays_does_no_harm = disk.remove(&part);
        }
        number += 1;
        part = sibling(session, &format!("{PART}-{number}"));
    }
}

/// Keeps bytes of a session beside it, as `NAME.torn` for instance, before they go from it; the same bytes are kept
/// once only. Gives where they are.
pub(super) fn set_aside(
    disk: &dyn Disk,
    session: &Path,
    ending: &str,
    bytes: &[u8],
) -> io::Result<PathBuf> {
    let (last, path) = siblings(session, ending);
    if let Some(last) = last
        && disk
            .read(&last, Size::SESSION)
            .is_ok_and(|kept| kept == bytes)
    {
        return Ok(last);
    }
    let mut file = disk.create(&path)?;
    let written = file
        .write_all(bytes)
        .and_then(|()| file.sync())
        .and_then(|()| disk.sync_folder(folder_of(&path)));
    if written.is_err() {
        let _a_leftover_does_no_harm = disk.remove(&path);
    }
    written.map(|()| path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_beside_a_session_share_its_stem() {
        let session = Path::new("sessions/otter/2026-11-25-0912-saltmarsh-a.session.ron");
        assert_eq!(stem(session), "2026-11-25-0912-saltmarsh-a");
        assert_eq!(
            sibling(session, "lock"),
            Path::new("sessions/otter/2026-11-25-0912-saltmarsh-a.lock")
        );
        assert!(is_session(session) && !is_session(Path::new("a.session.ron.part")));
        assert_eq!(plain("../salt marsh/ä"), "---salt-marsh-ä");
    }
}
