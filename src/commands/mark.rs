//! `mark`: exact marks of one sitting or several.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;

use super::failure::{Failure, Failures};
use super::outlets::{remark, written};
use super::pages::RemakeWords;
use super::read::{StepsOfPupils, analysis, copies, counting};
use super::tables::TableArgs;
use crate::domain::abridged::Abridged;
use crate::domain::character::ShownPath as _;
use crate::domain::key::Key;
use crate::domain::paper::Outline;
use crate::domain::standing::Exclusion;
use crate::reports::notices::first_of_all;
use crate::reports::rekeyed::{self, Rekeyed};
use crate::reports::{Report, Subject, json, table, text};
use crate::season::step::judged_by;
use crate::storage::catalogue::{Catalogue, NoKey};
use crate::storage::files;
use crate::storage::journal::{self, JournalError, Record};
use crate::words::damage::{marked_up_to, torn_in};
use crate::words::standing::{self, note_left_out, note_not_marked};
use crate::words::step::agreed;

/// What `mark` takes.
#[derive(Debug, clap::Args)]
pub struct MarkArgs {
    /// Session files, folders of them, or a pupil's alias for all their sittings. In folders, and for
    /// a pupil, sittings of other papers are left out and counted
    #[arg(value_name = "SESSION", required = true)]
    named: Vec<PathBuf>,
    /// The answer key; repeat it for several papers, and only their sittings are marked
    /// [default: the keys beside the papers]
    #[arg(long, visible_alias = "keys", value_name = "KEY")]
    key: Vec<PathBuf>,
    /// The key as it was before it was corrected: list every mark that changes, pupil by pupil
    #[arg(long, value_name = "OLD", requires = "key", conflicts_with_all = ["under", "csv"])]
    was: Option<PathBuf>,
    /// Also mark under this paper's rule, with its boundaries; with --json every mark is then under
    /// that rule, and `own_rule` has the sitting's own
    #[arg(long, value_name = "RULE.paper.ron")]
    under: Option<PathBuf>,
    /// Print JSON: one object, or a list for several sittings; a sitting of part of a paper has no
    /// awards, since boundaries are for the whole paper
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    tables: TableArgs,
    /// Mark a damaged file up to the first damage, and say so
    #[arg(long)]
    up_to_damage: bool,
}

/// Why a sitting is not marked.
#[derive(Debug, thiserror::Error)]
enum MarkError<'a> {
    #[error("{0}. To mark everything before the damage, add --up-to-damage.")]
    Damaged(JournalError),
    #[error(
        "its paper has {own} questions but the rule of `{rule}` is for {others}; give --under a paper with {own}"
    )]
    RuleForOthers {
        own: u16,
        rule: &'a str,
        others: u16,
    },
    #[error(
        "none of these sittings can be marked: no answer key was found beside their papers. Name the key with --key"
    )]
    NoKeyBeside,
    #[error("none of these sittings counts; name one by its file to mark it all the same")]
    NoneCounts,
    #[error("none of these sittings can be marked with the answer key of {}; name the key of their paper", .0.join(" or "))]
    OtherKeys(Vec<String>),
}

/// Marks the sittings and writes what they gave; what has to be said beside it goes to `aside`.
/// `sessions` is where sittings are kept, if that was said.
///
/// # Errors
/// A file that cannot be read, is damaged or does not go with the keys: then nothing is written.
pub fn run(
    args: &MarkArgs,
    sessions: Option<&Path>,
    today: NaiveDate,
    out: &mut dyn Write,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    let catalogue = Catalogue::open(sessions, &args.named).with_only_keys(&args.key);
    let catalogue = catalogue.map_err(Failure::could_not)?;
    let read = args.named.iter().chain(&args.key).chain(&args.under);
    args.tables.not_an_input(read.map(PathBuf::as_path))?;
    let under = args.under.as_deref().map(rule_of).transpose()?;
    let meant = catalogue.sittings(&args.named)?;
    let mut failures = Failures::default();
    for missing in &meant.missing {
        failures.add(Failure::could_not(missing));
    }
    let whole = meant
        .records
        .iter()
        .map(|record| (Arc::clone(record), None));
    let mut found: Vec<_> = whole.collect();
    for (path, reason) in &meant.unreadable {
        if reason.is_about_a_folder() {
            remark(aside, reason);
            continue;
        }
        match up_to_damage(path, reason, args.up_to_damage) {
            Ok((record, damage)) => found.push((Arc::new(record), Some(damage))),
            Err(failure) => failures.add(failure),
        }
    }
    if !found.iter().any(|(record, _)| meant.is_named(&record.path)) {
        let day = |record: &Record| record.header.started.date_naive();
        for same_day in found.chunk_by_mut(|(one, _), (other, _)| day(one) == day(other)) {
            same_day.sort_by(|(one, _), (other, _)| one.header.pupil.cmp(&other.header.pupil));
        }
    }
    let mut reports: Vec<Report> = Vec::new();
    let mut known = StepsOfPupils::default();
    let mut left_out = LeftOut {
        chosen: !catalogue.named_keys().is_empty(),
        ..LeftOut::default()
    };
    for (record, damage) in found {
        let named = meant.is_named(&record.path);
        let key = catalogue.key_of(&record.header.paper);
        // One of another paper is counted as that, whether it counts or not, as `group` does.
        let other = matches!(&key, Err(none) if none.is_of_another_paper());
        if let Some(reason) = record.withdrawn.filter(|_| !named && !other) {
            left_out.withdrawn.push(reason);
            continue;
        }
        match key {
            Ok(key) => match report(
                (&catalogue, &mut known),
                &record,
                damage,
                key,
                under.as_ref(),
                today,
            ) {
                Ok(report) => reports.push(report),
                Err(failure) => failures.add(failure),
            },
            Err(no_key) if named => failures.add(Failure::of_file(&record.path, no_key)),
            Err(no_key) => left_out.add(&record, &no_key),
        }
    }
    failures.none()?;
    if reports.is_empty() {
        for notice in copies(&meant.copies) {
            remark(aside, notice);
        }
        return left_out.nothing_left(&catalogue).none();
    }
    let about = |words: RemakeWords| {
        let pupil = |report: &Report| report.subject.analysis.header().pupil.clone();
        let pupils = reports.iter().map(pupil).collect();
        let words = words.paths(&args.named);
        let words = words.with("--key", args.key.iter().map(PathBuf::as_path));
        let words = words.with("--under", args.under.as_deref());
        let words = words.flag("--up-to-damage", args.up_to_damage);
        (table::csv::table(&reports), pupils, words.words(sessions))
    };
    args.tables.write(&catalogue, "mark", about, aside)?;
    let told = told(args, &reports)?;
    let notices = reports.iter().flat_map(first_of_all);
    let notices = notices.filter(|_| args.json);
    let notices = notices.chain(copies(&meant.copies)).chain(left_out.said());
    for notice in notices {
        remark(aside, notice);
    }
    written(out, &told)
}

/// What stands before the damage of a file, where that is wanted and there is something.
fn up_to_damage(
    path: &Path,
    reason: &JournalError,
    wanted: bool,
) -> Result<(Record, JournalError), Failure> {
    if !reason.is_damage() {
        return Err(Failure::from(reason));
    }
    match journal::read_up_to_damage(path)? {
        (record, Some(damage)) if wanted => Ok((record, damage)),
        (_, Some(damage)) => {
            let damaged = MarkError::Damaged(damage);
            Err(Failure::Damaged(damaged.to_string()))
        }
        // It has changed since it was looked at.
        (_, None) => Err(Failure::from(reason)),
    }
}

fn told(args: &MarkArgs, reports: &[Report]) -> Result<String, Failure> {
    if let Some(was) = &args.was {
        return changes(was, reports, args.json);
    }
    Ok(match reports {
        several if args.json => json::mark::json(several).map_err(Failure::could_not)?,
        [report] => text::page(report),
        several => tables(several),
    })
}

/// What the corrected key changes for each.
fn changes(was: &Path, reports: &[Report], as_json: bool) -> Result<String, Failure> {
    let key = files::key::load(was).map_err(Failure::could_not)?;
    let rekeyed = reports.iter().map(|report| {
        let fits = Rekeyed::new(report, &key);
        fits.map_err(|misfit| Failure::of_file(was, misfit))
    });
    let rekeyed = rekeyed.collect::<Result<Vec<_>, _>>()?;
    if as_json {
        rekeyed::json(&rekeyed).map_err(Failure::could_not)
    } else {
        Ok(rekeyed::page(&rekeyed))
    }
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

/// What was left out of folders and of pupils' sittings.
#[derive(Default)]
struct LeftOut {
    /// Whether keys were named, so that papers were chosen.
    chosen: bool,
    /// How many sittings of which paper without a key, or without one of those named.
    papers: BTreeMap<String, usize>,
    unfit: Vec<String>,
    /// Why those do not count that were withdrawn.
    withdrawn: Vec<Exclusion>,
}

impl LeftOut {
    fn add(&mut self, record: &Record, no_key: &NoKey) {
        if no_key.is_of_another_paper() {
            let id = record.header.paper.id.clone();
            *self.papers.entry(id).or_default() += 1;
        } else {
            self.unfit
                .push(format!("{}: {no_key}", record.path.shown()));
        }
    }

    /// The sittings of papers without a key in one line, a line for each that its own paper's key
    /// does not fit, and those that were withdrawn.
    fn said(&self) -> impl Iterator<Item = String> + '_ {
        let others = note_not_marked(self.chosen, &self.papers);
        let unfit = self.unfit.iter().map(note_left_out);
        let withdrawn = standing::left_out(self.withdrawn.iter().copied(), "").into_iter();
        let withdrawn = withdrawn.map(note_left_out);
        others.into_iter().chain(unfit).chain(withdrawn)
    }

    fn nothing_left(&self, catalogue: &Catalogue) -> Failures {
        let ids = catalogue.named_keys().into_iter();
        let ids: Vec<_> = ids.map(|id| format!("`{id}`")).collect();
        let mut failures = Failures::default();
        let none_left = self.papers.is_empty() && self.unfit.is_empty();
        failures.add(Failure::could_not(
            if none_left && !self.withdrawn.is_empty() {
                MarkError::NoneCounts
            } else if ids.is_empty() {
                MarkError::NoKeyBeside
            } else {
                MarkError::OtherKeys(ids)
            },
        ));
        for said in self.said() {
            failures.add(Failure::CouldNot(said));
        }
        failures
    }
}

fn report(
    (catalogue, known): (&Catalogue, &mut StepsOfPupils),
    record: &Record,
    damage: Option<JournalError>,
    key: Arc<Key>,
    under: Option<&Outline>,
    today: NaiveDate,
) -> Result<Report, Failure> {
    let limits = catalogue.limits_for(&record.path);
    let limits = limits.map_err(Failure::could_not)?;
    let paper = &record.header.paper;
    if let Some(other) = under.filter(|other| other.questions != paper.questions) {
        let misfit = MarkError::RuleForOthers {
            own: paper.questions,
            rule: &other.id,
            others: other.questions,
        };
        return Err(Failure::of_file(&record.path, misfit));
    }
    let damage = damage.map(marked_up_to);
    let torn = record.torn.map(|_torn| torn_in(&record.path));
    let analysis = analysis(record, &limits);
    let sat = Abridged::of(analysis.end());
    let counting = counting(&record.decided(), &record.path, &sat, &limits);
    let steps = known.beside(catalogue, record)?;
    let step = judged_by(&steps, &record.header.sitting).map(agreed);
    let remarks = damage.into_iter().chain(torn).chain(counting).chain(step);
    let subject = Subject {
        remarks: remarks.collect(),
        analysis,
        decision: record.decision.clone(),
        disputed: record.withdrawn == Some(Exclusion::Disputed),
    };
    Report::new(subject, key, under, today).map_err(Failure::could_not)
}
