//! `progress`: a pupil over the season.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::failure::Failure;
use super::gather::read_all;
use super::keys::FoundKeys;
use super::outlets::{remark, written};
use super::read::{copies, studied};
use crate::analysis::Studied;
use crate::domain::header::Alias;
use crate::domain::thresholds::Thresholds;
use crate::reports::progress::{Season, json, page};
use crate::season::progress::{Line, line, progress};
use crate::storage::files;
use crate::storage::journal::{self, Listing, Record};

/// What `progress` takes.
#[derive(Debug, clap::Args)]
pub struct Words {
    /// The pupil's alias
    #[arg(value_name = "PUPIL")]
    pupil: String,
    /// Where further keys lie: folders or key files; keys beside the papers are found anyway
    #[arg(long, value_name = "DIR", num_args = 1..)]
    keys: Vec<PathBuf>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// Puts the season together and writes it; files that cannot be read go to `aside` beside JSON.
///
/// # Errors
/// No sitting of that pupil, or a thresholds file or a named key that cannot be used.
pub fn run(
    words: &Words,
    sessions: &Path,
    out: &mut dyn Write,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    let pupil = Alias::new(&words.pupil).map_err(|no| Failure::WrongWords(format!("{no}")))?;
    let season = season(pupil, sessions, &words.keys)?;
    let text = if words.json {
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
pub fn season(pupil: Alias, sessions: &Path, keys: &[PathBuf]) -> Result<Season, Failure> {
    let listing = sittings(sessions, &pupil)?;
    if listing.records.is_empty() && listing.unreadable.is_empty() {
        return Err(Failure::could_not(format!(
            "there is no sitting of `{pupil}` in {}; check the alias, or say where sittings are kept with --sessions DIR",
            sessions.display()
        )));
    }
    let limits = files::thresholds::load(sessions).map_err(Failure::could_not)?;
    let limits = Arc::new(limits);
    let mut remarks: Vec<String> = listing
        .unreadable
        .iter()
        .map(|(_, reason)| reason.to_string())
        .chain(copies(&listing))
        .collect();
    let shelf = FoundKeys::look(sessions, keys, &mut remarks)?;
    let lines = listing
        .records
        .iter()
        .map(|record| line(&with_all(record, &shelf, &limits, &mut remarks)));
    let lines: Vec<Line> = lines.collect();
    let everybody = journal::list(sessions)?;
    let marked = read_all(&everybody, &shelf.desk, &limits, |outline| {
        shelf.key_of(outline)
    });
    let outlines = listing.records.iter().map(|record| {
        let header = &record.header;
        (header.sitting.clone(), header.paper.clone())
    });
    let invented = listing.records.iter().any(|record| record.header.invented);
    Ok(Season {
        invented: invented || marked.invented,
        progress: progress(pupil, lines).on_scale(&marked.evidence, &outlines.collect()),
        remarks,
    })
}

/// The pupil's sittings: in their folder, or else anywhere among the sittings.
fn sittings(sessions: &Path, pupil: &Alias) -> Result<Listing, Failure> {
    let own = journal::list(&sessions.join(pupil.as_str()))?;
    let mut listing = if own.records.is_empty() && own.unreadable.is_empty() {
        let mut all = journal::list(sessions)?;
        all.unreadable.clear();
        all
    } else {
        own
    };
    listing
        .records
        .retain(|record| record.header.pupil == *pupil);
    Ok(listing)
}

fn with_all(
    record: &Record,
    shelf: &FoundKeys,
    limits: &Arc<Thresholds>,
    remarks: &mut Vec<String>,
) -> Studied {
    let header = &record.header;
    let notes = files::notes::load(&record.path, &header.sitting);
    let notes = notes
        .map_err(|trouble| remarks.push(trouble.to_string()))
        .ok();
    let key = shelf.key_of(&header.paper).map(Arc::new);
    let paper = shelf.desk.paper_of(&header.paper).cloned().map(Arc::new);
    Studied {
        notes,
        ..studied(record, key, paper, limits)
    }
}
