//! Gathers what a season of sittings says: each with the key that fits it, marked.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::desk::Desk;
use super::failure::Failure;
use super::keys::FoundKeys;
use super::read::{copies, studied};
use crate::analysis::evidence::Evidence;
use crate::domain::header::{Alias, INVENTED};
use crate::domain::key::Key;
use crate::domain::paper::{Outline, Paper};
use crate::domain::thresholds::Thresholds;
use crate::storage::files;
use crate::storage::journal::{self, Listing, Record};
use crate::words::count::counted;

/// Everything that can be drawn on.
pub(super) struct Gathered {
    /// The paper asked about.
    pub(super) paper: Paper,
    /// The marked sittings of everybody.
    pub(super) evidence: Vec<Evidence>,
    /// What had to be left out.
    pub(super) notes: Vec<String>,
    /// The thresholds in force.
    pub(super) limits: Arc<Thresholds>,
    /// Whether any of the marked sittings is invented.
    invented: bool,
}

impl Gathered {
    /// What has to be said first on a page: that data are invented, what was left out.
    pub(super) fn said(&self) -> Vec<String> {
        let invented = self.invented.then(|| INVENTED.to_owned());
        invented.into_iter().chain(self.notes.clone()).collect()
    }
}

/// Marks every sitting in the sessions folder for which a key can be found: among `keys` (folders or files), or
/// beside its paper.
pub(super) fn gather(
    pupil: &Alias,
    named: &str,
    keys: &[PathBuf],
    sessions: &Path,
) -> Result<Gathered, Failure> {
    let desk = Desk::look(sessions, Some(Path::new(named)));
    let (paper, _) = desk.paper(named).map_err(Failure::could_not)?;
    let mut remarks = Vec::new();
    let keys = FoundKeys::beside(desk, keys, &mut remarks)?;
    let listing = journal::list(sessions)?;
    let limits = files::thresholds::load(sessions).map_err(Failure::could_not)?;
    let limits = Arc::new(limits);
    let mut notes: Vec<String> = listing
        .unreadable
        .iter()
        .map(|(_, reason)| format!("Left out: {reason}"))
        .chain(remarks.iter().map(|remark| format!("Left out: {remark}")))
        .chain(copies(&listing).map(|copy| format!("Left out: {copy}")))
        .collect();
    let Marked {
        evidence,
        without,
        invented,
    } = read_all(&listing, &keys.desk, &limits, |outline| {
        keys.key_of(outline)
    });
    notes.extend(without.iter().map(|(id, count)| {
        format!(
            "Left out: {} of `{id}`, for which no key was found; say where it is with --keys DIR.",
            counted(*count, "sitting")
        )
    }));
    if !evidence.iter().any(|one| one.pupil == *pupil) {
        notes.push(format!(
            "No marked sitting of {pupil} was found in {}.",
            sessions.display()
        ));
    }
    Ok(Gathered {
        paper,
        evidence,
        notes,
        limits,
        invented,
    })
}

/// Marked sittings, and how many of which paper had no key.
pub(super) struct Marked {
    /// What those with a key say.
    pub(super) evidence: Vec<Evidence>,
    /// The others, by their paper's id.
    without: BTreeMap<String, usize>,
    /// Whether any of the marked ones is invented.
    pub(super) invented: bool,
}

/// Marks every sitting that has a key; each version of a paper is looked up once.
pub(super) fn read_all(
    listing: &Listing,
    desk: &Desk,
    limits: &Arc<Thresholds>,
    key_for: impl Fn(&Outline) -> Option<Key>,
) -> Marked {
    let mut found = BTreeMap::<(String, String), Option<Arc<Key>>>::new();
    let mut without = BTreeMap::<String, usize>::new();
    let mut evidence = Vec::new();
    let mut invented = false;
    for record in &listing.records {
        let outline = &record.header.paper;
        let version = (outline.id.clone(), outline.fingerprint.to_string());
        let key = found
            .entry(version)
            .or_insert_with(|| key_for(outline).map(Arc::new));
        match key {
            Some(key) => {
                let said = read(record, key, desk, limits);
                invented |= said.is_some() && record.header.invented;
                evidence.extend(said);
            }
            None => *without.entry(outline.id.clone()).or_default() += 1,
        }
    }
    Marked {
        evidence,
        without,
        invented,
    }
}

/// One sitting's evidence.
fn read(
    record: &Record,
    key: &Arc<Key>,
    desk: &Desk,
    limits: &Arc<Thresholds>,
) -> Option<Evidence> {
    let paper = desk.paper_of(&record.header.paper).cloned().map(Arc::new);
    Evidence::of(&studied(record, Some(Arc::clone(key)), paper, limits))
}

/// The pupil's alias as typed.
pub(super) fn alias(text: &str) -> Result<Alias, crate::domain::header::NoAlias> {
    Alias::new(text)
}
