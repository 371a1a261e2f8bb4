//! The reports that the review shows: a pupil's progress, everybody on one paper.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use crate::clock::{Clock, SystemClock};
use crate::commands::failure::Failure;
use crate::commands::{group, overview, progress};
use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;
use crate::reports::overview::{OverviewReport, aloud, text};
use crate::reports::progress::page;
use crate::screens::review::Version;
use crate::storage::catalogue::{Catalogue, NoKey};
use crate::storage::journal;
use crate::words::review;
use crate::words::standing::left_out;

/// The page of `progress`, with where keys were looked for if one is missing.
pub(super) fn progress(pupil: &str, catalogue: &Catalogue) -> Result<String, String> {
    let pupil = Alias::new(pupil).map_err(|no| no.to_string())?;
    let season = progress::season(pupil, catalogue, SystemClock.local().date_naive());
    let mut season = season.map_err(|failure| failure.to_string())?;
    let without: BTreeSet<String> = season
        .progress
        .not_marked()
        .map(|line| format!("`{}`", line.paper))
        .collect();
    if !without.is_empty() {
        let papers: Vec<String> = without.into_iter().collect();
        let said = review::no_key_for(&papers, &looked(catalogue));
        season.remarks.push(said);
    }
    Ok(page(&season))
}

/// The text of `overview`.
pub(super) fn overview(catalogue: &Catalogue) -> Result<String, String> {
    Ok(text::page(&term(catalogue)?))
}

/// The same as sentences.
pub(super) fn overview_aloud(catalogue: &Catalogue) -> Result<Vec<String>, String> {
    Ok(aloud::lines(&term(catalogue)?))
}

fn term(catalogue: &Catalogue) -> Result<OverviewReport, String> {
    let report = overview::report(catalogue, SystemClock.local().date_naive());
    report.map_err(|failure| failure.to_string())
}

/// The page of `group` on everybody's first whole sitting of the paper that was sat in this file; what nobody sat
/// is never counted with what somebody did.
pub(super) fn group(path: &Path, catalogue: &Catalogue) -> Result<String, String> {
    let read = journal::read_up_to_damage(path);
    let (record, _) = read.map_err(|error| error.to_string())?;
    let header = record.header;
    let key = catalogue
        .key_of(&header.paper)
        .map_err(|no_key| review::no_group_without_key(&why_none(&no_key), &looked(catalogue)))?;
    let sessions = catalogue.sessions().map_err(|no| no.to_string())?;
    let listing = catalogue.listing(sessions);
    let listing = listing.map_err(|error| Failure::from(error).to_string())?;
    let version = Version::of(&header);
    let mut records = listing.records.clone();
    records.retain(|record| Version::of(&record.header) == version);
    let page = group::page_of(catalogue, &records, &header.paper, &key);
    let (mut page, others) = page.map_err(|failure| failure.to_string())?;
    page.push_str(review::FIRST_WHOLE_COUNTED);
    let reasons = others.iter().map(|(_, reason)| *reason);
    for sittings in left_out(reasons, "") {
        page.push_str(&review::not_counted(&sittings));
    }
    let unread = listing.unreadable.len();
    if unread > 0 {
        page.push_str(&review::unread_files(unread));
    }
    Ok(page)
}

/// Why there is no key, as a sentence of its own.
pub(super) fn why_none(no_key: &NoKey) -> String {
    match no_key {
        NoKey::None(id) => review::no_key_beside(id),
        NoKey::Unusable(trouble) => trouble.to_string(),
        other => format!("{other}."),
    }
}

/// Where keys are looked for.
fn looked(catalogue: &Catalogue) -> String {
    let shown = |path: &PathBuf| {
        if path.as_os_str().is_empty() {
            ".".to_owned()
        } else {
            path.shown().to_string()
        }
    };
    let mut places: Vec<String> = Vec::new();
    for place in catalogue.folders().iter().map(shown) {
        if !places.contains(&place) {
            places.push(place);
        }
    }
    review::keys_looked_for(&places)
}
