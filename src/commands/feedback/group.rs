//! A page for each sitting of a group, and the tutor's list of them.

use std::collections::BTreeMap;
use std::io;
use std::path::Path;
use std::sync::Arc;

use super::pages::Pages;
use crate::commands::bar::{Bar, Counts};
use crate::commands::failure::{Failure, Failures};
use crate::commands::outlets::{Outlets, quietly};
use crate::commands::pages::{NewPage, PagePress};
use crate::reports::feedback::content::Feedback;
use crate::reports::feedback::index::{IndexEntry, index};
use crate::reports::feedback::page;
use crate::storage::disk;
use crate::storage::journal::Record;
use crate::words::feedback::pages_written;
use crate::words::time::file_day;

/// Where a group's pages go.
pub(super) struct GroupFolder<'a> {
    /// The folder.
    pub(super) dir: &'a Path,
    /// Who writes them.
    pub(super) press: PagePress<'a>,
    /// The words that make them again.
    pub(super) words: Vec<String>,
}

/// No folder to write to.
#[derive(Debug, thiserror::Error)]
#[error("cannot make the folder {} ({error}); name another with --group", dir.display())]
struct FolderNotMade<'a> {
    dir: &'a Path,
    error: io::Error,
}

/// Writes all pages that can be written, then the list, then says what could not be.
pub(super) fn write(
    pages: &Pages<'_>,
    records: &[Arc<Record>],
    mut failures: Failures,
    folder: &GroupFolder<'_>,
    outlets: &mut Outlets<'_>,
) -> Result<(), Failure> {
    let dir = folder.dir;
    disk::create_private_dir_all(dir)
        .map_err(|error| Failure::could_not(FolderNotMade { dir, error }))?;
    let mut told = Vec::new();
    let count = |files: usize| u64::try_from(files).unwrap_or(u64::MAX);
    let bar = Bar::new(outlets.watched, Counts::Read, count(records.len()));
    for record in records {
        match pages.tell(record) {
            Ok(feedback) => told.push(feedback),
            Err(failure) => failures.add(failure),
        }
        bar.one_more();
    }
    drop(bar);
    let names = names(&told);
    let bar = Bar::new(outlets.watched, Counts::Written, count(told.len()));
    for (feedback, name) in told.iter().zip(&names) {
        let path = dir.join(name);
        let new = NewPage::about(&path, &feedback.pupil);
        // A page that must not be lost stays; the others and the list are written all the same.
        let put = folder
            .press
            .put(new, page(feedback).as_bytes(), outlets.aside);
        if let Err(failure) = put {
            failures.add(failure);
        }
        bar.one_more();
    }
    drop(bar);
    let entries = told.iter().zip(&names);
    let entries: Vec<_> = entries
        .map(|(feedback, file)| IndexEntry { file, feedback })
        .collect();
    let list = dir.join("index.html");
    let new = NewPage {
        path: &list,
        pupils: told.iter().map(|feedback| feedback.pupil.clone()).collect(),
        words: folder.words.clone(),
    };
    let text = index(&entries, &failures.sentences());
    folder.press.put(new, text.as_bytes(), outlets.aside)?;
    quietly(writeln!(
        outlets.out,
        "{}",
        pages_written(told.len(), &list)
    ))?;
    failures.none()
}

/// `feedback-otter.html`; with the day where a pupil has several sittings, and with a number where
/// even that is taken. Capitals tell no files apart, since they do not everywhere.
fn names(told: &[Feedback]) -> Vec<String> {
    let mut sittings = BTreeMap::<String, usize>::new();
    for feedback in told {
        *sittings
            .entry(feedback.pupil.as_str().to_lowercase())
            .or_default() += 1;
    }
    let mut taken = BTreeMap::<String, usize>::new();
    let name = |feedback: &Feedback| {
        let pupil = feedback.pupil.as_str();
        let several = sittings.get(&pupil.to_lowercase()).is_some_and(|n| *n > 1);
        let name = if several {
            format!("feedback-{pupil}-{}", file_day(feedback.day))
        } else {
            format!("feedback-{pupil}")
        };
        let times = taken.entry(name.to_lowercase()).or_default();
        *times += 1;
        match *times {
            1 => format!("{name}.html"),
            more => format!("{name}-{more}.html"),
        }
    };
    told.iter().map(name).collect()
}
