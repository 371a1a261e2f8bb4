//! Practice on a disk that goes wrong, and after power cuts: what was told as saved is there.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use chrono::DateTime;
use pacebell::clock::{Clock as _, SystemClock};
use pacebell::domain::labels::Label;
use pacebell::domain::practice::{PracticeEvent, PracticeMoment, PracticeStart};
use pacebell::domain::time::Elapsed;
use pacebell::storage::journal::{PracticeFile, practice_of};

use crate::campaign::{say, since};
use crate::disk::{CountingDisk, Fault, Mode, Moment};
use crate::images;
use crate::memory;
use crate::sat::{FIRST, alias};
use crate::table::Table;

/// Nobody waits that long: what goes wrong is told at once, and what is sound is saved at once.
const PATIENCE: Duration = Duration::from_secs(60);

/// What was told as saved: whether the session was begun, and how many moments of it.
type Promise = (bool, usize);

fn start() -> PracticeStart {
    PracticeStart {
        practice: "20261125-160500-0000000000000001".to_owned(),
        started: DateTime::parse_from_rfc3339("2026-11-25T16:05:00+01:00").unwrap(),
        program: "pacebell 0.1.0".to_owned(),
    }
}

fn moments() -> Vec<PracticeMoment> {
    let tried = |option| PracticeEvent::Tried {
        option: Label::new(option).unwrap(),
        unaided: true,
    };
    let events = [
        tried('B'),
        PracticeEvent::HintShown,
        tried('C'),
        PracticeEvent::WorkingShown,
        PracticeEvent::Catch("I halved it".to_owned()),
        PracticeEvent::Stopped,
    ];
    let moment = |(at, event)| PracticeMoment {
        at: Elapsed::seconds(at),
        utc: DateTime::UNIX_EPOCH,
        event,
    };
    (1..).zip(events).map(moment).collect()
}

/// Reads it back as the next start does.
///
/// # Errors
/// What is missing.
fn holds(root: &Path, promise: Promise, all: &[PracticeMoment]) -> Result<(), String> {
    let read = practice_of(&root.join(FIRST), &alias());
    if let Some(unread) = read.unread.first() {
        return Err(unread.to_string());
    }
    let found = read.logs.iter().map(|log| log.moments.as_slice());
    let longest = found.max_by_key(|moments| moments.len());
    match longest {
        None if promise.0 => Err("the session is gone".to_owned()),
        None => Ok(()),
        Some(found) if found.len() >= promise.1 && all.starts_with(found) => Ok(()),
        Some(found) => Err(format!(
            "{promise:?} were told as saved, {found:?} are there"
        )),
    }
}

/// One session: begun again on a sound disk where that goes wrong, and each move told as saved or not.
fn run(fault: Option<Fault>, wanted: bool) -> (CountingDisk<Promise>, Vec<Moment<Promise>>) {
    let folder = memory::folder();
    let root = folder.path();
    let disk = CountingDisk::<Promise>::new(root, FIRST, fault, wanted);
    let all = moments();
    let begin = || {
        let disk = Arc::new(disk.clone());
        PracticeFile::begin_on(disk, &root.join(FIRST), &alias(), &start())
    };
    let mut file = begin().unwrap_or_else(|error| {
        let said = error.to_string();
        assert!(said.contains('/') && said.len() > 40, "{said}");
        disk.mend();
        begin().expect("on a sound disk practice can be begun")
    });
    disk.promise((true, 0));
    let watch = file.watch();
    for (place, moment) in all.iter().enumerate() {
        file.record(moment);
        match file.save(PATIENCE) {
            Ok(()) => {
                assert!(watch.saved().is_all());
                disk.promise((true, place + 1));
                holds(root, (true, place + 1), &all).unwrap();
            }
            Err(error) => {
                let said = error.to_string();
                assert!(said.contains("isn't saved"), "{said}");
                assert!(!watch.saved().is_all(), "{said}");
            }
        }
        if place == 2 {
            // Somebody takes the file away, and from here on nothing is promised.
            disk.promise((false, 0));
            disk.take_away(&file.path());
        }
    }
    if file.save(PATIENCE).is_err() {
        disk.mend();
        file.save(PATIENCE).expect("on a sound disk it is saved");
    }
    disk.promise((true, all.len()));
    if file.finish().is_err() {
        disk.mend();
        file.finish().expect("on a sound disk it is saved");
    }
    holds(root, (true, all.len()), &all).unwrap();
    let moments = disk.moments();
    (disk, moments)
}

fn sweep(errors: &[i32], cuts: bool, table: &mut Table) {
    for mode in [Mode::Once, Mode::ForEver] {
        for errno in errors.iter().copied() {
            for at in 1.. {
                let fault = Fault { at, mode, errno };
                table.runs += 1;
                match catch_unwind(AssertUnwindSafe(|| run(Some(fault), cuts))) {
                    Ok((disk, moments)) => {
                        let Some((first, kind)) = disk.refused().first().cloned() else {
                            break;
                        };
                        *table.refused.entry((first, kind, mode)).or_default() += 1;
                        cut(&moments, Some(fault), table);
                    }
                    Err(why) => {
                        let why = why.downcast_ref::<String>().cloned();
                        table.failed(format!("{fault:?}: {why:?}"));
                        if table.failures.len() > 20 {
                            return;
                        }
                    }
                }
            }
        }
    }
}

fn cut(moments: &[Moment<Promise>], fault: Option<Fault>, table: &mut Table) {
    let first = fault.map_or(0, |fault| fault.at.saturating_sub(1));
    for moment in moments.iter().filter(|moment| moment.after >= first) {
        for image in moment.platter.images() {
            table.cuts += 1;
            let folder = memory::folder();
            images::make(&image, folder.path());
            if let Err(wrong) = holds(folder.path(), moment.promise, &self::moments()) {
                let after = moment.after;
                table.failed(format!(
                    "power cut after operation {after}, {fault:?}: {wrong}"
                ));
            }
        }
    }
}

#[test]
fn whatever_goes_wrong_while_practising_nothing_that_was_told_as_saved_is_lost() {
    let start = SystemClock.read().mono_ms;
    let mut table = Table::default();
    sweep(&[5], false, &mut table);
    let (disk, moments) = run(None, true);
    say(&format!(
        "{} operations: {:?}",
        disk.count(),
        disk.counted()
    ));
    cut(&moments, None, &mut table);
    table.end("practice", since(start));
    assert!(table.runs > 80 && table.cuts > 40, "{table:?}");
}

#[test]
#[ignore = "a minute long: every operation of practice refused with every error, the power cut after each"]
fn the_whole_sweep_of_practice() {
    let start = SystemClock.read().mono_ms;
    let mut table = Table::default();
    sweep(&[2, 5, 13, 28, 30], true, &mut table);
    table.end("practice, with power cuts", since(start));
}
