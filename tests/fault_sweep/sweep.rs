//! The sweep: for every operation of a sitting, a run in which it goes wrong.

use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};

use pacebell::clock::{Clock as _, FakeClock, SystemClock};
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::sitting::Command;
use pacebell::domain::time::Elapsed;
use pacebell::storage::journal::Heartbeat;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use crate::campaign::{say, since};
use crate::disk::{CountingDisk, Fault, INPUT_OUTPUT, Mode, Moment, Operation};
use crate::images::{self, Used};
use crate::memory;
use crate::sat::{FIRST, Promise, STICK, Sat};
use crate::table::Table;

/// Errors that a disk gives (`errno(3)`, Linux and macOS alike): no such file, input/output, not allowed, no room
/// left, read-only.
const ERRORS: [i32; 5] = [2, 5, 13, 28, 30];

const MODES: [Mode; 3] = [Mode::Once, Mode::ForEver, Mode::OneDisk];

/// So many failures tell what is wrong.
const ENOUGH: usize = 20;

/// Operations after which nobody knows what is on the disk, where they go wrong.
const UNCERTAIN: [Operation; 4] = [
    Operation::Write,
    Operation::Sync,
    Operation::SyncFolder,
    Operation::Rename,
];

/// After which faults the power is cut, too.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Cuts {
    None,
    /// After those of [`UNCERTAIN`].
    WhereBytesAreLost,
    All,
}

/// What a sitting does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Part {
    Beat,
    Answer(u16),
    Flag(u16),
    /// Killed, with junk behind its last line, and taken up again.
    KilledAndTorn,
    Killed,
    /// The same, and who takes it up again cannot make a new file at once.
    KilledThenRefused,
    /// Somebody removes the lock.
    LockRemoved,
    /// Somebody removes the pupil's folder, and the pupil answers a question.
    FolderRemoved(u16),
    /// Somebody removes the file while an answer is written to it.
    RemovedMeanwhile(u16),
    /// Somebody puts another file in the place of the sitting's, and the pupil answers a question.
    FileReplaced(u16),
    /// Moved to the other folder.
    Moved,
}

/// A sitting with everything in it: answers, a flag, two kills, a move.
const WHOLE: &[Part] = &[
    Part::Answer(1),
    Part::Beat,
    Part::Answer(1),
    Part::Answer(2),
    Part::Beat,
    Part::Flag(3),
    Part::KilledAndTorn,
    Part::Beat,
    Part::Answer(2),
    Part::Killed,
    Part::Answer(3),
    Part::Beat,
    Part::Moved,
    Part::Beat,
    Part::Answer(4),
    Part::Beat,
];

/// A sitting that is moved, after which nothing happens but that time goes by.
const MOVED_LAST: &[Part] = &[
    Part::Answer(1),
    Part::Beat,
    Part::Moved,
    Part::Beat,
    Part::Beat,
];

/// A sitting that is cut off as soon as anything goes wrong, once and again.
const CUT_OFF: &[Part] = &[
    Part::Answer(1),
    Part::Answer(2),
    Part::KilledAndTorn,
    Part::Killed,
    Part::Answer(3),
    Part::KilledThenRefused,
    Part::Answer(1),
];

/// A sitting whose files somebody touches; what was there before is theirs to lose, and what shows as saved after that
/// is there.
const TOUCHED: &[Part] = &[
    Part::Answer(1),
    Part::Beat,
    Part::LockRemoved,
    Part::Beat,
    Part::FolderRemoved(2),
    Part::Beat,
    Part::FileReplaced(3),
    Part::KilledAndTorn,
    Part::FileReplaced(1),
    Part::RemovedMeanwhile(2),
];

/// One run: the disk goes wrong as `fault` says. Gives its moments where they are wanted.
fn run(
    parts: &[Part],
    fault: Option<Fault>,
    wanted: bool,
) -> (CountingDisk<Promise>, Vec<Moment<Promise>>) {
    let folder = memory::folder();
    let root = folder.path();
    let disk = CountingDisk::new(root, FIRST, fault, wanted);
    let mends_itself = fault.is_none_or(|fault| fault.mode == Mode::Once);
    let mut sat = Sat::new(disk.clone(), root, mends_itself);
    sat.waits = parts != CUT_OFF;
    let own = disk.holders();
    sit(&mut sat, parts, own);
    let moments = disk.moments();
    (disk, moments)
}

fn sit(sat: &mut Sat, parts: &[Part], own: usize) {
    if let Err(error) = sat.take() {
        told(&error.to_string());
        after_a_kill(sat);
        sat.disk.mend();
        sat.take().expect("on a sound disk a sitting can be begun");
    }
    for part in parts {
        match *part {
            Part::Beat => sat.until_the_next_beat(),
            Part::Answer(question) => sat.answer(question),
            Part::Flag(question) => {
                sat.wish(Command::Flag(QuestionNo(question)));
                sat.settle();
            }
            Part::Killed | Part::KilledAndTorn | Part::KilledThenRefused => {
                if !sat.mends_itself && !sat.disk.refused().is_empty() {
                    // Nothing of what has gone wrong can be put right by anybody who comes later.
                    continue;
                }
                let path = sat.path();
                sat.kill(own);
                if matches!(part, Part::KilledAndTorn) {
                    sat.disk.append_junk(&path, b"(n:4,at:12,utc:\"2026-11-");
                }
                if matches!(part, Part::KilledThenRefused) {
                    sat.disk.refuse_next(Operation::Create);
                }
                // A time away that is not on the disk yet counts as sat by the next heartbeat, so there is none here.
                let away = Elapsed::minutes(if sat.waits { 3 } else { 0 });
                if let Err(error) = sat.go_on(away) {
                    told(&error.to_string());
                    after_a_kill(sat);
                    sat.disk.mend();
                    sat.go_on(Elapsed(away.as_millis() / 3))
                        .expect("on a sound disk it goes on");
                }
            }
            Part::LockRemoved => sat.somebody_removes_the_lock(),
            Part::FolderRemoved(question) => {
                sat.touched(|disk, path| disk.take_away(path.parent().unwrap()));
                sat.answer_after_a_touch(question);
            }
            Part::RemovedMeanwhile(question) => {
                if !sat.mends_itself && !sat.disk.refused().is_empty() {
                    continue;
                }
                sat.touched(|disk, _path| disk.remove_next(true));
                sat.answer_after_a_touch(question);
                // Where the write was refused there was nothing to remove; later it would be another touch.
                sat.disk.remove_next(false);
            }
            Part::FileReplaced(question) => {
                sat.touched(|disk, path| {
                    if path.parent().unwrap().is_dir() {
                        disk.put(path, format!("{question} is theirs").as_bytes());
                    }
                });
                sat.answer_after_a_touch(question);
            }
            Part::Moved => sat.move_to(STICK),
        }
    }
    end(sat);
}

/// An error tells its place and the way out.
fn told(error: &str) {
    assert!(error.contains('/') && error.len() > 40, "{error}");
}

/// What the next start finds if the program is killed here.
fn after_a_kill(sat: &Sat) {
    let copy = memory::folder();
    sat.copied(copy.path());
    let clock = FakeClock::new(sat.clock().local());
    clock.reboot("another boot", Elapsed::minutes(5));
    let promise = sat.promise();
    let used = Used {
        least: promise.beat_at.max(promise.saved_at),
        most: promise.used,
    };
    images::next_start(copy.path(), &clock, promise, used).unwrap();
}

fn end(sat: &mut Sat) {
    after_a_kill(sat);
    let mut finished = sat.finish();
    if let Err(trouble) = &finished {
        told(trouble);
        after_a_kill(sat);
        // The pupil's way out, where another disk is well; else somebody makes room.
        sat.move_to(STICK);
        finished = sat.finish();
    }
    let path = finished.unwrap_or_else(|_| {
        sat.disk.mend();
        sat.mends_itself = true;
        sat.finish().expect("on a sound disk it is saved")
    });
    let record = pacebell::storage::journal::read(&path).unwrap();
    assert!(record.sealed && record.is_closed());
    for (question, option) in &sat.chosen {
        let sitting = record.sitting();
        let row = sitting.row(QuestionNo(*question)).unwrap();
        assert_eq!(row.standing().unwrap().option.as_char(), *option);
    }
    after_a_kill(sat);
}

/// What the power cuts of a run would leave, from the first operation that went wrong on.
fn cut(moments: &[Moment<Promise>], table: &mut Table, fault: Option<Fault>) {
    let first = fault.map_or(0, |fault| fault.at.saturating_sub(1));
    let mut seen = BTreeMap::<_, Vec<&Promise>>::new();
    for moment in moments.iter().filter(|moment| moment.after >= first) {
        for image in moment.platter.images() {
            let promised = seen.entry(image.clone()).or_default();
            if promised.contains(&&moment.promise) {
                continue;
            }
            promised.push(&moment.promise);
            table.cuts += 1;
            let folder = memory::folder();
            images::make(&image, folder.path());
            let clock = crate::sat::clock();
            clock.advance(moment.promise.used);
            clock.reboot("another boot", Elapsed::minutes(5));
            let used = Used {
                least: moment.promise.saved_at,
                most: moment.promise.used,
            };
            let next = images::next_start(folder.path(), &clock, &moment.promise, used);
            if let Err(wrong) = next {
                let after = moment.after;
                table.failed(format!(
                    "power cut after operation {after}, {fault:?}: {wrong}"
                ));
            }
        }
    }
}

/// Runs with a fault; says whether it was met.
fn try_one(parts: &[Part], fault: Fault, cuts: Cuts, table: &mut Table) -> bool {
    table.runs += 1;
    let ran = catch_unwind(AssertUnwindSafe(|| {
        run(parts, Some(fault), cuts != Cuts::None)
    }));
    match ran {
        Ok((disk, moments)) => {
            let Some((first, kind)) = disk.refused().first().cloned() else {
                return false;
            };
            *table.refused.entry((first, kind, fault.mode)).or_default() += 1;
            let is_about_bytes = UNCERTAIN.contains(&first);
            if cuts == Cuts::All || cuts == Cuts::WhereBytesAreLost && is_about_bytes {
                cut(&moments, table, Some(fault));
            }
        }
        Err(why) => {
            let why = why.downcast_ref::<String>().cloned();
            table.failed(format!("{fault:?} in {parts:?}: {why:?}"));
            // A run that always goes wrong has no last operation.
            return table.failures.len() < ENOUGH;
        }
    }
    true
}

/// Sweeps a sitting: every operation refused, in each mode, with each error. Most of a run is waiting, so the modes go
/// side by side.
fn sweep(parts: &[Part], errors: &[i32], cuts: Cuts, table: &mut Table) {
    std::thread::scope(|scope| {
        let one = |mode| {
            move || {
                let mut table = Table::default();
                for errno in errors.iter().copied() {
                    let mut faults = (1..).map(|at| Fault { at, mode, errno });
                    while try_one(parts, faults.next().unwrap(), cuts, &mut table) {}
                }
                table
            }
        };
        for own in MODES.map(|mode| scope.spawn(one(mode))) {
            table.add(own.join().unwrap());
        }
    });
}

/// Another sitting of the same parts, in any order.
fn drawn(random: &mut ChaCha8Rng) -> Vec<Part> {
    let mut answers = BTreeMap::<u16, u16>::new();
    let mut next = || match random.random_range(0..20) {
        0 => Part::Killed,
        1 => Part::KilledAndTorn,
        2 => Part::Moved,
        3 | 4 => Part::Flag(random.random_range(1..=5)),
        5..=10 => {
            let question = random.random_range(1..=4);
            let given = answers.entry(question).or_default();
            *given += 1;
            if *given > 5 {
                Part::Beat
            } else {
                Part::Answer(question)
            }
        }
        _ => Part::Beat,
    };
    let mut parts: Vec<_> = (0..30).map(|_| next()).collect();
    // It is taken up again where it began.
    let moved = |part: &Part| matches!(part, Part::Moved);
    if let Some(at) = parts.iter().position(moved) {
        let killed = |part: &Part| matches!(part, Part::Killed | Part::KilledAndTorn);
        let after = parts.split_off(at + 1);
        let after = after.into_iter();
        parts.extend(after.filter(|part| !killed(part) && !moved(part)));
    }
    parts
}

#[test]
fn whatever_operation_goes_wrong_nothing_that_showed_as_saved_is_lost() {
    let start = SystemClock.read().mono_ms;
    let mut table = Table::default();
    sweep(WHOLE, &[INPUT_OUTPUT], Cuts::None, &mut table);
    sweep(MOVED_LAST, &[INPUT_OUTPUT], Cuts::None, &mut table);
    table.end("every operation refused", since(start));
    assert!(table.runs > 200, "only {} runs", table.runs);
    table.has_reached(&[
        (Operation::Sync, "ron"),
        (Operation::Sync, "lock"),
        (Operation::Rename, "moved"),
        (Operation::Create, "moved-from"),
        (Operation::Sync, "moved-from"),
        (Operation::SyncFolder, ""),
        (Operation::SyncFolder, "stick"),
        (Operation::SyncFolder, "stick/otter"),
    ]);
}

#[test]
fn whenever_the_power_fails_nothing_that_showed_as_saved_is_lost() {
    let start = SystemClock.read().mono_ms;
    let mut table = Table::default();
    let (disk, moments) = run(WHOLE, None, true);
    let (count, counted) = (disk.count(), disk.counted());
    say(&format!("{count} operations: {counted:?}"));
    cut(&moments, &mut table, None);
    table.end("the power cut after every operation", since(start));
    assert!(table.cuts > 200, "only {} power cuts", table.cuts);
}

#[test]
fn whoever_touches_the_files_what_shows_as_saved_after_that_is_not_lost() {
    let start = SystemClock.read().mono_ms;
    let mut table = Table::default();
    let (_disk, moments) = run(TOUCHED, None, true);
    cut(&moments, &mut table, None);
    sweep(
        TOUCHED,
        &[INPUT_OUTPUT],
        Cuts::WhereBytesAreLost,
        &mut table,
    );
    table.end("files touched, every operation refused", since(start));
    table.has_reached(&[
        (Operation::Look, "lock"),
        (Operation::Lock, "part"),
        (Operation::Create, "torn"),
        (Operation::Sync, "torn"),
        (Operation::Create, "part"),
        (Operation::Sync, "part"),
        (Operation::Rename, "ron"),
        (Operation::Rename, "other"),
        (Operation::MakeFolder, "sessions/otter"),
        (Operation::SyncFolder, "sessions/otter"),
        (Operation::SyncFolder, "sessions"),
    ]);
}

/// The heartbeat is brought to the disk every ten seconds: what a power cut gives is no more than that.
#[test]
fn a_power_cut_gives_no_more_than_ten_seconds() {
    let parts: Vec<_> = [Part::Answer(1)]
        .into_iter()
        .chain([Part::Beat; 50])
        .collect();
    let (_disk, moments) = run(&parts, None, true);
    let mut looked = 0;
    let mut last = None;
    for moment in moments.iter().filter(|moment| !moment.promise.over) {
        let used = moment.promise.used;
        if used == Elapsed::ZERO || last == Some(used) {
            continue;
        }
        last = Some(used);
        // Nothing but what is there for certain.
        let image = moment.platter.images().swap_remove(0);
        let folder = memory::folder();
        images::make(&image, folder.path());
        let session = image
            .keys()
            .find(|path| path.extension().is_some_and(|own| own == "ron"));
        let beat = Heartbeat::last(&folder.path().join(session.unwrap()));
        let beat = beat.expect("there is a heartbeat");
        assert!(used <= beat.at + Elapsed(10_500), "{used:?} used, {beat:?}");
        looked += 1;
    }
    assert_eq!(looked, 50);
}

/// A failed sync says nothing about the next one: what a killed program left may be lost although it can be read.
#[test]
fn whoever_is_cut_off_in_trouble_and_goes_on_is_shown_as_saved_only_what_is() {
    let start = SystemClock.read().mono_ms;
    let mut table = Table::default();
    for at in 1.. {
        let (mode, errno) = (Mode::Once, INPUT_OUTPUT);
        let fault = Fault { at, mode, errno };
        if !try_one(CUT_OFF, fault, Cuts::WhereBytesAreLost, &mut table) {
            break;
        }
    }
    table.end("cut off in trouble", since(start));
    table.has_reached(&[
        (Operation::Write, "ron"),
        (Operation::Sync, "ron"),
        (Operation::Sync, "part"),
        (Operation::Rename, "ron"),
    ]);
}

/// `PACEBELL_SEED` chooses the drawn sittings, `PACEBELL_DRAWN` how many there are.
#[test]
#[ignore = "minutes long: every operation refused with every error, the power cut after each, and drawn sittings"]
fn the_whole_sweep() {
    let start = SystemClock.read().mono_ms;
    let mut table = Table::default();
    sweep(WHOLE, &ERRORS, Cuts::None, &mut table);
    sweep(MOVED_LAST, &ERRORS, Cuts::None, &mut table);
    table.end("every operation refused with every error", since(start));

    let start = SystemClock.read().mono_ms;
    let mut table = Table::default();
    sweep(WHOLE, &[INPUT_OUTPUT], Cuts::All, &mut table);
    table.end(
        "every operation refused, and the power cut after each",
        since(start),
    );

    let start = SystemClock.read().mono_ms;
    let mut table = Table::default();
    sweep(TOUCHED, &[INPUT_OUTPUT], Cuts::All, &mut table);
    sweep(CUT_OFF, &[INPUT_OUTPUT], Cuts::All, &mut table);
    table.end(
        "files touched, and cut off in trouble, the power cut after each",
        since(start),
    );

    let start = SystemClock.read().mono_ms;
    let mut table = Table::default();
    let number = |name: &str| std::env::var(name).ok()?.parse().ok();
    let seed = number("PACEBELL_SEED").unwrap_or_else(rand::random);
    say(&format!("seed {seed}"));
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    for _ in 0..number("PACEBELL_DRAWN").unwrap_or(5000) {
        let parts = drawn(&mut random);
        let fault = Fault {
            at: random.random_range(1..180),
            mode: MODES[random.random_range(0..MODES.len())],
            errno: ERRORS[random.random_range(0..ERRORS.len())],
        };
        try_one(&parts, fault, Cuts::None, &mut table);
    }
    table.end(&format!("drawn sittings, seed {seed}"), since(start));
}
