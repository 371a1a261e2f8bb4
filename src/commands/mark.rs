//! `mark`: exact marks of one sitting or several.

mod sittings;

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;

use super::failure::{Failure, Failures};
use super::outlets::{remark, written};
use super::read::{analysis, folder_of, limits_for};
use crate::domain::key::{Key, Mismatch};
use crate::domain::paper::Outline;
use crate::domain::thresholds::Thresholds;
use crate::reports::notices::first_of_all;
use crate::reports::{Report, Subject, json, table, text};
use crate::storage::files;
use crate::storage::journal::{self, Record};
use crate::words::count::counted;
use sittings::Wanted;

/// What `mark` takes.
#[derive(Debug, clap::Args)]
pub struct Words {
    /// Session files, folders of them, or a pupil's alias for all their sittings. Sittings of other
    /// papers in a folder or of a pupil are left out and counted
    #[arg(value_name = "SESSION", required = true)]
    named: Vec<PathBuf>,
    /// The paper's key; give it several times for several papers
    #[arg(long, value_name = "KEY", required = true)]
    key: Vec<PathBuf>,
    /// Mark under the rule of this paper too, with its boundaries; with --json every mark is then
    /// under that rule, and `own_rule` has the sitting's own
    #[arg(long, value_name = "RULE.paper.ron")]
    under: Option<PathBuf>,
    /// Print JSON: one object, or a list for several sittings; a sitting of a part of the paper has
    /// no awards, since boundaries are for the whole
    #[arg(long)]
    json: bool,
    /// Mark a damaged file up to its first damage, and say so
    #[arg(long)]
    up_to_damage: bool,
}

/// Marks the sittings and writes what they gave; what has to be said beside it goes to `aside`.
/// `sessions` is where sittings are kept, if that was said.
///
/// # Errors
/// A file that cannot be read, is damaged or does not go with the keys: then nothing is written.
pub fn run(
    words: &Words,
    sessions: Option<&Path>,
    today: NaiveDate,
    out: &mut dyn Write,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    let keys = words.key.iter().map(|path| files::key::load(path));
    let keys = Keys(keys.collect::<Result<_, _>>().map_err(Failure::could_not)?);
    let under = words.under.as_deref().map(rule_of).transpose()?;
    let mut reports: Vec<Report> = Vec::new();
    let mut failures = Failures::default();
    let mut left_out = LeftOut::default();
    let mut seen = BTreeSet::new();
    let (wanted, missing) = sittings::wanted(&words.named, sessions)?;
    for line in missing {
        failures.add(Failure::CouldNot(line));
    }
    let mut thresholds = BTreeMap::<PathBuf, Arc<Thresholds>>::new();
    for sitting in wanted {
        let limits = match thresholds.entry(folder_of(&sitting.path)) {
            Entry::Occupied(read) => Arc::clone(read.get()),
            Entry::Vacant(free) => {
                let limits = limits_for(&sitting.path, sessions)?;
                Arc::clone(free.insert(limits))
            }
        };
        match subject(&sitting, &keys, under.as_ref(), words.up_to_damage, &limits) {
            Ok(Found::Marked(subject, key)) => {
                if seen.insert(subject.sitting().header().sitting.clone()) {
                    let key = Arc::new(key.clone());
                    let report = Report::new(*subject, key, under.as_ref(), today);
                    reports.push(report.map_err(Failure::could_not)?);
                }
            }
            Ok(Found::LeftOut(why)) => left_out.add(why),
            Err(failure) => failures.add(failure),
        }
    }
    failures.none()?;
    if reports.is_empty() {
        return left_out.nothing_left(&keys).none();
    }
    let told = told(words, &reports)?;
    let notices = reports.iter().flat_map(first_of_all);
    let notices = notices.filter(|_| words.json).chain(left_out.said());
    for notice in notices {
        remark(aside, notice);
    }
    written(out, &told)
}

fn told(words: &Words, reports: &[Report]) -> Result<String, Failure> {
    Ok(match reports {
        several if words.json => json::mark::json(several).map_err(Failure::could_not)?,
        [report] => text::page(report),
        several => tables(several),
    })
}

/// A table for each paper, in the order in which they come.
fn tables(reports: &[Report]) -> String {
    let id = |report: &Report| report.own.outline.id.clone();
    let mut papers: Vec<Vec<Report>> = Vec::new();
    for report in reports {
        let same = |own: &&mut Vec<Report>| own.first().map(id) == Some(id(report));
        match papers.iter_mut().find(same) {
            Some(own) => own.push(report.clone()),
            None => papers.push(vec![report.clone()]),
        }
    }
    let papers: Vec<_> = papers.iter().map(|own| table::table(own)).collect();
    papers.join("\n")
}

fn rule_of(path: &Path) -> Result<Outline, Failure> {
    let paper = files::paper::load(path).map_err(Failure::could_not)?;
    Ok(paper.outline)
}

/// Why one file is not marked.
fn unfit(path: &Path, reason: impl fmt::Display) -> Failure {
    Failure::CouldNot(format!("{}: {reason}", path.display()))
}

/// The keys at hand.
struct Keys(Vec<Key>);

impl Keys {
    /// The first that fits the paper, or why none does: what the key of its id says, if there is one.
    fn of(&self, paper: &Outline) -> Result<&Key, NoKey> {
        let mut why = None;
        for key in &self.0 {
            match key.fits(paper) {
                Ok(()) => return Ok(key),
                Err(Mismatch::OtherPaper { .. }) if self.0.len() > 1 => {}
                Err(mismatch) => why = why.or(Some(mismatch)),
            }
        }
        Err(NoKey {
            other_paper: matches!(why, None | Some(Mismatch::OtherPaper { .. })),
            reason: why.map_or_else(
                || {
                    format!(
                        "none of the keys is for `{0}`; give the key of `{0}` as well",
                        paper.id
                    )
                },
                |mismatch| mismatch.to_string(),
            ),
        })
    }
}

/// Why no key fits a paper.
struct NoKey {
    other_paper: bool,
    reason: String,
}

/// What becomes of a sitting.
enum Found<'a> {
    Marked(Box<Subject>, &'a Key),
    LeftOut(Why),
}

/// Why a sitting is left out that was not named by itself.
enum Why {
    OtherPaper(String),
    Unfit(String),
}

/// What was left out of folders and of pupils' sittings.
#[derive(Default)]
struct LeftOut {
    /// How many sittings of which other paper.
    papers: BTreeMap<String, usize>,
    unfit: Vec<String>,
}

impl LeftOut {
    fn add(&mut self, why: Why) {
        match why {
            Why::OtherPaper(id) => *self.papers.entry(id).or_default() += 1,
            Why::Unfit(line) => self.unfit.push(line),
        }
    }

    /// The sittings of other papers in one line, and a line for each that its own paper's key does
    /// not fit.
    fn said(&self) -> impl Iterator<Item = String> + '_ {
        let papers = self.papers.iter();
        let papers: Vec<_> = papers.map(|(id, count)| format!("{id} {count}")).collect();
        let count: usize = self.papers.values().sum();
        let others = (count > 0).then(|| {
            let sittings = counted(count, "sitting");
            format!(
                "note: left out {sittings} of other papers ({})",
                papers.join(", ")
            )
        });
        let unfit = self.unfit.iter();
        others
            .into_iter()
            .chain(unfit.map(|line| format!("note: left out {line}")))
    }

    fn nothing_left(&self, keys: &Keys) -> Failures {
        let ids: Vec<_> = keys
            .0
            .iter()
            .map(|key| format!("`{}`", key.paper))
            .collect();
        let mut failures = Failures::default();
        failures.add(Failure::CouldNot(format!(
            "none of the sittings found can be marked with the key of {}; give the key of their paper",
            ids.join(" or ")
        )));
        for said in self.said() {
            failures.add(Failure::CouldNot(said));
        }
        failures
    }
}

fn subject<'a>(
    wanted: &Wanted,
    keys: &'a Keys,
    under: Option<&Outline>,
    up_to_damage: bool,
    limits: &Arc<Thresholds>,
) -> Result<Found<'a>, Failure> {
    let path = wanted.path.as_path();
    let (record, damage) = journal::read_up_to_damage(path)?;
    let paper = &record.header.paper;
    let key = match keys.of(paper) {
        Ok(key) => key,
        Err(no_key) if wanted.by_name => return Err(unfit(path, no_key.reason)),
        Err(no_key) => {
            return Ok(Found::LeftOut(if no_key.other_paper {
                Why::OtherPaper(paper.id.clone())
            } else {
                Why::Unfit(format!("{}: {}", path.display(), no_key.reason))
            }));
        }
    };
    let mut remarks = Vec::new();
    match damage {
        Some(damage) if up_to_damage => {
            remarks.push(format!("{damage}. These are the marks up to there."));
        }
        Some(damage) => {
            let way_out = "To mark what stands before it, add --up-to-damage.";
            return Err(Failure::Damaged(format!("{damage}. {way_out}")));
        }
        None => {}
    }
    if let Some(other) = under.filter(|other| other.questions != paper.questions) {
        let (own, theirs) = (paper.questions, other.questions);
        return Err(unfit(
            path,
            format!(
                "its paper has {own} questions, and the rule of `{}` is for {theirs}; give --under a rule for {own}",
                other.id
            ),
        ));
    }
    remarks.extend(torn(&record));
    let subject = Subject {
        analysis: analysis(&record, limits),
        remarks,
    };
    Ok(Found::Marked(Box::new(subject), key))
}

fn torn(record: &Record) -> Option<String> {
    record.torn.map(|torn| {
        format!(
            "{}: its last line, {}, was never written to its end. It is left out; everything before it is whole.",
            record.path.display(),
            torn.line
        )
    })
}
