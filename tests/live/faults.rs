//! Disks that go wrong: the pupil is told at once, nothing typed is lost, and it all gets to the disk.

use std::fs;
use std::os::unix::fs::{MetadataExt, PermissionsExt};
use std::path::Path;
use std::process::Command;
use std::time::Duration;

use crate::common::shim::Faults;
use crate::common::{PROGRAM, Room, Seat, Start, begin, files, now, say, until};
use crate::sheet::{self, Row};

/// The writer looks at its file this often at the least; what is told only then is not told at once.
const AT_ONCE: Duration = Duration::from_millis(1900);

fn row(text: &str, question: u16) -> Row {
    sheet::rows(text).remove(&question).unwrap_or_default()
}

fn is_trouble(text: &str) -> bool {
    text.lines()
        .next()
        .unwrap_or_default()
        .ends_with("  NOT SAVED")
}

/// A sitting on a disk that can go wrong, with its first answer saved.
fn seated(room: &Room, faults: &Faults) -> Seat {
    let mut seat = begin(faults.on(room.sit("5")));
    answer_first(&mut seat);
    seat
}

fn answer_first(seat: &mut Seat) {
    seat.press("c");
    seat.wait("the first answer", |text| row(text, 1).chosen == Some('C'));
    seat.sees_saved();
}

/// Fills the disk and waits until the pupil is told; questions 1 to 3 then show C, B and A.
fn filled_up(seat: &mut Seat, faults: &Faults) {
    // Room for a line and a piece of the next.
    faults.begin("full", 100);
    let pressed = now();
    seat.press("\rb\ra");
    seat.sees("NOT SAVED: The disk is full");
    let told = pressed.elapsed();
    assert!(told < AT_ONCE, "told after {told:?}");
    seat.wait("the answers", |text| {
        let [first, second, third] = [1, 2, 3].map(|question| row(text, question));
        let chosen = (first.chosen, second.chosen, third.chosen);
        let saved = (first.is_saved(), third.is_saved());
        is_trouble(text) && chosen == (Some('C'), Some('B'), Some('A')) && saved == (true, false)
    });
}

/// Finishes early, sees the result, and checks that `mark` reads the file and finds these marks.
fn hand_in(room: &Room, mut seat: Seat, session: &Path, in_time: &str) {
    finish(&mut seat);
    see_out(room, seat, session, in_time);
}

fn finish(seat: &mut Seat) {
    seat.press("\x1b");
    seat.sees("Finish early; asks first");
    seat.press("f");
    seat.sees("Finish now?");
    seat.press("y");
    seat.sees("You typed y.");
    seat.press("\r");
}

fn see_out(room: &Room, mut seat: Seat, session: &Path, in_time: &str) {
    seat.sees(&format!("In time: {in_time} of 125"));
    seat.press("q");
    assert_eq!(seat.end(), 0);
    seat.assert_given_back();
    files::assert_sound(session, "Closed(finished_early)");
    let key = room.path().join("sample-papers/saltmarsh-a.key.ron");
    let told = Command::new(PROGRAM)
        .arg("mark")
        .arg(session)
        .arg("--key")
        .arg(key)
        .arg("--json")
        .output()
        .unwrap();
    assert!(
        told.status.success(),
        "{}",
        String::from_utf8_lossy(&told.stderr)
    );
    let told: serde_json::Value = serde_json::from_slice(&told.stdout).unwrap();
    assert_eq!(told["mark"]["in_time"], in_time);
    let leftovers = files::files(room.path(), ".part");
    assert!(leftovers.is_empty(), "{leftovers:?}");
}

/// The key begins CDB: only the first answer is right, then the third too.
#[test]
fn a_full_disk_is_told_at_once_and_everything_is_saved_once_there_is_room() {
    let room = Room::new();
    let Some(faults) = Faults::of(&room) else {
        return;
    };
    let mut seat = seated(&room, &faults);
    filled_up(&mut seat, &faults);
    let session = files::session(room.path());
    // What was saved before is there all the time, and can be read.
    let record = pacebell::storage::journal::read(&session).unwrap();
    assert!(record.events.len() >= 2);
    assert_eq!(files::answers(&session)[&1], ['C']);
    seat.press("b");
    seat.wait("a change of mind", |text| {
        row(text, 3).chosen == Some('B') && is_trouble(text)
    });
    faults.end("full");
    let text = seat.sees_saved();
    assert_eq!(row(&text, 3).chosen, Some('B'), "{text}");
    let answers = files::answers(&session);
    assert_eq!(
        (&answers[&1][..], &answers[&2][..], &answers[&3][..]),
        (&['C'][..], &['B'][..], &['A', 'B'][..])
    );
    hand_in(&room, seat, &session, "8");
}

#[test]
fn f2_saves_elsewhere_while_the_disk_is_full() {
    let room = Room::new();
    let Some(faults) = Faults::of(&room) else {
        return;
    };
    let mut seat = seated(&room, &faults);
    filled_up(&mut seat, &faults);
    let text = seat.text();
    assert!(text.contains("F2 saves in "), "{text}");
    seat.press("\x1bOQ");
    seat.sees_saved();
    // The room is the pupil's home (XDG base directories: $HOME/.local/share).
    let elsewhere = room.path().join(".local/share/pacebell/sessions");
    let session = files::session(&elsewhere);
    seat.press("b");
    seat.wait("an answer there", |text| row(text, 3).chosen == Some('B'));
    seat.sees_saved();
    assert_eq!(files::answers(&session)[&3], ['A', 'B']);
    assert!(
        files::sessions(&room.path().join("sessions")).is_empty(),
        "two files for one sitting"
    );
    hand_in(&room, seat, &session, "8");
}

/// The program must not end with answers that are in memory only.
#[test]
fn a_sitting_handed_in_while_the_disk_is_full_waits_until_it_is_saved() {
    let room = Room::new();
    let Some(faults) = Faults::of(&room) else {
        return;
    };
    let mut seat = seated(&room, &faults);
    filled_up(&mut seat, &faults);
    let session = files::session(room.path());
    finish(&mut seat);
    let waits = |text: &str| {
        let told = text.contains("NOT SAVED: The disk is full");
        told && text.contains("You've finished.") && text.contains("F3 try to save")
    };
    seat.wait("the end, and what keeps it from being saved", waits);
    seat.press("\x03");
    seat.sees("What isn't saved will be lost.");
    faults.end("full");
    seat.press("\x1bOR");
    see_out(&room, seat, &session, "4");
}

/// Linux counts pages as clean after a failed sync, so that a second one proves nothing: the whole
/// sitting has to be in a new file (LWN, "`PostgreSQL`'s `fsync()` surprise", 2018).
#[test]
fn after_a_failed_sync_the_sitting_is_written_to_a_new_file() {
    let room = Room::new();
    let Some(faults) = Faults::of(&room) else {
        return;
    };
    let mut seat = seated(&room, &faults);
    let session = files::session(room.path());
    let before = fs::metadata(&session).unwrap().ino();
    faults.begin("sync-fails", 1);
    let pressed = now();
    seat.press("d");
    seat.wait("the answer with the trouble", |text| {
        let row = row(text, 1);
        let told = text.contains("NOT SAVED: The disk reported: Input/output error");
        told && row.chosen == Some('D') && !row.is_saved()
    });
    let told = pressed.elapsed();
    assert!(told < AT_ONCE, "told after {told:?}");
    assert!(faults.is_over("sync-fails"));
    // F3 tries again at once.
    seat.press("\x1bOR");
    seat.sees_saved();
    assert_ne!(fs::metadata(&session).unwrap().ino(), before);
    assert_eq!(files::answers(&session)[&1], ['C', 'D']);
    hand_in(&room, seat, &session, "0");
}

#[test]
fn a_slow_disk_holds_up_no_key() {
    let room = Room::new();
    let Some(faults) = Faults::of(&room) else {
        return;
    };
    let mut seat = seated(&room, &faults);
    faults.begin("sync-slow", 400);
    let mut quickest = Duration::MAX;
    for option in ["a", "b", "c", "d", "e"] {
        quickest = quickest.min(seat.press_timed(option));
        let chosen = option.to_uppercase().chars().next();
        // Shown before it is saved, with the sign that says so.
        seat.wait("the answer, on its way", |text| {
            row(text, 1).chosen == chosen && !row(text, 1).is_saved()
        });
    }
    assert!(quickest < Duration::from_millis(300), "{quickest:?}");
    seat.sees_saved();
    let session = files::session(room.path());
    assert_eq!(files::answers(&session)[&1], ['C', 'A', 'B', 'C', 'D', 'E']);
    // The end waits for the disk.
    seat.press("b");
    seat.wait("the answer, on its way", |text| {
        row(text, 1).chosen == Some('B')
    });
    seat.signal("TERM");
    assert_eq!(seat.end(), 143);
    files::assert_sound(&session, "Interrupted(left_by_signal)");
    assert_eq!(files::answers(&session)[&1].last(), Some(&'B'));
}

/// A disk that does not answer for a minute holds up the end for the two seconds it is given.
#[test]
fn a_disk_that_hangs_does_not_hold_the_terminal() {
    let room = Room::new();
    let Some(faults) = Faults::of(&room) else {
        return;
    };
    let mut seat = seated(&room, &faults);
    faults.begin("sync-slow", 60_000);
    seat.press("b");
    seat.wait("the answer, on its way", |text| {
        row(text, 1).chosen == Some('B') && !row(text, 1).is_saved()
    });
    seat.signal("TERM");
    assert_eq!(seat.end(), 143);
    seat.assert_given_back();
    // It was written, if not synced: only a power cut could lose it.
    assert_eq!(files::answers(&files::session(room.path()))[&1], ['C', 'B']);
}

#[test]
fn a_file_that_somebody_removes_is_written_again() {
    let room = Room::new();
    let mut seat = begin(room.sit("5"));
    answer_first(&mut seat);
    let session = files::session(room.path());
    fs::remove_file(&session).unwrap();
    seat.press("b");
    seat.wait("the answer", |text| row(text, 1).chosen == Some('B'));
    // The writer may have looked, told and written again within a moment.
    let again = || session.exists() && files::answers(&session)[&1] == ['C', 'B'];
    seat.wait("the trouble, or its end", |text| {
        text.contains("NOT SAVED: The file was moved or removed") || again()
    });
    until("the file", || again().then_some(()));
    seat.sees_saved();
}

#[test]
fn a_sitting_that_cannot_be_kept_is_not_begun() {
    let room = Room::new();
    let Some(faults) = Faults::of(&room) else {
        return;
    };
    faults.begin("full", 10);
    let mut seat = faults.on(room.sit("5")).run();
    cannot_begin(&mut seat, "cannot write the");
    assert!(files::sessions(room.path()).is_empty());
}

/// Rights do not bind root: it runs the program as nobody then.
#[test]
fn a_sessions_folder_that_takes_no_files_is_told_with_the_way_out() {
    let room = Room::new();
    let sessions = room.path().join("sessions");
    let program = room.path().join("pacebell");
    fs::copy(PROGRAM, &program).unwrap();
    fs::set_permissions(&sessions, fs::Permissions::from_mode(0o555)).unwrap();
    fs::set_permissions(room.path(), fs::Permissions::from_mode(0o755)).unwrap();
    let program = program.to_str().unwrap();
    let words = ["sit", "saltmarsh-a", "--pupil", "otter", "--minutes", "5"];
    let as_nobody = ["--reuid=65534", "--regid=65534", "--clear-groups", program];
    let start = if fs::write(sessions.join("probe"), "").is_err() {
        Start::new(room.path(), &words).program(program)
    } else if Command::new("setpriv")
        .args(as_nobody)
        .arg("--version")
        .output()
        .is_ok_and(|told| told.status.success())
    {
        fs::remove_file(sessions.join("probe")).unwrap();
        Start::new(room.path(), &[&as_nobody[..], &words[..]].concat()).program("setpriv")
    } else {
        say("skipped: root may write anywhere, and there is no `setpriv` to be somebody else");
        return;
    };
    let mut seat = start.run();
    cannot_begin(&mut seat, "sessions");
    assert!(files::files(&sessions, "").is_empty());
}

/// The clock is started, and there is a sentence with the way out instead.
fn cannot_begin(seat: &mut Seat, says: &str) {
    seat.sees("Read this out");
    seat.press("s");
    seat.sees("Enter starts the clock at once");
    seat.press("\r");
    let text = seat.sees("--sessions");
    assert!(text.contains("Read this out"), "the page stays\n{text}");
    assert!(text.contains(says), "{text}");
    seat.press("\x03");
    seat.sees("Quit?");
    seat.press("\x03");
    assert_eq!(seat.end(), 0);
    seat.assert_given_back();
}
