//! The marks of sittings: every one on the same paper, whole and ended.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;
use std::path::{Path, PathBuf};

use crate::analysis;
use crate::commands::failure::{Failure, Failures};
use crate::commands::outlets::remark;
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
    let mut wrong = Failures::default();
    let first: Option<&Outline> = records.first().map(|record| &record.header.paper);
    for record in &records {
        let header = &record.header;
        if given_up(record) {
            remark(
                aside,
                format_args!(
                    "note: {}: it was given up and asks for no mark; it is left out",
                    record.path.display()
                ),
            );
            continue;
        }
        if let Some(reason) = unfit(record, first, &key) {
            wrong.add(Failure::CouldNot(format!(
                "{}: {reason}",
                record.path.display()
            )));
        } else if seen.insert(header.sitting.clone()) {
            let marks = analysis::Marks::of(&record.sitting(), &key, &header.paper);
            let marks = marks.map_err(Failure::could_not)?;
            *counts.entry(marks.in_time.total).or_default() += 1;
            *pupils.entry(header.pupil.as_str().to_owned()).or_default() += 1;
        }
    }
    wrong.none()?;
    if counts.is_empty() {
        return Err(Failure::could_not(
            "there is no sitting here; name session files, or folders with some",
        ));
    }
    for (pupil, times) in pupils.iter().filter(|(_, times)| **times > 1) {
        remark(
            aside,
            format_args!(
                "note: {pupil} has {times} sittings here, and each counts as a person; name one of them if that is not meant"
            ),
        );
    }
    Ok(Marks { counts, without: 0 })
}

fn read(paths: &[PathBuf]) -> Result<Vec<Record>, Failure> {
    let mut records = Vec::new();
    let mut wrong = Failures::default();
    for path in paths {
        if path.is_dir() {
            match journal::list(path) {
                Ok(listing) => {
                    records.extend(listing.records);
                    for (_, error) in listing.unreadable {
                        wrong.add(error);
                    }
                }
                Err(error) => wrong.add(error),
            }
        } else {
            match journal::read(path) {
                Ok(record) => records.push(record),
                Err(error) => wrong.add(error),
            }
        }
    }
    wrong.none().map(|()| records)
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
