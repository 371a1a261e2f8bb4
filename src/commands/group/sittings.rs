//! Answer sheets from sittings: their answers and their times.

use std::collections::BTreeSet;
use std::io::Write;
use std::path::PathBuf;
use std::sync::Arc;

use crate::analysis::{Analysis, QuestionPace};
use crate::cohort::entry::Entry;
use crate::cohort::items::ItemTally;
use crate::commands::failure::{Failure, Failures};
use crate::commands::read::{analysis, sheets, tell_apart};
use crate::domain::header::{Alias, Mode};
use crate::domain::marking::{Answer, Take, answers};
use crate::domain::paper::Outline;
use crate::domain::time::Elapsed;
use crate::storage::catalogue::Catalogue;
use crate::storage::journal::Record;
use crate::words::damage::torn_in;
use crate::words::standing::note;

/// Which sittings are meant, and how they count.
#[derive(Clone, Copy)]
pub(super) struct SheetsWanted<'a> {
    /// Files, folders and pupils.
    pub(super) words: &'a [PathBuf],
    /// Which answers count.
    pub(super) take: Take,
    /// Which sittings of a pupil count.
    pub(super) entry: Entry,
}

/// A paper that nobody among these sat whole.
#[derive(Debug, thiserror::Error)]
#[error(
    "none of these is a whole sitting of `{0}`; name its session files, or a folder that holds them"
)]
struct NoWholeSitting<'a>(&'a str);

/// Counts every sitting that stands for its pupil, and says whether one is invented, and whose they are.
///
/// # Errors
/// Words that mean no sitting, a named file that cannot be read, or no whole sitting of the paper.
pub(super) fn count(
    asked: &SheetsWanted<'_>,
    catalogue: &Catalogue,
    paper: &Outline,
    cohort: &mut ItemTally,
    notes: &mut dyn Write,
) -> Result<(bool, BTreeSet<Alias>), Failure> {
    let SheetsWanted { words, take, entry } = *asked;
    let meant = catalogue.sittings(words)?;
    Failures::of_named(&meant).none()?;
    let (counted, left_out) = sheets(catalogue, &meant.records, paper, entry);
    let invented = add_all(catalogue, &counted, paper, take, cohort)?;
    for line in tell_apart(&meant, &counted, &left_out, entry) {
        writeln!(notes, "{line}")?;
    }
    for record in counted.iter().filter(|record| record.torn.is_some()) {
        writeln!(notes, "{}", note(torn_in(&record.path)))?;
    }
    if counted.is_empty() {
        return Err(Failure::could_not(NoWholeSitting(&paper.id)));
    }
    let pupils = counted.iter().map(|record| record.header.pupil.clone());
    Ok((invented, pupils.collect()))
}

/// Adds answer sheets with their times, and says whether one of them is invented.
pub(super) fn add_all(
    catalogue: &Catalogue,
    records: &[Arc<Record>],
    paper: &Outline,
    take: Take,
    cohort: &mut ItemTally,
) -> Result<bool, Failure> {
    for record in records {
        let sitting = record.sitting();
        let codes: Vec<u8> = answers(&sitting, take)
            .iter()
            .map(|answer| code(*answer, paper))
            .collect();
        cohort.add(&codes).map_err(Failure::could_not)?;
        if record.header.mode == Mode::Timed {
            let limits = catalogue.limits_for(&record.path);
            let limits = limits.map_err(Failure::could_not)?;
            cohort.add_times(&seconds(&analysis(record, &limits)));
        }
    }
    Ok(records.iter().any(|record| record.header.invented))
}

/// The code of an answer: 0 for a blank, then the options from 1.
fn code(answer: Answer, paper: &Outline) -> u8 {
    let place = answer
        .given
        .and_then(|label| paper.labels(answer.number).index(label));
    place.map_or(0, |place| u8::try_from(place + 1).unwrap_or(u8::MAX))
}

/// The seconds on each question; `None` for one never opened in time, or whose time cannot be trusted.
fn seconds(analysis: &Analysis) -> Vec<Option<f64>> {
    let pace = analysis.questions().iter();
    let opened = |pace: &QuestionPace| pace.opened.and_then(|_| analysis.time_on(pace.number));
    pace.map(|pace| opened(pace).map(Elapsed::as_seconds))
        .collect()
}
