//! `repair`: what can be read stays, what was there is kept, and nobody gains a clock or a second by it.

use std::fs;
use std::path::PathBuf;

use pacebell::domain::notes::Ruling;
use pacebell::storage::files::notes;
use pacebell::storage::journal::{self, Heartbeat};

use crate::old::OldFiles;

fn beside(session: &str, ending: &str) -> String {
    session.replace(".session.ron", ending)
}

/// A digit changed in the record of this line, from 0.
fn spoil(text: &str, line: usize) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let at = lines[line].find("at:").unwrap() + 3;
    let digit = if lines[line].as_bytes()[at] == b'9' {
        "8"
    } else {
        "9"
    };
    lines[line].replace_range(at..=at, digit);
    lines.join("\n") + "\n"
}

#[test]
fn a_damaged_sitting_that_had_ended_is_kept_whole_beside_and_counts_no_more() {
    let files = OldFiles::copied();
    let session = files.sitting("marten", "a");
    let path = files.path().join(&session);
    let sound = fs::read_to_string(&path).unwrap();
    let before = journal::read(&path).unwrap();
    let spoilt = spoil(&sound, 12);
    fs::write(&path, &spoilt).unwrap();
    let answer = files.run(&format!("repair {session}"));
    assert_eq!(answer.code, Some(0), "{answer:?}");
    let kept = files.path().join(beside(&session, ".damaged"));
    assert_eq!(fs::read_to_string(&kept).unwrap(), spoilt);
    let now = journal::read(&path).unwrap();
    assert_eq!(
        now.events,
        before.events[..11],
        "the lines before the damage"
    );
    let decisions = notes::load(&path, &now.header.sitting).unwrap().decisions;
    let last = decisions.last().map(|Ruling { counts, .. }| *counts);
    assert_eq!(last, Some(false), "{decisions:?}");
    let open = journal::open_sittings(&files.path().join("sessions"), None).unwrap();
    assert!(open.records.is_empty(), "nobody carries on with it");
    // Where nothing is wrong, nothing is done.
    let again = files.run(&format!("repair {session}"));
    assert!(again.out.contains("nothing to repair"), "{again:?}");
    assert!(!files.path().join(beside(&session, ".damaged-2")).exists());
}

#[test]
fn a_damaged_open_sitting_goes_on_no_earlier_than_it_was_last_going_on() {
    let files = OldFiles::copied();
    let session = files.sitting("marten", "a");
    let path = files.path().join(&session);
    let sound = fs::read_to_string(&path).unwrap();
    let last = journal::read(&path).unwrap().events[18].at;
    let lines: Vec<_> = sound.lines().take(20).collect();
    fs::write(&path, spoil(&(lines.join("\n") + "\n"), 12)).unwrap();
    let answer = files.run(&format!("repair {session}"));
    assert_eq!(answer.code, Some(0), "{answer:?}");
    let now = journal::read(&path).unwrap();
    assert_eq!(now.events.len(), 11);
    assert!(now.is_open());
    let beat = Heartbeat::last(&path).expect("it says when it was last going on");
    assert!(beat.at >= last, "{beat:?}, {last:?}");
}

#[test]
fn a_torn_end_is_kept_beside_and_nothing_else_goes() {
    let files = OldFiles::copied();
    let session = files.sitting("marten", "a");
    let path = files.path().join(&session);
    let sound = fs::read_to_string(&path).unwrap();
    let good = sound.lines().take(20).collect::<Vec<_>>().join("\n") + "\n";
    let torn = "(n:20,at:99999,utc:\"2026-";
    fs::write(&path, format!("{good}{torn}")).unwrap();
    let answer = files.run(&format!("repair {session}"));
    assert_eq!(answer.code, Some(0), "{answer:?}");
    let kept: PathBuf = files.path().join(beside(&session, ".torn"));
    assert_eq!(fs::read_to_string(kept).unwrap(), torn);
    assert_eq!(fs::read_to_string(&path).unwrap(), good);
}

#[test]
fn what_another_window_has_open_is_not_repaired() {
    let files = OldFiles::copied();
    let session = files.sitting("marten", "a");
    let path = files.path().join(&session);
    let spoilt = spoil(&fs::read_to_string(&path).unwrap(), 12);
    fs::write(&path, &spoilt).unwrap();
    let (lock, _) = journal::Lock::take(&path).unwrap();
    let answer = files.run(&format!("repair {session}"));
    assert_eq!(answer.code, Some(1), "{answer:?}");
    assert!(answer.err.contains("another window"), "{answer:?}");
    assert_eq!(fs::read_to_string(&path).unwrap(), spoilt);
    lock.release();
}

#[test]
fn what_somebody_wrote_behind_the_end_is_kept_beside_and_the_sitting_counts_as_before() {
    let files = OldFiles::copied();
    let session = files.sitting("marten", "a");
    let path = files.path().join(&session);
    let sound = fs::read_to_string(&path).unwrap();
    let spoilt = format!("{sound}one more // 00000000\nand another // 00000000\n");
    fs::write(&path, &spoilt).unwrap();
    let answer = files.run(&format!("repair {session}"));
    assert_eq!(answer.code, Some(0), "{answer:?}");
    let kept = files.path().join(beside(&session, ".damaged"));
    assert_eq!(fs::read_to_string(kept).unwrap(), spoilt);
    assert_eq!(fs::read_to_string(&path).unwrap(), sound);
    assert!(!notes::path_beside(&path).exists(), "nothing is decided");
    assert!(!files.path().join(beside(&session, ".lock")).exists());
}
