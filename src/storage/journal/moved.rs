//! Where a sitting began that had to be saved elsewhere: a note beside the file that went on, so that it is found
//! from there.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::place::{self, ENDING};
use crate::storage::disk::operations::Disk;
use crate::storage::disk::{self, Size, folder_of};
use crate::storage::files::folders::fallback_dirs;

/// How such a note's name ends.
const NOTE: &str = "moved-from";

/// The version of the note.
const FORMAT: u32 = 1;

#[derive(Serialize, Deserialize)]
struct MovedFrom {
    format: u32,
    from: String,
}

/// Notes beside `new` that the sitting began as `old`.
///
/// # Errors
/// What the system says; the sitting itself is safe.
pub(super) fn note(disk: &dyn Disk, old: &Path, new: &Path) -> io::Result<()> {
    let folder = folder_of(old);
    let folder = disk::canonical(folder).or_else(|_gone| std::path::absolute(folder))?;
    let from = folder.join(old.file_name().unwrap_or_default());
    let said = MovedFrom {
        format: FORMAT,
        from: from.to_string_lossy().into_owned(),
    };
    let text = ron::to_string(&said).map_err(io::Error::other)?;
    place::set_aside(disk, new, NOTE, text.as_bytes()).map(drop)
}

/// The files, in the folders that take sittings when no other does, of sittings that began in `dir` or in a folder
/// in it.
pub fn moved_from(dir: &Path) -> Vec<PathBuf> {
    let absolute = std::path::absolute(dir).ok();
    let own: Vec<_> = disk::canonical(dir)
        .ok()
        .into_iter()
        .chain(absolute)
        .collect();
    let mut found = Vec::new();
    for root in fallback_dirs() {
        for folder in entries(&root).filter(|folder| folder.is_dir()) {
            found.extend(entries(&folder).filter_map(|note| target(&note, &own)));
        }
    }
    found.sort();
    found.dedup();
    found
}

/// The session beside a note, if it began in one of these folders and does not lie there.
fn target(note: &Path, own: &[PathBuf]) -> Option<PathBuf> {
    let name = note.file_name()?.to_str()?;
    let (stem, _number) = name.rsplit_once(&format!(".{NOTE}"))?;
    let bytes = disk::read_found(note, Size::PAPER).ok()?;
    let said: MovedFrom = ron::from_str(str::from_utf8(&bytes).ok()?).ok()?;
    let began_here = own.iter().any(|own| Path::new(&said.from).starts_with(own));
    let lies_here = own.iter().any(|own| note.starts_with(own));
    let session = note.with_file_name(format!("{stem}{ENDING}"));
    (said.format == FORMAT && began_here && !lies_here && session.is_file()).then_some(session)
}

fn entries(folder: &Path) -> impl Iterator<Item = PathBuf> + use<> {
    let found = fs::read_dir(folder).into_iter().flatten().flatten();
    found.map(|entry| entry.path())
}
