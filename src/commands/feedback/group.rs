//! A page for each sitting of a group, and the tutor's list of them.

use std::collections::BTreeMap;
use std::io;
use std::path::Path;
use std::sync::Arc;

use super::pages::Pages;
use crate::commands::bar::{Bar, Counts};
use crate::commands::failure::{Failure, Failures};
use crate::commands::outlets::{Outlets, quietly};
use crate::commands::pages::{NewPage, PagePress, place};
use crate::domain::character::ShownPath as _;
use crate::reports::feedback::content::Feedback;
use crate::reports::feedback::index::{IndexEntry, index};
use crate::reports::feedback::{PageReader, joined, page};
use crate::storage::disk;
use crate::storage::journal::Record;
use crate::words::feedback::{pages_put, pages_written};
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

/// Where pages of several sittings go without a folder of their own.
pub(super) struct SeveralPages<'a> {
    /// The one file, where it was named.
    pub(super) output: Option<&'a Path>,
    /// Whether they are one file.
    pub(super) join: bool,
    /// Who writes them.
    pub(super) press: PagePress<'a>,
    /// The words that make the one file again.
    pub(super) words: Vec<String>,
}

/// No folder to write to.
#[derive(Debug, thiserror::Error)]
#[error("cannot make the folder {} ({error}); name another with --group", dir.shown())]
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
    let told = tell_all(pages, records, &mut failures, outlets);
    let names = names(&told, pages.reader);
    let bar = Bar::new(outlets.watched, Counts::Written, count(told.len()));
    for (feedback, name) in told.iter().zip(&names) {
        let path = dir.join(name);
        let new = NewPage::about(&path, &feedback.pupil);
        // A page that must not be lost stays; the others and the list are written all the same.
        let put = folder
            .press
            .put(new, page(feedback, pages.reader).as_bytes(), outlets.aside);
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

fn count(files: usize) -> u64 {
    u64::try_from(files).unwrap_or(u64::MAX)
}

/// What each page says, as far as it can be told.
fn tell_all(
    pages: &Pages<'_>,
    records: &[Arc<Record>],
    failures: &mut Failures,
    outlets: &Outlets<'_>,
) -> Vec<Feedback> {
    let mut told = Vec::new();
    let bar = Bar::new(outlets.watched, Counts::Read, count(records.len()));
    for record in records {
        match pages.tell(record) {
            Ok(feedback) => told.push(feedback),
            Err(failure) => failures.add(failure),
        }
        bar.one_more();
    }
    told
}

/// Writes all pages that can be written, each to a file of its own or all to one, by alias; then says what could
/// not be.
pub(super) fn write_several(
    pages: &Pages<'_>,
    records: &[Arc<Record>],
    mut failures: Failures,
    several: &SeveralPages<'_>,
    outlets: &mut Outlets<'_>,
) -> Result<(), Failure> {
    let mut told = tell_all(pages, records, &mut failures, outlets);
    told.sort_by_key(|feedback| {
        let pupil = feedback.pupil.as_str();
        (pupil.to_lowercase(), pupil.to_owned(), feedback.day)
    });
    if told.is_empty() {
        return failures.none();
    }
    let mut put = Vec::new();
    if several.join {
        let name = match pages.reader {
            PageReader::Pupil => "feedback.html",
            PageReader::Parents => "feedback-parents.html",
        };
        let path = place(pages.catalogue, several.output, name)?;
        let mut words = several.words.clone();
        words.extend(["-o".to_owned(), path.to_string_lossy().into_owned()]);
        let new = NewPage {
            path: &path,
            pupils: told.iter().map(|feedback| feedback.pupil.clone()).collect(),
            words,
        };
        let text = joined(&told, pages.reader);
        several.press.put(new, text.as_bytes(), outlets.aside)?;
        put.push(path);
    } else {
        for (feedback, name) in told.iter().zip(names(&told, pages.reader)) {
            let path = place(pages.catalogue, None, &name)?;
            let new = NewPage::about(&path, &feedback.pupil);
            let text = page(feedback, pages.reader);
            match several.press.put(new, text.as_bytes(), outlets.aside) {
                Ok(()) => put.push(path),
                Err(failure) => failures.add(failure),
            }
        }
    }
    quietly(writeln!(outlets.out, "{}", pages_put(&put)))?;
    failures.none()
}

/// `feedback-otter.html`; with the day where a pupil has several sittings, and with a number where
/// even that is taken. Capitals tell no files apart, since they do not everywhere.
pub(super) fn names(told: &[Feedback], reader: PageReader) -> Vec<String> {
    let ending = match reader {
        PageReader::Pupil => "",
        PageReader::Parents => "-parents",
    };
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
            1 => format!("{name}{ending}.html"),
            more => format!("{name}-{more}{ending}.html"),
        }
    };
    told.iter().map(name).collect()
}
