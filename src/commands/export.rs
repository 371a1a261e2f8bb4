//! `export`: everything kept of a pupil in one folder: the files, JSON, CSV, and a page that names each field.

use std::collections::BTreeSet;
use std::io::Write;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use serde::Serialize;

use super::failure::Failure;
use super::outlets::written;
use super::read::{analysis, copies as twice, studied, unread};
use super::rename::known_alias;
use crate::domain::event::Stamped;
use crate::domain::header::{Alias, Header};
use crate::domain::standing::Exclusion;
use crate::reports::evidence::{EvidenceRow, table as evidence_table};
use crate::reports::export::fields_page;
use crate::reports::tabular::{CsvForm, DataTable};
use crate::reports::{Report, Subject, json, table};
use crate::storage::catalogue::Catalogue;
use crate::storage::disk;
use crate::storage::keeping::pages::{metadata_beside, note_export};
use crate::storage::keeping::{
    ExportFile, export_files, finish_export, take_back_export, unfinished_export,
};
use crate::words::export as words;
use crate::words::keeping::page_not_noted;

/// What `export` takes.
#[derive(Debug, clap::Args)]
pub struct ExportArgs {
    /// The pupil's alias
    #[arg(value_name = "PUPIL", value_parser = known_alias)]
    pupil: Alias,
    /// A folder that is new or empty
    #[arg(value_name = "DIR")]
    dir: PathBuf,
    /// More answer keys: folders or key files; keys beside the papers are always found
    #[arg(long, visible_alias = "key", value_name = "DIR", num_args = 1..)]
    keys: Vec<PathBuf>,
}

/// A sitting's log as JSON has it.
#[derive(Serialize)]
struct SittingLog<'a> {
    header: &'a Header,
    events: Vec<EventLog<'a>>,
}

#[derive(Serialize)]
struct EventLog<'a> {
    at: crate::domain::time::Elapsed,
    utc: String,
    event: &'a crate::domain::event::Event,
}

/// Copies the files, then writes what other programs and people read.
///
/// # Errors
/// Nothing held, a folder with something in it, or the system's refusal.
pub fn run(
    args: &ExportArgs,
    sessions: Option<&Path>,
    today: NaiveDate,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let catalogue = Catalogue::open(sessions, &[]).with_keys(&args.keys);
    let catalogue = catalogue.map_err(Failure::could_not)?;
    let sessions = catalogue.sessions().map_err(Failure::could_not)?;
    let copies = export_files(sessions, &args.pupil, &args.dir)?;
    let said = describe(args, &catalogue, sessions, today, &copies);
    let said = said.and_then(|mut said| {
        let refused = finish_export(&args.dir)?;
        said.extend(refused.map(|error| words::not_surely_on_disk(&args.dir, &error)));
        Ok(said)
    });
    if said.is_err() {
        take_back_export(&args.dir);
    }
    let mut said = said?;
    if let Err(error) = note_export(sessions, &args.dir, &args.pupil) {
        said.push(page_not_noted(&args.dir, &error.to_string()));
    }
    written(out, &format!("{}\n", said.join("\n")))
}

/// Writes what other programs and people read beside the copies, and gives what is said of them.
fn describe(
    args: &ExportArgs,
    catalogue: &Catalogue,
    sessions: &Path,
    today: NaiveDate,
    copies: &[PathBuf],
) -> Result<Vec<String>, Failure> {
    let limits = catalogue.limits_in(sessions).map_err(Failure::could_not)?;
    let own = catalogue.of_pupil(&args.pupil)?;
    let mut records = own.records;
    records.sort_by_key(|record| (record.header.started, record.header.sitting.clone()));
    let folder = unfinished_export(&args.dir);
    let put_at = |path: &Path, bytes: &[u8]| disk::create(path, bytes).map_err(Failure::from);
    let put = |name: &str, bytes: &[u8]| put_at(&folder.join(name), bytes);
    let logs: Vec<_> = records
        .iter()
        .map(|record| SittingLog {
            header: &record.header,
            events: record.events.iter().map(event).collect(),
        })
        .collect();
    let logs = json::written(&logs).map_err(Failure::could_not)?;
    put(ExportFile::Sittings.name(), logs.as_bytes())?;
    let (mut reports, mut rows) = (Vec::new(), Vec::new());
    let mut without = BTreeSet::new();
    for record in &records {
        let studied = studied(catalogue, record, &limits);
        rows.extend(EvidenceRow::of(&studied).ok());
        let key = match catalogue.key_of(&record.header.paper) {
            Ok(key) => key,
            Err(none) => {
                without.insert(none.to_string());
                continue;
            }
        };
        let subject = Subject {
            analysis: analysis(record, &limits),
            remarks: Vec::new(),
            decision: record.decision.clone(),
            disputed: record.withdrawn == Some(Exclusion::Disputed),
        };
        reports.push(Report::new(subject, key, None, today).map_err(Failure::could_not)?);
    }
    let mut tables: Vec<(&str, DataTable)> =
        vec![(ExportFile::Times.name(), evidence_table(&rows))];
    if !reports.is_empty() {
        let marks = json::mark::json(&reports).map_err(Failure::could_not)?;
        put(ExportFile::Marks.name(), marks.as_bytes())?;
        tables.push((ExportFile::MarksTable.name(), table::csv::table(&reports)));
    }
    for (name, table) in &tables {
        put(
            name,
            &table.bytes(CsvForm::Rfc4180).map_err(Failure::could_not)?,
        )?;
        let about = table.metadata(name, CsvForm::Rfc4180);
        let about = about.map_err(Failure::could_not)?;
        put_at(&metadata_beside(&folder.join(name)), about.as_bytes())?;
    }
    let files: Vec<_> = copies
        .iter()
        .filter_map(|copy| copy.strip_prefix(&folder).ok())
        .map(|copy| copy.to_string_lossy().into_owned())
        .collect();
    put(
        ExportFile::Fields.name(),
        fields_page(&args.pupil, &files, &tables).as_bytes(),
    )?;
    let said = words::exported(&args.pupil, records.len(), copies.len(), &args.dir);
    let said = std::iter::once(said).chain(twice(&own.copies));
    Ok(said.chain(unread(&own.unreadable)).chain(without).collect())
}

fn event(stamped: &Stamped) -> EventLog<'_> {
    EventLog {
        at: stamped.at,
        utc: stamped
            .utc
            .to_rfc3339_opts(chrono::SecondsFormat::Millis, true),
        event: &stamped.event,
    }
}
