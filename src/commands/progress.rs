//! `progress`: a pupil over the season.

use std::collections::BTreeSet;
use std::io::Write;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::failure::Failure;
use super::outlets::{remark, written};
use super::pages::RemakeWords;
use super::read::{copies, mark_all, practised, studied, unread};
use super::tables::TableArgs;
use crate::analysis::Studied;
use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;
use crate::reports::progress::{PracticeReport, Season, csv, json, page};
use crate::season::familiarity::MetInPractice;
use crate::season::progress::{line, progress};
use crate::season::step::steps;
use crate::storage::catalogue::Catalogue;
use crate::storage::files;
use crate::storage::journal::practice_of;
use crate::words::standing::notes_unread;
use crate::words::tutor::past_keeping;

/// What `progress` takes.
#[derive(Debug, clap::Args)]
pub struct ProgressArgs {
    /// The pupil's alias
    #[arg(value_name = "PUPIL")]
    pupil: String,
    /// More answer keys: folders or key files; keys beside the papers are always found
    #[arg(long, visible_alias = "key", value_name = "DIR", num_args = 1..)]
    keys: Vec<PathBuf>,
    /// Print JSON
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    tables: TableArgs,
}

/// A pupil who has sat nothing.
#[derive(Debug, thiserror::Error)]
#[error("no sittings of `{pupil}` in {}; check the alias, or name the folder of sittings with --sessions DIR", sessions.shown())]
struct NoSeason<'a> {
    pupil: &'a Alias,
    sessions: &'a Path,
}

/// Puts the season together and writes it; files that cannot be read go to `aside` beside JSON.
///
/// # Errors
/// No sitting of that pupil, or a thresholds file or a named key that cannot be used.
pub fn run(
    args: &ProgressArgs,
    sessions: Option<&Path>,
    today: NaiveDate,
    out: &mut dyn Write,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    args.tables
        .not_an_input(args.keys.iter().map(PathBuf::as_path))?;
    let pupil = Alias::new(&args.pupil).map_err(Failure::wrong_words)?;
    let catalogue = Catalogue::open(sessions, &[]).with_keys(&args.keys);
    let catalogue = catalogue.map_err(Failure::could_not)?;
    let season = season(pupil, &catalogue, today)?;
    let about = |_words: RemakeWords| {
        let pupils = BTreeSet::from([season.progress.pupil.clone()]);
        (csv::table(&season.progress), pupils, Vec::new())
    };
    args.tables.write(&catalogue, "progress", about, aside)?;
    let text = if args.json {
        for said in &season.remarks {
            remark(aside, said);
        }
        json::json(&season).map_err(Failure::could_not)?
    } else {
        page(&season)
    };
    written(out, &text)
}

/// A pupil's season from the files.
///
/// # Errors
/// No sitting of that pupil, or a thresholds file or a named key that cannot be used.
pub fn season(pupil: Alias, catalogue: &Catalogue, today: NaiveDate) -> Result<Season, Failure> {
    let sessions = catalogue.sessions().map_err(Failure::could_not)?;
    let own = catalogue.of_pupil(&pupil)?;
    if own.is_empty() {
        return Err(Failure::could_not(NoSeason {
            pupil: &pupil,
            sessions,
        }));
    }
    let limits = catalogue.limits_in(sessions).map_err(Failure::could_not)?;
    let mut remarks: Vec<String> = unread(&own.unreadable).collect();
    remarks.extend(copies(&own.copies));
    remarks.extend(catalogue.troubles().iter().map(ToString::to_string));
    let register = catalogue.register().map_err(Failure::could_not)?;
    let paper_on = register.and_then(|register| register.pupil(&pupil)?.paper_on);
    if let Some(register) = register {
        let past = register
            .past_keeping(today)
            .filter(|(alias, _)| alias.is_same(&pupil));
        remarks.extend(past_keeping(past));
    }
    let (mut lines, mut sittings) = (Vec::new(), Vec::new());
    for record in &own.records {
        let notes = files::notes::load(&record.path, &record.header.sitting);
        let notes = notes.map_err(|trouble| remarks.push(notes_unread(trouble)));
        let studied = Studied {
            notes: notes.ok(),
            ..studied(catalogue, record, &limits)
        };
        lines.push(line(&studied));
        sittings.push(studied);
    }
    let read = practice_of(sessions, &pupil);
    let met = MetInPractice::of(&pupil, &read.logs);
    let (practice, unread) = practised(catalogue, &read, &sittings);
    remarks.extend(unread);
    let everybody = catalogue.listing(sessions)?;
    let marked = mark_all(catalogue, &everybody, &limits, None);
    let outlines = own.records.iter().map(|record| {
        let header = &record.header;
        (header.sitting.clone(), header.paper.clone())
    });
    let invented = own.records.iter().any(|record| record.header.invented);
    Ok(Season {
        invented: invented || marked.invented,
        progress: progress(pupil, lines, &met).on_scale(&marked.evidence, &outlines.collect()),
        practice: PracticeReport {
            season: practice,
            today,
            paper_on,
        },
        steps: steps(&sittings),
        remarks,
    })
}
