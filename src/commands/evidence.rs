//! `evidence`: how a pupil used extra time and rest breaks, as a page to print and as a table.

use std::collections::BTreeSet;
use std::io::Write;
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};

use super::failure::Failure;
use super::outlets::{remark, written};
use super::pages::{NewPage, PagePress, RemakeWords, place};
use super::read::{copies, notes_unread, studied, unread};
use super::rename::known_alias;
use super::set_aside::the_one;
use super::tables::TableArgs;
use crate::analysis::Studied;
use crate::domain::character::ShownPath as _;
use crate::domain::character::plain_line;
use crate::domain::header::Alias;
use crate::domain::notes::{Vouched, sentence_fits};
use crate::domain::standing::Use;
use crate::reports::evidence::{EvidenceRow, page, table};
use crate::storage::catalogue::Catalogue;
use crate::storage::files::notes;
use crate::words::evidence as words;
use crate::words::standing::{left_out, note_left_out};

/// What `evidence` takes.
#[derive(Debug, clap::Args)]
pub struct EvidenceArgs {
    /// The pupil's alias
    #[arg(value_name = "PUPIL", value_parser = known_alias)]
    pupil: Alias,
    /// The file to write [default: in `pages` in the folder of sittings]
    #[arg(short, long, value_name = "FILE.html", conflicts_with = "of")]
    output: Option<PathBuf>,
    /// More answer keys: folders or key files; keys beside the papers are always found
    #[arg(long, visible_alias = "key", value_name = "DIR", num_args = 1..)]
    keys: Vec<PathBuf>,
    #[command(flatten)]
    tables: TableArgs,
    /// Tick this session file for the sheet, and write no page
    #[arg(long, value_name = "SITTING")]
    of: Option<PathBuf>,
    /// You saw the time kept
    #[arg(long, requires = "of")]
    timed: bool,
    /// Somebody was there throughout
    #[arg(long, requires = "of")]
    supervised: bool,
    /// A sentence of yours for the sheet
    #[arg(long, value_name = "TEXT", requires = "of", default_value = "")]
    sentence: String,
    /// The initials beside the ticks
    #[arg(long, value_name = "INITIALS", default_value = "tutor")]
    by: String,
}

/// Why there is no sheet.
#[derive(Debug, thiserror::Error)]
enum NoSheet<'a> {
    #[error("no sittings of `{pupil}` in {}; check the alias, or name the folder of sittings with --sessions DIR", sessions.shown())]
    NoSittings {
        pupil: &'a Alias,
        sessions: &'a Path,
    },
    #[error("{} is a sitting of `{other}`, not of `{pupil}`; check the file", file.shown())]
    OtherPupil {
        file: &'a Path,
        other: &'a Alias,
        pupil: &'a Alias,
    },
}

/// Writes the sheet, or puts down the ticks of a sitting.
///
/// # Errors
/// No sitting of the pupil, a file that cannot be read, or a page that cannot be written.
pub fn run(
    args: &EvidenceArgs,
    sessions: Option<&Path>,
    now: DateTime<FixedOffset>,
    out: &mut dyn Write,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    sentence_fits(&args.sentence).map_err(Failure::wrong_words)?;
    if let Some(file) = &args.of {
        return tick(args, file, sessions, now, out);
    }
    let catalogue = Catalogue::open(sessions, &[]).with_keys(&args.keys);
    let catalogue = catalogue.map_err(Failure::could_not)?;
    let sessions = catalogue.sessions().map_err(Failure::could_not)?;
    let own = catalogue.of_pupil(&args.pupil)?;
    if own.records.is_empty() {
        let pupil = &args.pupil;
        return Err(Failure::could_not(NoSheet::NoSittings { pupil, sessions }));
    }
    let limits = catalogue.limits_in(sessions).map_err(Failure::could_not)?;
    let (mut rows, mut reasons) = (Vec::new(), Vec::new());
    let mut records = own.records.clone();
    records.sort_by_key(|record| (record.header.started, record.header.sitting.clone()));
    for record in &records {
        if let Some(reason) = record.standing().bars(Use::Evidence) {
            reasons.push(reason);
            continue;
        }
        let said = notes::load(&record.path, &record.header.sitting).ok();
        let studied = Studied {
            notes: said,
            ..studied(&catalogue, record, &limits)
        };
        rows.push(EvidenceRow::of(&studied).map_err(Failure::could_not)?);
    }
    let remarks = left_out(reasons, "").into_iter().map(note_left_out);
    let remarks: Vec<_> = remarks
        .chain(unread(&own.unreadable))
        .chain(copies(&own.copies))
        .chain(notes_unread(&records))
        .collect();
    for said in &remarks {
        remark(aside, said);
    }
    let name = format!("evidence-{}.html", args.pupil);
    let path = place(&catalogue, args.output.as_deref(), &name)?;
    let text = page(&args.pupil, &rows, &remarks);
    let sheet = NewPage::about(&path, &args.pupil);
    PagePress::new(&catalogue, args.tables.force).put(sheet, text.as_bytes(), aside)?;
    let about = |_words: RemakeWords| {
        let pupils = BTreeSet::from([args.pupil.clone()]);
        (table(&rows), pupils, Vec::new())
    };
    args.tables.write(&catalogue, "evidence", about, aside)?;
    let said = [words::written(&path), words::how_to_tick(&args.pupil)];
    written(out, &format!("{}\n", said.join("\n")))
}

fn tick(
    args: &EvidenceArgs,
    file: &Path,
    sessions: Option<&Path>,
    now: DateTime<FixedOffset>,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let record = the_one(file, sessions)?;
    let header = &record.header;
    if !header.pupil.is_same(&args.pupil) {
        return Err(Failure::wrong_words(NoSheet::OtherPupil {
            file: &record.path,
            other: &header.pupil,
            pupil: &args.pupil,
        }));
    }
    let mut said = notes::load(&record.path, &header.sitting).map_err(Failure::could_not)?;
    said.vouched.push(Vouched {
        at: now,
        timed: args.timed,
        supervised: args.supervised,
        sentence: plain_line(&args.sentence),
        by: plain_line(&args.by),
    });
    notes::save(&record.path, &said).map_err(Failure::could_not)?;
    written(out, &format!("{}\n", words::ticked(header)))
}
