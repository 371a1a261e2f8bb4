//! The marks of sittings: every one on the same paper, whole and ended.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::analysis;
use crate::cohort::entry::Entry;
use crate::commands::failure::{Failure, Failures};
use crate::commands::outlets::remark;
use crate::commands::read::{sheets, tell_apart};
use crate::domain::paper::{Outline, Paper};
use crate::domain::standing::Exclusion;
use crate::storage::catalogue::{Catalogue, Meant, NoKey};
use crate::storage::files::marks::Marks;
use crate::storage::journal::Record;

/// Why the sittings give no marks of a group.
#[derive(Debug, thiserror::Error)]
enum NoGroup<'a> {
    #[error("no whole sitting here counts; name session files, or folders that hold some")]
    NoWhole,
    #[error("no sittings were found here; name session files, or folders that hold some")]
    NoSitting,
    #[error("these are sittings of several papers ({}); choose one with --paper", .0.join(", "))]
    SeveralPapers(Vec<&'a str>),
}

/// Why a sitting that was named cannot stand beside the others.
#[derive(Debug, thiserror::Error)]
enum SittingUnfit {
    #[error(transparent)]
    NoKey(NoKey),
    #[error(
        "it's a sitting of a different paper from the first one; name sittings of one paper only"
    )]
    OtherPaper,
    #[error(
        "it was sat under a different marking rule from the first one, so their marks cannot be compared; leave it out"
    )]
    OtherRule,
    #[error("only part of the paper was sat; leave it out")]
    Part,
    #[error("it had less time than the paper allows; leave it out")]
    ShortTime,
    #[error("it isn't finished; finish it first, or leave it out")]
    Open,
}

/// Marks the sittings with their key; their marks in time count. Gives the paper too, where it is found; `wanted` chooses
/// among sittings of several.
///
/// # Errors
/// Everything that is wrong with any that was named: then there are no marks.
pub(super) fn marks(
    files: &[PathBuf],
    wanted: Option<&Paper>,
    key: Option<&PathBuf>,
    entry: Entry,
    sessions: Option<&Path>,
    aside: &mut dyn Write,
) -> Result<(Marks, Option<Arc<Paper>>), Failure> {
    let named: Vec<_> = key.into_iter().cloned().collect();
    let catalogue = Catalogue::open(sessions, files).with_only_keys(&named);
    let catalogue = catalogue.map_err(Failure::could_not)?;
    let meant = catalogue.sittings(files)?;
    let paper = match wanted {
        Some(paper) => paper.outline.clone(),
        None => paper(&meant, &catalogue)?,
    };
    let mut wrong = Failures::of_named(&meant);
    let (own, other): (Vec<_>, Vec<_>) = meant.records.iter().cloned().partition(|record| {
        let sat = &record.header.paper;
        sat.id != paper.id || sat.rule == paper.rule
    });
    let (counted, mut left_out) = sheets(&catalogue, &own, &paper, entry);
    left_out.extend(
        other
            .into_iter()
            .map(|record| (record, Exclusion::OtherRule)),
    );
    for (record, reason) in &left_out {
        if meant.is_named(&record.path)
            && let Some(reason) = unfit(record, *reason, &catalogue)
        {
            wrong.add(Failure::of_file(&record.path, reason));
        }
    }
    wrong.none()?;
    let key = catalogue.key_of(&paper).map_err(Failure::could_not)?;
    let mut counts = BTreeMap::new();
    for record in &counted {
        let marks = analysis::Marks::of(&record.sitting(), &key, &record.header.paper);
        let marks = marks.map_err(Failure::could_not)?;
        *counts.entry(marks.in_time.total).or_default() += 1;
    }
    for line in tell_apart(&meant, &counted, &left_out, entry) {
        remark(aside, line);
    }
    if counts.is_empty() {
        return Err(Failure::could_not(NoGroup::NoWhole));
    }
    Ok((Marks { counts, without: 0 }, catalogue.paper_of(&paper)))
}

/// The paper that is meant: that of the first sitting that has a key.
///
/// # Errors
/// No sitting with a key, or sittings of several papers that were not named one by one.
fn paper(meant: &Meant, catalogue: &Catalogue) -> Result<Outline, Failure> {
    let has_key = |record: &&Arc<Record>| catalogue.key_of(&record.header.paper).is_ok();
    let mut known = meant.records.iter().filter(has_key);
    let Some(first) = known.next() else {
        return Err(no_paper(meant, catalogue));
    };
    let found = known.filter(|record| !meant.is_named(&record.path));
    let mut ids: BTreeSet<_> = found
        .map(|record| record.header.paper.id.as_str())
        .collect();
    ids.insert(&first.header.paper.id);
    if ids.len() > 1 {
        let ids = ids.into_iter().collect();
        return Err(Failure::wrong_words(NoGroup::SeveralPapers(ids)));
    }
    Ok(first.header.paper.clone())
}

/// Why there is no sitting with a key: what is wrong with each word and each file.
fn no_paper(meant: &Meant, catalogue: &Catalogue) -> Failure {
    let mut all = Failures::of_sittings(meant);
    let mut told = BTreeSet::new();
    for record in &meant.records {
        if let Err(no_key) = catalogue.key_of(&record.header.paper) {
            if meant.is_named(&record.path) {
                all.add(Failure::of_file(&record.path, no_key));
            } else if told.insert(record.header.paper.id.as_str()) {
                all.add(Failure::could_not(no_key));
            }
        }
    }
    let all = all.none().err();
    all.unwrap_or_else(|| Failure::could_not(NoGroup::NoSitting))
}

/// Why it cannot stand beside the others, though it was named; nothing where it is merely left out.
fn unfit(record: &Record, reason: Exclusion, catalogue: &Catalogue) -> Option<SittingUnfit> {
    match reason {
        Exclusion::OtherPaper | Exclusion::OtherVersion | Exclusion::NoKey => {
            let no_key = catalogue.key_of(&record.header.paper).err();
            Some(no_key.map_or(SittingUnfit::OtherPaper, SittingUnfit::NoKey))
        }
        Exclusion::OtherRule => Some(SittingUnfit::OtherRule),
        Exclusion::Part => Some(SittingUnfit::Part),
        Exclusion::ShortTime => Some(SittingUnfit::ShortTime),
        Exclusion::Open => Some(SittingUnfit::Open),
        Exclusion::GivenUp
        | Exclusion::Later
        | Exclusion::Invented
        | Exclusion::Replaced
        | Exclusion::SetAside
        | Exclusion::Disputed => None,
    }
}
