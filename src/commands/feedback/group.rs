//! A page for each sitting of a group, and the tutor's list of them.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::write::replace;
use super::{Desk, Outlets};
use crate::commands::Failure;
use crate::commands::quietly;
use crate::reports::feedback::content::Feedback;
use crate::reports::feedback::index::{Entry, index};
use crate::reports::feedback::page;
use crate::storage::disk;
use crate::words::count::counted;
use crate::words::time::table_day;

/// The signs of the bar of progress.
const BAR: usize = 24;

/// Writes all pages that can be written, then the list, then says what could not be.
pub(super) fn write(
    desk: &Desk<'_>,
    files: &[PathBuf],
    dir: &Path,
    outlets: &mut Outlets<'_>,
) -> Result<(), Failure> {
    disk::create_private_dir_all(dir).map_err(|error| {
        Failure::CouldNot(format!(
            "pacebell: the folder {} cannot be made: {error}",
            dir.display()
        ))
    })?;
    let mut told = Vec::new();
    let mut troubles = Vec::new();
    for (done, file) in files.iter().enumerate() {
        match desk.tell(file) {
            Ok(feedback) => told.push(feedback),
            Err(trouble) => troubles.push(trouble),
        }
        progress(outlets, "read", done + 1, files.len());
    }
    let names = names(&told);
    for (done, (feedback, name)) in told.iter().zip(&names).enumerate() {
        replace(&dir.join(name), page(feedback).as_bytes())?;
        progress(outlets, "written", done + 1, told.len());
    }
    let entries = told.iter().zip(&names);
    let entries: Vec<_> = entries
        .map(|(feedback, file)| Entry { file, feedback })
        .collect();
    let reasons: Vec<_> = troubles.iter().map(Failure::message).collect();
    replace(
        &dir.join("index.html"),
        index(&entries, &reasons).as_bytes(),
    )?;
    let list = dir.join("index.html");
    quietly(writeln!(
        outlets.out,
        "{} written; the list for the tutor is {}",
        counted(told.len(), "page"),
        list.display()
    ))?;
    together(&troubles)
}

/// All troubles as one: damage stands above the rest.
fn together(troubles: &[Failure]) -> Result<(), Failure> {
    let text: Vec<_> = troubles.iter().map(Failure::message).collect();
    let text = text.join("\n");
    let damaged = troubles
        .iter()
        .any(|trouble| matches!(trouble, Failure::Damaged(_)));
    if troubles.is_empty() {
        Ok(())
    } else if damaged {
        Err(Failure::Damaged(text))
    } else {
        Err(Failure::CouldNot(text))
    }
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
            format!("feedback-{pupil}-{}", table_day(feedback.day))
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

/// Draws the bar over itself, where somebody watches it.
fn progress(outlets: &mut Outlets<'_>, what: &str, done: usize, of: usize) {
    if !outlets.watched {
        return;
    }
    let full = BAR * done / of.max(1);
    let (full, rest) = ("#".repeat(full), ".".repeat(BAR.saturating_sub(full)));
    let end = if done >= of { "\n" } else { "" };
    // A terminal that is gone must not cost the pages.
    let drawn = write!(outlets.aside, "\r[{full}{rest}] {done} of {of} {what}{end}");
    let _ = drawn.and_then(|()| outlets.aside.flush());
}
