//! A session file that somebody else touches while it is written: noticed within a second, and written
//! anew from memory.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
#[cfg(unix)]
use std::sync::Arc;
use std::time::Duration;
#[cfg(unix)]
use std::time::Instant;

use pacebell::domain::event::Stamped;
#[cfg(unix)]
use pacebell::storage::disk::operations::{Disk, RealDisk};
use pacebell::storage::journal::{self, Writer};
#[cfg(unix)]
use pacebell::storage::journal::{JournalError, Lock, LockError};
use tempfile::TempDir;

use crate::common::{answer, header};

const PATIENCE: Duration = Duration::from_secs(20);
/// What is promised is a second; a busy machine may wake nobody in time.
#[cfg(unix)]
const SOON: Duration = Duration::from_millis(1800);

#[cfg(unix)]
#[expect(
    clippy::disallowed_methods,
    reason = "a test measures with a clock of its own"
)]
fn now() -> Instant {
    Instant::now()
}

/// A sitting with three answers, all of them on the disk.
fn seated() -> (TempDir, PathBuf, Writer) {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("otter/a.session.ron");
    let mut writer = Writer::create(&path, &header("otter"), Box::new(|| {})).unwrap();
    for number in 1..=3 {
        writer.append(&answer(number));
    }
    assert!(writer.wait_durable(PATIENCE));
    (dir, path, writer)
}

fn events(path: &Path) -> Option<Vec<Stamped>> {
    let record = journal::read(path).ok()?;
    record.torn.is_none().then_some(record.events)
}

type Way = (&'static str, fn(&Path) -> io::Result<()>);

/// What another program may do to the file.
fn ways() -> Vec<Way> {
    fn aside(path: &Path) -> PathBuf {
        path.with_file_name("elsewhere")
    }
    fn shorter(path: &Path) -> Vec<u8> {
        let whole = fs::read(path).unwrap();
        let lines = whole.split_inclusive(|byte| *byte == b'\n');
        lines.take(2).flatten().copied().collect()
    }
    vec![
        ("removed", |path| fs::remove_file(path)),
        ("moved away", |path| fs::rename(path, aside(path))),
        ("moved away and copied back", |path| {
            fs::rename(path, aside(path))?;
            fs::copy(aside(path), path).map(drop)
        }),
        ("replaced by an earlier state", |path| {
            fs::write(aside(path), shorter(path)).unwrap();
            fs::rename(aside(path), path)
        }),
        ("restored over itself", |path| {
            fs::write(path, shorter(path))
        }),
        ("cut", |path| {
            let file = OpenOptions::new().write(true).open(path)?;
            file.set_len(100)
        }),
        ("emptied", |path| File::create(path).map(drop)),
        ("written behind", |path| {
            let mut file = OpenOptions::new().append(true).open(path)?;
            file.write_all(b"somebody else's words\n")
        }),
        // Its end and its time are what they were.
        ("last line doubled", |path| {
            let text = fs::read_to_string(path).unwrap();
            let time = fs::metadata(path)?.modified()?;
            let mut file = OpenOptions::new().append(true).open(path)?;
            file.write_all(text.split_inclusive('\n').next_back().unwrap().as_bytes())?;
            file.set_modified(time)
        }),
        ("changed in the middle", |path| {
            let text = fs::read_to_string(path).unwrap();
            std::thread::sleep(Duration::from_millis(20));
            fs::write(path, text.replacen("Answered(1,'B')", "Answered(1,'C')", 1))
        }),
    ]
}

/// Windows keeps others from an open file as its opener says (`CreateFileW`, share modes): they may read it.
#[cfg(windows)]
#[test]
fn nothing_can_be_done_to_a_file_that_is_held_but_to_read_it() {
    for (what, does) in ways() {
        let (dir, path, mut writer) = seated();
        assert!(does(&path).is_err(), "{what}");
        writer.append(&answer(4));
        assert!(writer.wait_durable(PATIENCE), "{what}");
        let whole = vec![answer(1), answer(2), answer(3), answer(4)];
        assert_eq!(events(&path), Some(whole), "{what}");
        assert_eq!(writer.saved().rewritten, 0, "{what}");
        drop((writer, dir));
    }
}

#[cfg(unix)]
#[test]
fn whatever_is_done_to_the_file_it_is_whole_again_within_a_second() {
    for (what, does) in ways() {
        let (_dir, path, mut writer) = seated();
        does(&path).unwrap();
        let since = now();
        let whole = vec![answer(1), answer(2), answer(3)];
        while events(&path).as_ref() != Some(&whole) {
            assert!(since.elapsed() < SOON, "{what}: not noticed");
            std::thread::sleep(Duration::from_millis(5));
        }
        assert!(writer.wait_durable(PATIENCE), "{what}");
    }
}

/// As in a sitting: its timekeeper looks, and the writer sleeps, at the latest once a lookout has looked a few times.
#[cfg(unix)]
#[test]
fn a_lookout_notices_all_of_it_within_a_second_for_a_writer_that_sleeps() {
    const BEAT: Duration = Duration::from_millis(500);
    let each = |(what, does): Way| {
        let (_dir, path, mut writer) = seated();
        let lookout = writer.lookout();
        for _ in 0..3 {
            std::thread::sleep(BEAT);
            lookout.look();
        }
        does(&path).unwrap();
        let since = now();
        // Alone it would look again seconds later.
        while since.elapsed() < BEAT {
            std::thread::sleep(Duration::from_millis(5));
        }
        assert_eq!(writer.saved().rewritten, 0, "{what}: it does not sleep");
        lookout.look();
        while writer.saved().rewritten == 0 {
            assert!(since.elapsed() < SOON, "{what}: not noticed");
            std::thread::sleep(Duration::from_millis(5));
        }
        assert!(writer.wait_durable(PATIENCE), "{what}");
        let whole = vec![answer(1), answer(2), answer(3)];
        assert_eq!(events(&path), Some(whole), "{what}");
        // What it has written itself is nobody else's doing.
        writer.append(&answer(4));
        lookout.look();
        assert!(writer.wait_durable(PATIENCE), "{what}");
        lookout.look();
        assert!(writer.wait_durable(PATIENCE), "{what}");
        assert_eq!(writer.saved().rewritten, 1, "{what}");
    };
    // They only wait, each for its own file.
    std::thread::scope(|scope| {
        for way in ways() {
            scope.spawn(move || each(way));
        }
    });
}

/// What has ended holds its file no longer, whoever still has the writer or looks.
#[cfg(unix)]
#[test]
fn a_writer_that_has_finished_lets_go_of_its_file() {
    let (_dir, path, mut writer) = seated();
    let lookout = writer.lookout();
    lookout.look();
    assert!(journal::is_in_use(&path));
    writer.finish().unwrap();
    lookout.look();
    assert!(!journal::is_in_use(&path));
}

/// Not even for the moment until the next look: what is told to be saved by a write is there with all
/// that was told before.
#[cfg(unix)]
#[test]
fn whatever_is_done_to_the_file_the_next_answer_is_saved_with_all_before_it() {
    for (what, does) in ways() {
        let (_dir, path, mut writer) = seated();
        does(&path).unwrap();
        writer.append(&answer(4));
        assert!(writer.wait_durable(PATIENCE), "{what}");
        let whole = vec![answer(1), answer(2), answer(3), answer(4)];
        assert_eq!(events(&path), Some(whole), "{what}");
        assert_eq!(writer.saved().durable, 4, "{what}");
    }
}

/// The words of somebody else are kept, once; what the sitting itself said before is not.
#[cfg(unix)]
#[test]
fn what_somebody_else_put_there_is_kept_beside_it_and_an_earlier_state_is_not() {
    for (what, does) in ways() {
        let (dir, path, mut writer) = seated();
        for number in 4..=6 {
            does(&path).unwrap();
            writer.append(&answer(number));
            assert!(writer.wait_durable(PATIENCE), "{what}");
        }
        let kept = fs::read_dir(dir.path().join("otter")).unwrap();
        let kept = kept.map(|entry| entry.unwrap().file_name().into_string().unwrap());
        let kept: Vec<_> = kept.filter(|name| name.contains(".other")).collect();
        let differs = match what {
            // Each time something new, since the sitting has grown.
            "written behind" | "last line doubled" | "changed in the middle" => 3,
            _ => 0,
        };
        assert_eq!(kept.len(), differs, "{what}: {kept:?}");
        assert_eq!(writer.saved().rewritten, 3, "{what}");
    }
}

/// The lock's file is removed, replaced or both; the sitting cannot be taken by a second window.
#[cfg(unix)]
#[test]
fn a_second_window_is_kept_away_whatever_became_of_the_lock() {
    let (_dir, path, mut writer) = seated();
    let (_lock, _) = Lock::take(&path).unwrap();
    let beside = path.with_file_name("a.lock");
    for replaced in [false, true] {
        fs::remove_file(&beside).unwrap();
        if replaced {
            fs::write(&beside, "").unwrap();
        }
        assert!(journal::is_in_use(&path));
        let (second, _) = Lock::take(&path).unwrap();
        let record = journal::read(&path).unwrap();
        let disk: Arc<dyn Disk> = Arc::new(RealDisk);
        let taken = Writer::resume(disk, &record, Box::new(|| {})).unwrap_err();
        assert!(matches!(taken, JournalError::InUse(_)), "{taken}");
        drop(second);
    }
    // Neither after the whole sitting was written to another file.
    fs::remove_file(&path).unwrap();
    assert!(writer.wait_durable(PATIENCE));
    assert!(journal::is_in_use(&path));
}

#[cfg(unix)]
#[test]
fn a_lock_follows_no_link_and_reads_nothing_large() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("a.session.ron");
    let beside = dir.path().join("a.lock");
    let essay = dir.path().join("essay");
    fs::write(&essay, "an essay").unwrap();
    std::os::unix::fs::symlink(&essay, &beside).unwrap();
    let refused = || {
        let refused = Lock::take(&path).unwrap_err();
        assert!(matches!(refused, LockError::NotALock(_)), "{refused}");
    };
    refused();
    assert_eq!(fs::read_to_string(&essay).unwrap(), "an essay");
    fs::remove_file(&beside).unwrap();
    fs::create_dir(&beside).unwrap();
    refused();
    fs::remove_dir(&beside).unwrap();
    let made = std::process::Command::new("mkfifo").arg(&beside).status();
    if made.is_ok_and(|made| made.success()) {
        refused();
        fs::remove_file(&beside).unwrap();
    }
    File::create(&beside).unwrap().set_len(1 << 30).unwrap();
    refused();
}

/// Windows lets nobody move a file that is held.
#[cfg(unix)]
#[test]
fn a_lock_that_somebody_removed_is_seen_not_to_be_there() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("a.session.ron");
    let (lock, _) = Lock::take(&path).unwrap();
    assert!(lock.is_in_place());
    fs::rename(dir.path().join("a.lock"), dir.path().join("b")).unwrap();
    assert!(!lock.is_in_place());
    fs::copy(dir.path().join("b"), dir.path().join("a.lock")).unwrap();
    assert!(!lock.is_in_place());
}
