//! The reports that the review shows: a pupil's progress, everybody on one paper.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use super::reader::Keys;
use crate::commands::failure::Failure;
use crate::commands::{group, progress};
use crate::domain::header::Alias;
use crate::reports::progress::page;
use crate::screens::review::Version;
use crate::storage::files::folders;
use crate::storage::journal;
use crate::words::count::counted;

/// The page of `progress`, with where keys were looked for if one is missing.
pub(super) fn progress(pupil: &str, sessions: &Path, named: &[PathBuf]) -> Result<String, String> {
    let pupil = Alias::new(pupil).map_err(|no| no.to_string())?;
    let season = progress::season(pupil, sessions, named);
    let mut season = season.map_err(|failure| failure.to_string())?;
    let without: BTreeSet<String> = season
        .progress
        .not_marked()
        .map(|line| format!("`{}`", line.paper))
        .collect();
    if !without.is_empty() {
        let papers: Vec<String> = without.into_iter().collect();
        let looked = looked(sessions, named);
        season.remarks.push(format!(
            "There is no key for the paper {}. {looked}",
            papers.join(", ")
        ));
    }
    Ok(page(&season))
}

/// The page of `group` on everybody's newest whole sitting of the paper that was sat in this file; what nobody sat
/// is never counted with what somebody did.
pub(super) fn group(
    path: &Path,
    sessions: &Path,
    named: &[PathBuf],
    keys: &Keys,
) -> Result<String, String> {
    let read = journal::read_up_to_damage(path);
    let (record, _) = read.map_err(|error| error.to_string())?;
    let header = record.header;
    let Some(key) = keys.of(&header) else {
        return Err(format!(
            "Without a key the group cannot be shown. {} {}",
            keys.why_none(&header.paper, sessions),
            looked(sessions, named)
        ));
    };
    let listing = journal::list(sessions).map_err(|error| Failure::from(error).to_string())?;
    let version = Version::of(&header);
    let mut records = listing.records;
    records.retain(|record| Version::of(&record.header) == version);
    let page = group::page_of_newest(records, &header.paper, &key);
    let mut page = page.map_err(|failure| failure.to_string())?;
    page.push_str("- Counted: everybody's newest whole sitting.\n");
    let unread = listing.unreadable.len();
    if unread > 0 {
        let files = counted(unread, "session file");
        let remark =
            format!("! Left out, since it cannot be read: {files}; the list has the reason.\n");
        page.push_str(&remark);
    }
    Ok(page)
}

/// Where keys are looked for.
fn looked(sessions: &Path, named: &[PathBuf]) -> String {
    let folder = named.iter().find(|path| path.is_dir());
    let dirs = folders::dirs_near(sessions, folder.map(PathBuf::as_path));
    let shown = |path: &PathBuf| {
        if path.as_os_str().is_empty() {
            ".".to_owned()
        } else {
            path.display().to_string()
        }
    };
    let mut places: Vec<String> = Vec::new();
    for place in dirs.iter().chain(named).map(shown) {
        if !places.contains(&place) {
            places.push(place);
        }
    }
    format!("Keys are looked for in: {}.", places.join(", "))
}
