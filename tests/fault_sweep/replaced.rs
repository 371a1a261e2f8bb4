//! Files that are replaced as a whole, keys, registers, notes and pages: after a power cut the old one or the new one
//! is there to its last byte, and the new one once that was said. A file that must be new, a plan, a sample paper, an
//! export, is there to its last byte or isn't.

use std::fs;
use std::io;
use std::path::Path;

use pacebell::clock::{Clock as _, SystemClock};
use pacebell::storage::disk::operations::Disk;
use pacebell::storage::disk::{Rights, create_on, put_on, replace_on};

use crate::campaign::since;
use crate::disk::{CountingDisk, Fault, INPUT_OUTPUT, Mode, Moment, Operation};
use crate::memory;
use crate::sat::FIRST;
use crate::table::Table;

const NAME: &str = "sessions/register.ron";

type Way = (&'static str, fn(&dyn Disk, &Path, &[u8]) -> io::Result<()>);

const WAYS: [Way; 3] = [
    ("put", |disk, path, bytes| put_on(disk, path, bytes)),
    ("replaced", |disk, path, bytes| {
        replace_on(disk, path, bytes, Rights::Owner)
    }),
    ("replaced with its rights", |disk, path, bytes| {
        replace_on(disk, path, bytes, Rights::AsBefore)
    }),
];

/// What may be there: states of the file by their numbers, from one up to another. State 0 is what was there before.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Promise {
    least: usize,
    most: usize,
}

/// A file's states; the first is no file at all where `is_new`.
fn states(is_new: bool) -> [Option<Vec<u8>>; 3] {
    let text = |word: &str, times| Some(word.repeat(times).into_bytes());
    let before = if is_new { None } else { text("before ", 900) };
    [before, text("first ", 40), text("second ", 1300)]
}

/// Puts the second state, and the third, in the place of the first; one that goes wrong is done again on a sound disk.
fn run(
    way: Way,
    is_new: bool,
    fault: Option<Fault>,
) -> (CountingDisk<Promise>, Vec<Moment<Promise>>) {
    let folder = memory::folder();
    let path = folder.path().join(NAME);
    fs::create_dir(folder.path().join(FIRST)).unwrap();
    let states = states(is_new);
    if let Some(before) = &states[0] {
        fs::write(&path, before).unwrap();
    }
    // Somebody was killed half way.
    let left = path.with_file_name(".register.ron.0123456789abcdef.part");
    fs::write(left, "half").unwrap();
    let disk = CountingDisk::new(folder.path(), FIRST, fault, true);
    for state in 1..states.len() {
        disk.promise(Promise {
            least: state - 1,
            most: state,
        });
        let bytes = states[state].as_deref().unwrap();
        if (way.1)(&disk, &path, bytes).is_err() {
            let now = fs::read(&path).ok();
            let known = &states[state - 1..=state];
            assert!(known.contains(&now), "{now:?} is neither");
            disk.mend();
            (way.1)(&disk, &path, bytes).expect("on a sound disk it is replaced");
        }
        disk.promise(Promise {
            least: state,
            most: state,
        });
        assert_eq!(fs::read(&path).unwrap(), bytes);
    }
    let names = fs::read_dir(folder.path().join(FIRST)).unwrap();
    assert_eq!(names.count(), 1, "nothing is left beside it");
    let moments = disk.moments();
    (disk, moments)
}

fn cut(moments: &[Moment<Promise>], is_new: bool, what: &str, table: &mut Table) {
    let states = states(is_new);
    for moment in moments {
        for image in moment.platter.images() {
            table.cuts += 1;
            let there = image.get(Path::new(NAME)).cloned().flatten();
            let Promise { least, most } = moment.promise;
            if !states[least..=most].contains(&there) {
                let there = there.map(|bytes| String::from_utf8_lossy(&bytes).into_owned());
                table.failed(format!(
                    "{what}, power cut after operation {}: {:?} may be there, {there:?} is",
                    moment.after, moment.promise
                ));
            }
        }
    }
}

/// Every operation of a run refused in turn, and the power cut after each; gives how many a sound run has.
fn sweep(
    what: &str,
    is_new: bool,
    run: impl Fn(Option<Fault>) -> (CountingDisk<Promise>, Vec<Moment<Promise>>),
    table: &mut Table,
) -> u64 {
    let (sound, moments) = run(None);
    cut(&moments, is_new, what, table);
    for mode in [Mode::Once, Mode::ForEver] {
        for at in 1.. {
            let errno = INPUT_OUTPUT;
            let fault = Fault { at, mode, errno };
            let (disk, moments) = run(Some(fault));
            table.runs += 1;
            let Some((first, kind)) = disk.refused().first().cloned() else {
                break;
            };
            *table.refused.entry((first, kind, mode)).or_default() += 1;
            cut(&moments, is_new, &format!("{what} {fault:?}"), table);
        }
    }
    sound.count()
}

#[test]
fn whatever_goes_wrong_and_whenever_the_power_fails_the_old_file_or_the_new_one_is_there() {
    let start = SystemClock.read().mono_ms;
    let mut table = Table::default();
    for (way, is_new) in WAYS.into_iter().flat_map(|way| [(way, false), (way, true)]) {
        let operations = sweep(way.0, is_new, |fault| run(way, is_new, fault), &mut table);
        assert!(operations >= 12, "only {operations} operations: {}", way.0);
    }
    table.end("files replaced", since(start));
    table.has_reached(&[
        (Operation::Create, "part"),
        (Operation::Write, "part"),
        (Operation::Sync, "part"),
        (Operation::Rename, "ron"),
        (Operation::SyncFolder, "sessions"),
        (Operation::Remove, "part"),
    ]);
}

/// Makes a file that must be new, beside what a killed program left; one that goes wrong is made again on a sound disk.
fn run_new(fault: Option<Fault>) -> (CountingDisk<Promise>, Vec<Moment<Promise>>) {
    let folder = memory::folder();
    let path = folder.path().join(NAME);
    fs::create_dir(folder.path().join(FIRST)).unwrap();
    let left = path.with_file_name(".register.ron.0123456789abcdef.part");
    fs::write(left, "half").unwrap();
    let disk = CountingDisk::new(folder.path(), FIRST, fault, true);
    disk.promise(Promise { least: 0, most: 1 });
    let states = states(true);
    let bytes = states[1].as_deref().unwrap();
    if create_on(&disk, &path, bytes).is_err() {
        // Where nothing can be removed any more it stays, whole.
        let stays = fault.is_some_and(|fault| fault.mode == Mode::ForEver);
        let now = fs::read(&path).ok();
        assert!(now.is_none() || stays && now == states[1], "{now:?}");
        disk.mend();
        fs::remove_file(&path).ok();
        create_on(&disk, &path, bytes).expect("on a sound disk it is made");
    }
    disk.promise(Promise { least: 1, most: 1 });
    let again = create_on(&disk, &path, b"other").unwrap_err();
    assert_eq!(again.kind(), io::ErrorKind::AlreadyExists);
    assert_eq!(fs::read(&path).unwrap(), bytes);
    let names = fs::read_dir(folder.path().join(FIRST)).unwrap();
    assert_eq!(names.count(), 1, "nothing is left beside it");
    let moments = disk.moments();
    (disk, moments)
}

#[test]
fn whatever_goes_wrong_and_whenever_the_power_fails_a_new_file_is_whole_or_not_there() {
    let start = SystemClock.read().mono_ms;
    let mut table = Table::default();
    sweep("made", true, run_new, &mut table);
    table.end("new files", since(start));
    table.has_reached(&[
        (Operation::Create, "part"),
        (Operation::Write, "part"),
        (Operation::Sync, "part"),
        (Operation::Rename, "ron"),
        (Operation::SyncFolder, "sessions"),
    ]);
}
