//! The marks of sittings: every one on the same paper, whole and ended.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;
use std::path::{Path, PathBuf};

use crate::analysis;
use crate::commands::Failure;
use crate::domain::event::{Ending, Event, Stamped};
use crate::domain::paper::Outline;
use crate::storage::files;
use crate::storage::files::marks::Marks;
use crate::storage::journal::{self, Record};

/// Marks the sittings with a key; their marks in time count.
///
/// # Errors
/// Everything that is wrong with any of them: then there are no marks.
pub(super) fn marks(
    paths: &[PathBuf],
    key: &Path,
    aside: &mut dyn Write,
) -> Result<Marks, Failure> {
    let key = files::key::load(key).map_err(Failure::could_not)?;
    let records = read(paths)?;
    let mut counts = BTreeMap::new();
    let mut seen = BTreeSet::new();
    let mut pupils = BTreeMap::<String, usize>::new();
    let mut wrong = Vec::new();
    let first: Option<&Outline> = records.first().map(|record| &record.header.paper);
    for record in &records {
        let header = &record.header;
        if given_up(record) {
            // Beside the figures; a dead standard error must not cost them.
            let _ = writeln!(
                aside,
                "pacebell: note: {}: it was given up and asks for no mark; it is left out",
                record.path.display()
            );
            continue;
        }
        if let Some(reason) = unfit(record, first, &key) {
            wrong.push(format!("pacebell: {}: {reason}", record.path.display()));
        } else if seen.insert(header.sitting.clone()) {
            let marks = analysis::Marks::of(&record.sitting(), &key, &header.paper);
            let marks = marks.map_err(Failure::could_not)?;
            *counts.entry(marks.in_time.total).or_default() += 1;
            *pupils.entry(header.pupil.as_str().to_owned()).or_default() += 1;
        }
    }
    if !wrong.is_empty() {
        return Err(Failure::CouldNot(wrong.join("\n")));
    }
    if counts.is_empty() {
        return Err(Failure::could_not(
            "there is no sitting here; name session files, or folders with some",
        ));
    }
    for (pupil, times) in pupils.iter().filter(|(_, times)| **times > 1) {
        // Beside the figures; a dead standard error must not cost them.
        let _ = writeln!(
            aside,
            "pacebell: note: {pupil} has {times} sittings here, and each counts as a person; name one of them if that is not meant"
        );
    }
    Ok(Marks { counts, without: 0 })
}

fn read(paths: &[PathBuf]) -> Result<Vec<Record>, Failure> {
    let mut records = Vec::new();
    let (mut wrong, mut damaged) = (Vec::new(), false);
    for path in paths {
        let (read, unreadable) = if path.is_dir() {
            match journal::list(path) {
                Ok(listing) => (
                    listing.records,
                    listing
                        .unreadable
                        .into_iter()
                        .map(|(_, error)| error)
                        .collect(),
                ),
                Err(error) => (Vec::new(), vec![error]),
            }
        } else {
            match journal::read(path) {
                Ok(record) => (vec![record], Vec::new()),
                Err(error) => (Vec::new(), vec![error]),
            }
        };
        records.extend(read);
        damaged |= unreadable.iter().any(journal::JournalError::is_damage);
        wrong.extend(unreadable.iter().map(|error| format!("pacebell: {error}")));
    }
    match (wrong.is_empty(), damaged) {
        (true, _) => Ok(records),
        (false, true) => Err(Failure::Damaged(wrong.join("\n"))),
        (false, false) => Err(Failure::CouldNot(wrong.join("\n"))),
    }
}

fn given_up(record: &Record) -> bool {
    let ends = |stamped: &Stamped| stamped.event == Event::Closed(Ending::Abandoned);
    record.events.iter().any(ends)
}

/// Why a sitting cannot stand beside the others, if it cannot.
fn unfit(
    record: &Record,
    first: Option<&Outline>,
    key: &crate::domain::key::Key,
) -> Option<String> {
    let paper = &record.header.paper;
    if let Err(mismatch) = key.fits(paper) {
        return Some(mismatch.to_string());
    }
    if first.is_some_and(|first| first.rule != paper.rule) {
        return Some("it was sat under another marking rule than the first one; marks under two rules make no one group".into());
    }
    if record.header.arrangements.only.is_some() {
        return Some("it is of a part of the paper only; leave it out".into());
    }
    (!record.is_closed()).then(|| "it has not ended; finish it first, or leave it out".into())
}
