//! What a file is by what is in it: a list of pages may have been forged, and name anything that somebody has.

use std::fs;
use std::path::{Path, PathBuf};

use crate::domain::generator::GENERATOR;
use crate::storage::disk::{self, Size};
use crate::storage::files::plan;

/// How the name of the file that describes a table ends, behind the table's.
pub(super) const METADATA: &str = "-metadata.json";

/// How much of a page its head takes at most, up to the program's name.
const HEAD: usize = 1024;

/// The file that describes a table, beside it.
pub fn metadata_beside(table: &Path) -> PathBuf {
    let name = table.file_name().unwrap_or_default().to_string_lossy();
    table.with_file_name(format!("{name}{METADATA}"))
}

/// Whether these bytes of a file are a page, a table or a plan of ours.
pub(super) fn is_of_ours(path: &Path, bytes: &[u8]) -> bool {
    if path.extension().is_some_and(|ending| ending == "ron") {
        let plan = plan::from_bytes(path, bytes);
        return plan.is_ok_and(|plan| plan.value.pupil.is_some());
    }
    is_page(bytes) || is_description(&metadata_beside(path))
}

fn is_page(bytes: &[u8]) -> bool {
    let head = String::from_utf8_lossy(bytes.get(..HEAD).unwrap_or(bytes));
    let generator = format!("<meta name=\"generator\" content=\"{GENERATOR}\">");
    head.starts_with("<!DOCTYPE html>") && head.contains(&generator)
}

/// Whether a file is what we write beside a table, and no link to it.
pub(super) fn is_description(path: &Path) -> bool {
    if !fs::symlink_metadata(path).is_ok_and(|about| about.is_file()) {
        return false;
    }
    let bytes = disk::read_found(path, Size::PAPER).unwrap_or_default();
    let read = serde_json::from_slice::<serde_json::Value>(&bytes);
    read.is_ok_and(|about| about.get("dc:creator").is_some_and(|own| own == GENERATOR))
}
