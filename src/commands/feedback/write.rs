//! Pages on the disk: whole or not at all, and for their owner's eyes.

use std::fs::{self, OpenOptions};
use std::io::{self, Write};
use std::path::Path;

use crate::commands::Failure;
use crate::storage::files::folders;

/// Writes a file in place of what was there; a page half written never takes the place of a whole one.
pub(super) fn replace(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    written(path, bytes).map_err(|error| {
        Failure::CouldNot(format!(
            "pacebell: {} cannot be written: {error}; give a file in a folder that exists and takes files",
            path.display()
        ))
    })
}

fn written(path: &Path, bytes: &[u8]) -> io::Result<()> {
    // A pipe, a terminal or a link is written to as it is: it must not be put aside.
    let plain = fs::symlink_metadata(path).is_ok_and(|found| !found.is_file());
    if plain {
        let mut there = OpenOptions::new().write(true).truncate(true).open(path)?;
        return there.write_all(bytes).and_then(|()| there.flush());
    }
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(format!(".{}.part", std::process::id()));
    let part = path.with_file_name(name);
    let made = new_file(&part, bytes).and_then(|()| fs::rename(&part, path));
    if made.is_err() {
        // What is left of it helps nobody; the first error is the one to tell.
        let _ = fs::remove_file(&part);
    }
    made
}

fn new_file(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = folders::open_private(OpenOptions::new().write(true).create_new(true), path)?;
    file.write_all(bytes)?;
    file.sync_all()
}
