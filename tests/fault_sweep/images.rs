//! The next start, on whatever a kill or a power cut has left.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use pacebell::clock::FakeClock;
use pacebell::domain::event::Ending;
use pacebell::domain::header::Arrangements;
use pacebell::domain::labels::Label;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::sitting::{Command, Phase, Sitting};
use pacebell::domain::time::Elapsed;
use pacebell::seat::{Setup, Shared};
use pacebell::storage::journal::{self, Heartbeat, JournalError, Record};

use crate::disk::CountingDisk;
use crate::sat::{FIRST, Promise, STICK, alias, paper};

/// What is known of the time used: no less was told to be saved, no more has passed.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Used {
    pub(crate) least: Elapsed,
    pub(crate) most: Elapsed,
}

/// Makes an image's files; a folder has no bytes.
pub(crate) fn make(image: &BTreeMap<PathBuf, Option<Vec<u8>>>, root: &Path) {
    // Folders come before what is in them.
    for (path, bytes) in image {
        match bytes {
            None => fs::create_dir_all(root.join(path)).unwrap(),
            Some(bytes) => fs::write(root.join(path), bytes).unwrap(),
        }
    }
}

fn answers(sitting: &Sitting) -> BTreeMap<u16, char> {
    let given = |row: &pacebell::domain::sitting::Row| {
        let option = row.standing()?.option.as_char();
        Some((row.number.0, option))
    };
    sitting.rows().iter().filter_map(given).collect()
}

/// Checks that what was promised is there, that the sitting goes on or a new one can be begun, and that no time
/// was gained.
///
/// # Errors
/// What is missing.
pub(crate) fn next_start(
    root: &Path,
    clock: &FakeClock,
    promise: &Promise,
    used: Used,
) -> Result<(), String> {
    let mut records: Vec<Arc<Record>> = Vec::new();
    for folder in [FIRST, STICK] {
        let listed = journal::list(&root.join(folder)).map_err(|error| error.to_string())?;
        // A file without a whole first line is of a sitting whose clock was never started.
        let damaged = listed.unreadable.iter();
        let mut damaged = damaged.filter(|(_, why)| !matches!(**why, JournalError::NoHeader(_)));
        if let Some((path, why)) = damaged.next() {
            return Err(format!("{} is damaged: {why}", path.display()));
        }
        records.extend(listed.records);
    }
    // Of two alike it is the one that was going on last, else the one where the sitting began.
    let heard = |record: &Record| Heartbeat::last(&record.path).map(|beat| beat.at);
    let best = records
        .iter()
        .rev()
        .max_by_key(|record| (record.events.len(), heard(record)));
    let Some(best) = best else {
        if promise.begun {
            return Err("the sitting is gone".to_owned());
        }
        return another(root, clock);
    };
    holds(promise, &best.sitting())?;
    if promise.over && !best.is_closed() {
        return Err("it was over, and is open again".to_owned());
    }
    if best.is_closed() {
        return another(root, clock);
    }
    // Like the real one, but nothing waits for it.
    let disk = Arc::new(CountingDisk::<()>::new(root, FIRST, None, false));
    let shared = Shared::go_on_with(disk, best, Arc::new(clock.clone()), Box::new(|| {}))
        .map_err(|error| format!("it does not go on: {error}"))?;
    let view = shared.view();
    holds(promise, &view.sitting)?;
    let now = view.sitting.used(view.at);
    if now < used.least || now > used.most {
        return Err(format!("{now:?} are used, not {used:?}"));
    }
    let wish = |command: Command| {
        let seen = shared.view().sitting.phase();
        shared.wish(command, seen)
    };
    let before = answers(&view.sitting);
    let five = QuestionNo(5);
    wish(Command::Answer(five, Label::new('E').unwrap())).map_err(|no| no.to_string())?;
    wish(Command::Finish).map_err(|no| no.to_string())?;
    let path = shared.finish().map_err(|trouble| trouble.to_string())?;
    let record = journal::read(&path).map_err(|error| error.to_string())?;
    let mut wanted = before;
    wanted.insert(5, 'E');
    let ended = record.sitting().phase() == Phase::Closed(Ending::FinishedEarly);
    if !record.sealed || !ended || answers(&record.sitting()) != wanted {
        return Err(format!("it does not end: {record:?}"));
    }
    another(root, clock)
}

/// Everything that showed as saved is there, or what was chosen after it.
fn holds(promise: &Promise, sitting: &Sitting) -> Result<(), String> {
    let found = answers(sitting);
    for (question, option) in &promise.answers {
        if found.get(question).is_none_or(|found| found < option) {
            return Err(format!(
                "question {question} showed {option} as saved; there is {:?}",
                found.get(question)
            ));
        }
    }
    Ok(())
}

/// Another sitting can be begun beside whatever there is.
fn another(root: &Path, clock: &FakeClock) -> Result<(), String> {
    let paper = paper();
    let setup = Setup {
        pupil: alias(),
        paper: &paper,
        minutes: None,
        arrangements: Arrangements::usual(paper.allowed),
        plan: None,
    };
    let clock = Arc::new(clock.clone());
    let disk = Arc::new(CountingDisk::<()>::new(root, FIRST, None, false));
    let new = Shared::take_on(disk, &root.join(FIRST), &setup, clock, Box::new(|| {}));
    let new = new.map_err(|error| format!("no other can be begun: {error}"))?;
    let seen = new.view().sitting.phase();
    new.wish(Command::Abandon, seen)
        .map_err(|no| no.to_string())?;
    new.finish()
        .map(|_path| ())
        .map_err(|trouble| trouble.to_string())
}
