//! Answer sheets from sittings: which of them count, their answers and their times.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;
use std::path::PathBuf;

use super::GroupWords;
use crate::analysis::{Analysis, QuestionPace};
use crate::cohort::items::Cohort;
use crate::commands::failure::Failure;
use crate::commands::read::{analysis, limits_for};
use crate::domain::event::Ending;
use crate::domain::header::{Alias, Mode};
use crate::domain::marking::{Answer, Take, answers};
use crate::domain::paper::Outline;
use crate::domain::sitting::{Phase, Sitting};
use crate::domain::time::Elapsed;
use crate::storage::journal::{self, Record};
use crate::words::count::counted;

/// Why a sitting is left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum LeftOut {
    OtherPaper,
    OtherVersion,
    Open,
    GivenUp,
    Part,
}

impl LeftOut {
    const fn words(self) -> &'static str {
        match self {
            Self::OtherPaper => "of another paper",
            Self::OtherVersion => "on another version of this paper's questions",
            Self::Open => "not ended yet",
            Self::GivenUp => "given up",
            Self::Part => "on a part of the paper only",
        }
    }
}

/// Counts every sitting that holds a whole answer sheet of the paper, and says whether one is invented.
pub(super) fn count(
    words: &GroupWords,
    paper: &Outline,
    cohort: &mut Cohort,
    notes: &mut dyn Write,
) -> Result<bool, Failure> {
    let take = if words.in_time {
        Take::InTime
    } else {
        Take::WithGuessRound
    };
    let records = records(&words.sittings, notes)?;
    let invented = add_all(&records, paper, take, cohort, notes)?;
    if cohort.people() == 0 {
        return Err(Failure::could_not(format!(
            "there is no whole sitting of `{}` among these; name its session files, or the folder that holds them",
            paper.id
        )));
    }
    Ok(invented)
}

/// Each pupil's newest whole sitting of the paper.
pub(super) fn newest_whole(mut records: Vec<Record>, paper: &Outline) -> Vec<Record> {
    records.retain(|record| left_out_for(&record.sitting(), paper).is_none());
    // The newest first, so that it is the one that stays.
    records.sort_by(|one, other| {
        let (one, other) = (&one.header, &other.header);
        let newest = (other.started, &other.sitting).cmp(&(one.started, &one.sitting));
        one.pupil.cmp(&other.pupil).then(newest)
    });
    records.dedup_by(|later, first| later.header.pupil == first.header.pupil);
    records
}

/// Adds those of the sittings that are whole answer sheets, and says whether one of them is invented.
pub(super) fn add_all(
    records: &[Record],
    paper: &Outline,
    take: Take,
    cohort: &mut Cohort,
    notes: &mut dyn Write,
) -> Result<bool, Failure> {
    let first = records.first();
    let limits = first.map(|record| limits_for(&record.path, None));
    let limits = limits.transpose()?.unwrap_or_default();
    let mut invented = false;
    let mut left_out: BTreeMap<LeftOut, usize> = BTreeMap::new();
    let mut pupils: BTreeSet<Alias> = BTreeSet::new();
    let mut twice: BTreeSet<Alias> = BTreeSet::new();
    for record in records {
        let sitting = record.sitting();
        if let Some(reason) = left_out_for(&sitting, paper) {
            *left_out.entry(reason).or_default() += 1;
            continue;
        }
        invented |= sitting.header().invented;
        let pupil = &sitting.header().pupil;
        if !pupils.insert(pupil.clone()) {
            twice.insert(pupil.clone());
        }
        let codes: Vec<u8> = answers(&sitting, take)
            .iter()
            .map(|answer| code(*answer, paper))
            .collect();
        cohort.add(&codes).map_err(Failure::could_not)?;
        if sitting.header().mode == Mode::Timed {
            cohort.add_times(&seconds(&analysis(record, &limits)));
        }
    }
    for (reason, count) in &left_out {
        writeln!(
            notes,
            "note: left out {} {}",
            counted(*count, "sitting"),
            reason.words()
        )?;
    }
    if !twice.is_empty() {
        let names: Vec<&str> = twice.iter().map(Alias::as_str).collect();
        writeln!(
            notes,
            "note: every sitting counts as an answer sheet, and more than one is by {}",
            names.join(", ")
        )?;
    }
    Ok(invented)
}

/// Every session named, and every one in the folders named; each file once.
fn records(paths: &[PathBuf], notes: &mut dyn Write) -> Result<Vec<Record>, Failure> {
    let mut records: Vec<Record> = Vec::new();
    for path in paths {
        if path.is_dir() {
            let listing = journal::list(path)?;
            for (_, reason) in listing.unreadable {
                writeln!(notes, "note: left out, since it cannot be read: {reason}")?;
            }
            records.extend(listing.records);
        } else {
            records.push(journal::read(path)?);
        }
    }
    let mut seen = BTreeSet::new();
    records.retain(|record| seen.insert(record.header.sitting.clone()));
    for record in records.iter().filter(|record| record.torn.is_some()) {
        writeln!(
            notes,
            "note: {}: the last line was not written to its end and is not counted",
            record.path.display()
        )?;
    }
    Ok(records)
}

fn left_out_for(sitting: &Sitting, paper: &Outline) -> Option<LeftOut> {
    let header = sitting.header();
    if header.paper.id != paper.id {
        return Some(LeftOut::OtherPaper);
    }
    if header.paper.fingerprint != paper.fingerprint {
        return Some(LeftOut::OtherVersion);
    }
    match sitting.phase() {
        Phase::Closed(Ending::Abandoned) => Some(LeftOut::GivenUp),
        Phase::Closed(_) => {
            (!paper.numbers().all(|number| header.asks(number))).then_some(LeftOut::Part)
        }
        Phase::Running | Phase::OnBreak | Phase::TimeUp | Phase::GuessRound => Some(LeftOut::Open),
    }
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
