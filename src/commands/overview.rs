//! `overview`: a group's term, as text, as a page to look at and to print, and as tables.

use std::collections::{BTreeMap, BTreeSet};
use std::io;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;

use super::failure::Failure;
use super::outlets::{remark, written};
use super::pages::{ForceArg, NewPage, PagePress, RemakeWords, place};
use super::read::{copies, notes_unread, practised, sheets, studied, unread_as};
use super::tables::{csv_form, put_table};
use crate::analysis::Studied;
use crate::cohort::entry::Entry;
use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;
use crate::domain::paper::PaperId;
use crate::domain::standing::Exclusion;
use crate::reports::overview::{OverviewReport, csv, outside, page, text};
use crate::season::overview::{Overview, PupilTerm};
use crate::storage::catalogue::Catalogue;
use crate::storage::cores;
use crate::storage::disk;
use crate::storage::files::notes;
use crate::storage::journal::{Record, practice_of};
use crate::words::overview as words;
use crate::words::standing::{left_out, note_left_out, note_unread};

/// What `overview` takes.
#[derive(Debug, clap::Args)]
pub struct OverviewArgs {
    /// The file to write [default: prints the text, and writes a page into `pages` in the folder of sittings]
    #[arg(short, long, value_name = "FILE.html")]
    output: Option<PathBuf>,
    /// Write every table into this folder as CSV, each with FILE-metadata.json (CSVW) beside it
    #[arg(long, value_name = "DIR")]
    csv: Option<PathBuf>,
    /// Write the CSV so that a spreadsheet opens it: byte order mark, your country's separator and decimal
    /// comma, no text that could be a formula
    #[arg(long, requires = "csv")]
    for_spreadsheet: bool,
    /// For people outside, such as a head of department: no pupil's row, and every figure only as a range
    #[arg(long)]
    outside: bool,
    /// More answer keys: folders or key files; keys beside the papers are always found
    #[arg(long, visible_alias = "key", value_name = "DIR", num_args = 1..)]
    keys: Vec<PathBuf>,
    #[command(flatten)]
    force: ForceArg,
}

/// Why there is no overview.
#[derive(Debug, thiserror::Error)]
enum NoOverview<'a> {
    #[error("no sittings in {}; name the folder of sittings with --sessions DIR", .0.shown())]
    NoSittings(&'a Path),
    #[error("cannot make the folder {} ({error}); name another with --csv", dir.shown())]
    FolderNotMade { dir: &'a Path, error: io::Error },
    #[error("{} has tables in which pupils have rows ({}), and they would be handed on with this one; name another folder with --csv", dir.shown(), tables.join(", "))]
    AmongPupils {
        dir: &'a Path,
        tables: Vec<&'static str>,
    },
}

/// Puts the term together and writes it.
///
/// # Errors
/// No sittings, thresholds, a register or a named key that cannot be used, or a file that cannot be written.
pub fn run(
    args: &OverviewArgs,
    sessions: Option<&Path>,
    today: NaiveDate,
    out: &mut dyn Write,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    let catalogue = Catalogue::open(sessions, &[]).with_keys(&args.keys);
    let catalogue = catalogue.map_err(Failure::could_not)?;
    let report = report(&catalogue, today)?;
    let press = PagePress::new(&catalogue, args.force);
    let rows = report.overview.pupils.iter();
    let pupils: BTreeSet<Alias> = rows.map(|row| row.pupil.clone()).collect();
    if let Some(dir) = &args.csv {
        if args.outside {
            let tables = csv::NAMES.into_iter();
            let tables: Vec<_> = tables.filter(|name| dir.join(name).exists()).collect();
            if !tables.is_empty() {
                return Err(Failure::could_not(NoOverview::AmongPupils { dir, tables }));
            }
        }
        disk::create_private_dir_all(dir)
            .map_err(|error| Failure::could_not(NoOverview::FolderNotMade { dir, error }))?;
        let tables = if args.outside {
            vec![outside::table(&report)]
        } else {
            csv::tables(&report)
        };
        for (name, table) in &tables {
            let words = args.words(sessions).with("--csv", [dir.as_path()]);
            let new = NewPage {
                path: &dir.join(name),
                pupils: pupils.clone(),
                words: words
                    .flag("--for-spreadsheet", args.for_spreadsheet)
                    .words(None),
            };
            put_table(&press, new, table, csv_form(args.for_spreadsheet), aside)?;
        }
        written(
            out,
            &format!("{}\n", words::tables_written(dir, tables.len())),
        )?;
        if args.output.is_none() {
            args.once(aside);
            return Ok(());
        }
    }
    if args.output.is_none() {
        let text = if args.outside {
            outside::text(&report)
        } else {
            text::page(&report)
        };
        written(out, &text)?;
    } else {
        for said in &report.remarks {
            remark(aside, said);
        }
    }
    let name = if args.outside {
        "overview-outside.html"
    } else {
        "overview.html"
    };
    let path = place(&catalogue, args.output.as_deref(), name)?;
    let html = if args.outside {
        outside::page(&report)
    } else {
        page::page(&report)
    };
    let new = NewPage {
        path: &path,
        pupils,
        words: args
            .words(sessions)
            .with("-o", [path.as_path()])
            .words(None),
    };
    press.put(new, html.as_bytes(), aside)?;
    args.once(aside);
    written(out, &format!("{}\n", words::written(&path)))
}

impl OverviewArgs {
    /// What the tutor has to know before it is handed on, and nobody who gets it.
    fn once(&self, aside: &mut dyn Write) {
        if self.outside {
            remark(aside, words::OUTSIDE_ONCE);
        }
    }

    /// The words that make the same again, up to where it goes.
    fn words(&self, sessions: Option<&Path>) -> RemakeWords {
        let words = RemakeWords::of("overview").flag("--outside", self.outside);
        let words = words.with("--keys", self.keys.iter().map(PathBuf::as_path));
        words.with("--sessions", sessions)
    }
}

/// The term of everybody who has sat something, and of whoever is in the register.
///
/// # Errors
/// No sittings, or thresholds or a register that cannot be used.
pub(super) fn report(catalogue: &Catalogue, today: NaiveDate) -> Result<OverviewReport, Failure> {
    let sessions = catalogue.sessions().map_err(Failure::could_not)?;
    let listing = catalogue.listing(sessions)?;
    if listing.records.is_empty() {
        return Err(Failure::could_not(NoOverview::NoSittings(sessions)));
    }
    let limits = catalogue.limits_in(sessions).map_err(Failure::could_not)?;
    let register = catalogue.register().map_err(Failure::could_not)?;
    let (counted, reasons) = counted(catalogue, &listing.records);
    let mut remarks: Vec<String> = left_out(reasons, "").iter().map(note_left_out).collect();
    remarks.extend(unread_as(&listing.unreadable, note_unread));
    remarks.extend(catalogue.troubles().iter().map(ToString::to_string));
    remarks.extend(copies(&listing.copies));
    remarks.extend(notes_unread(&listing.records));
    let mut own = BTreeMap::<Alias, Vec<&Arc<Record>>>::new();
    for record in &listing.records {
        own.entry(record.header.pupil.clone())
            .or_default()
            .push(record);
    }
    for pupil in register.iter().flat_map(|register| &register.pupils) {
        if !own.keys().any(|alias| alias.is_same(&pupil.alias)) {
            own.insert(pupil.alias.clone(), Vec::new());
        }
    }
    let own: Vec<_> = own.into_iter().collect();
    let terms = cores::map(&own, |(pupil, records)| {
        let sittings: Vec<_> = records
            .iter()
            .map(|record| Studied {
                notes: notes::load(&record.path, &record.header.sitting).ok(),
                ..studied(catalogue, record, &limits)
            })
            .collect();
        let (practice, unread) = practised(catalogue, &practice_of(sessions, pupil), &sittings);
        let paper_on = register.and_then(|register| register.pupil(pupil)?.paper_on);
        let term = PupilTerm::new(pupil.clone(), sittings, practice, paper_on);
        (term, unread)
    });
    let (terms, unread): (Vec<_>, Vec<_>) = terms.into_iter().unzip();
    remarks.extend(unread.into_iter().flatten());
    Ok(OverviewReport {
        overview: Overview::of(terms, &counted, &limits),
        group: register.and_then(|register| register.group.clone()),
        invented: listing.records.iter().any(|own| own.header.invented),
        remarks,
        today,
    })
}

/// The ids of the sittings that count as sheets of their papers, and why the others don't.
fn counted(catalogue: &Catalogue, records: &[Arc<Record>]) -> (BTreeSet<String>, Vec<Exclusion>) {
    let mut papers = BTreeMap::<PaperId, Vec<Arc<Record>>>::new();
    for record in records {
        let paper = PaperId::of(&record.header.paper);
        papers.entry(paper).or_default().push(Arc::clone(record));
    }
    let (mut counted, mut reasons) = (BTreeSet::new(), Vec::new());
    for own in papers.values() {
        let Some(first) = own.first() else { continue };
        let (sheets, left_out) = sheets(catalogue, own, &first.header.paper, Entry::Every);
        counted.extend(sheets.iter().map(|record| record.header.sitting.clone()));
        reasons.extend(left_out.into_iter().map(|(_, reason)| reason));
    }
    (counted, reasons)
}
