//! A sitting whose files somebody touches: its lock, its file while nobody sits, its file while somebody does.
#![cfg(test)]

#[path = "common/papers.rs"]
mod papers;
#[cfg(target_os = "linux")]
#[path = "common/tree.rs"]
mod tree;

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use chrono::DateTime;
use pacebell::clock::{Clock, FakeClock};
use pacebell::domain::event::Stop;
use pacebell::domain::header::{Alias, Arrangements};
use pacebell::domain::labels::Label;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::sitting::{Command, Phase};
use pacebell::domain::time::Elapsed;
use pacebell::seat::{Setup, Shared, keep_time};
use pacebell::storage::journal::{self, Heartbeat, Lock, LockError};
use tempfile::TempDir;

struct Hall {
    folder: TempDir,
    clock: FakeClock,
}

impl Hall {
    fn new() -> Self {
        let local = DateTime::parse_from_rfc3339("2026-11-25T09:00:00+01:00").unwrap();
        Self {
            folder: tempfile::tempdir().unwrap(),
            clock: FakeClock::new(local),
        }
    }

    fn clock(&self) -> Arc<dyn Clock> {
        Arc::new(self.clock.clone())
    }

    /// A pupil sits down for ten minutes, with the thread that keeps the time.
    fn take(&self) -> Shared {
        let section = papers::section(1, 5, ["4", "0", "0"]);
        let paper = papers::paper("Five", 10, [section]);
        let setup = Setup {
            pupil: Alias::new("otter").unwrap(),
            paper: &paper,
            minutes: None,
            arrangements: Arrangements::usual(paper.allowed),
            plan: None,
        };
        let seat = Shared::take(self.folder.path(), &setup, self.clock(), Box::new(|| {}));
        let seat = seat.unwrap();
        keep_time(&seat, || {});
        seat
    }

    /// Goes on with the only open sitting.
    fn back(&self) -> Shared {
        let open = journal::open_sittings(self.folder.path(), None).unwrap();
        assert_eq!(open.records.len(), 1, "{:?}", open.unreadable);
        Shared::go_on(&open.records[0], self.clock(), Box::new(|| {})).unwrap()
    }
}

fn answer(seat: &Shared, option: char) {
    let answer = Command::Answer(QuestionNo(1), Label::new(option).unwrap());
    seat.wish(answer, Phase::Running).unwrap();
}

/// The seat is let go without a word, as by a kill; gives the session's file and the lock's.
fn killed(seat: Shared) -> (PathBuf, PathBuf) {
    let path = seat.path();
    until("everything saved", || seat.view().all_saved);
    drop(seat);
    // Its threads end by themselves, as those of a killed program do at once.
    until("nobody in it", || !journal::is_in_use(&path));
    let lock = lock_of(&path);
    (path, lock)
}

fn lock_of(session: &Path) -> PathBuf {
    let name = session.file_name().unwrap().to_str().unwrap();
    session.with_file_name(name.replace(".session.ron", ".lock"))
}

fn until(what: &str, is_so: impl Fn() -> bool) {
    let so = (0..2000).any(|_| {
        std::thread::sleep(Duration::from_millis(5));
        is_so()
    });
    assert!(so, "waited in vain for {what}");
}

/// Whoever left by a key or a signal comes back to the last record; a heartbeat has nothing to add.
#[test]
fn an_ordinary_leave_takes_the_lock_away_and_a_kill_does_not() {
    let hall = Hall::new();
    let (_, lock) = killed(hall.take());
    assert!(lock.exists());
    let seat = hall.back();
    hall.clock.advance(Elapsed::seconds(30));
    seat.interrupt(Stop::LeftByKey);
    assert!(!lock.exists());
    let _ = killed(seat);
    let view = hall.back().view();
    assert_eq!(view.sitting.left(view.at), Elapsed::seconds(600 - 30));
}

/// A copy with as many answers, made before time went by without any, gives nobody that time.
#[test]
fn of_two_copies_alike_the_one_that_was_going_on_last_goes_on() {
    let hall = Hall::new();
    let seat = hall.take();
    hall.clock.advance(Elapsed::seconds(30));
    let path = seat.path();
    let heard = |beat: Heartbeat| beat.at >= Elapsed::seconds(30);
    until("a heartbeat", || Heartbeat::last(&path).is_some_and(heard));
    let (path, _) = killed(seat);
    for copy in ["0-before", "9-behind"] {
        fs::copy(&path, path.with_file_name(format!("{copy}.session.ron"))).unwrap();
        let seat = hall.back();
        let view = seat.view();
        assert_eq!(
            view.sitting.left(view.at),
            Elapsed::seconds(600 - 30),
            "{copy}"
        );
        let _ = killed(seat);
    }
}

/// While a sitting goes on, a copy of its file is no second sitting, whatever it is called.
#[test]
fn a_copy_beside_a_sitting_that_goes_on_opens_no_second_window() {
    let hall = Hall::new();
    let seat = hall.take();
    answer(&seat, 'B');
    until("everything saved", || seat.view().all_saved);
    let path = seat.path();
    for copy in ["0-before", "9-behind"] {
        fs::copy(&path, path.with_file_name(format!("{copy}.session.ron"))).unwrap();
        let open = journal::open_sittings(hall.folder.path(), None).unwrap();
        assert_eq!(open.records.len(), 1);
        assert_eq!(open.records[0].path, path, "{copy}");
        let second = Shared::go_on(&open.records[0], hall.clock(), Box::new(|| {}));
        let refused = second.err().unwrap().to_string();
        assert!(refused.contains("another window"), "{refused}");
    }
}

/// A pipe under a session's name is waited for by nobody, and a lock that is no file is told as what it is.
#[cfg(unix)]
#[test]
fn a_pipe_holds_nobody_up_and_a_lock_that_is_none_is_no_other_window() {
    let hall = Hall::new();
    let (path, lock) = killed(hall.take());
    let pipe = path.with_file_name("pipe.session.ron");
    let made = std::process::Command::new("mkfifo").arg(&pipe).status();
    assert!(made.unwrap().success());
    assert!(!journal::is_in_use(&pipe));
    fs::remove_file(&lock).unwrap();
    fs::create_dir(&lock).unwrap();
    assert!(!journal::is_in_use(&path));
    let open = journal::open_sittings(hall.folder.path(), None).unwrap();
    let second = Shared::go_on(&open.records[0], hall.clock(), Box::new(|| {}));
    let refused = second.err().unwrap().to_string();
    assert!(
        refused.contains("a small file of Pacebell's belongs here"),
        "{refused}"
    );
}

/// Windows removes no file that is held by who does not share that.
#[cfg(windows)]
#[test]
fn a_lock_cannot_be_removed_while_its_sitting_goes_on() {
    let hall = Hall::new();
    let seat = hall.take();
    let path = seat.path();
    let lock = lock_of(&path);
    until("a lock", || lock.exists());
    assert!(fs::remove_file(&lock).is_err());
    let taken = Lock::take(&path).unwrap_err();
    assert!(matches!(taken, LockError::Taken(_)), "{taken}");
    let (_path, lock) = killed(seat);
    fs::remove_file(lock).unwrap();
}

#[cfg(unix)]
#[test]
fn a_lock_that_somebody_removed_or_replaced_is_made_anew_at_the_next_beat() {
    let hall = Hall::new();
    let seat = hall.take();
    let path = seat.path();
    let lock = lock_of(&path);
    for replaced in [false, true] {
        until("a heartbeat", || Heartbeat::last(&path).is_some());
        fs::remove_file(&lock).unwrap();
        if replaced {
            fs::write(&lock, "").unwrap();
        }
        until("another heartbeat", || Heartbeat::last(&path).is_some());
        let taken = Lock::take(&path).unwrap_err();
        assert!(matches!(taken, LockError::Taken(_)), "{taken}");
    }
}

/// A flipped bit in the middle of an open sitting's file: what lies before it is kept, the damaged file stays
/// beside it, and the time that went by behind the damage is used.
#[test]
fn a_damaged_sitting_goes_on_with_what_can_be_kept_and_gains_no_time() {
    let hall = Hall::new();
    let seat = hall.take();
    for option in ['A', 'B', 'C'] {
        hall.clock.advance(Elapsed::seconds(60));
        answer(&seat, option);
    }
    let (path, lock) = killed(seat);
    let text = fs::read_to_string(&path).unwrap();
    let spoilt = text.replacen("Answered(1,'B')", "Answered(1,'D')", 1);
    assert_ne!(text, spoilt);
    fs::write(&path, &spoilt).unwrap();
    fs::remove_file(lock).unwrap();
    let open = journal::open_sittings(hall.folder.path(), None).unwrap();
    let until = open.records[0].sound_until().unwrap();
    // The look before the second answer has noted that nobody looked for a minute.
    assert_eq!(until.format("%H:%M").to_string(), "09:02");
    let seat = hall.back();
    let view = seat.view();
    let kept = view.sitting.row(QuestionNo(1)).unwrap().in_time.unwrap();
    assert_eq!(kept.option, Label::new('A').unwrap());
    assert_eq!(view.sitting.left(view.at), Elapsed::seconds(600 - 180));
    let (path, _) = killed(seat);
    assert!(journal::read(&path).unwrap().damage.is_none());
    let name = path.file_name().unwrap().to_str().unwrap();
    let aside = path.with_file_name(name.replace(".session.ron", ".damaged"));
    assert_eq!(fs::read_to_string(aside).unwrap(), spoilt);
}

/// A file that changes while somebody sits is told once, and what goes on changing a minute later.
#[cfg(unix)]
#[test]
fn a_file_that_is_touched_all_along_is_told_once_a_minute() {
    let hall = Hall::new();
    let seat = hall.take();
    let path = seat.path();
    let mut told = 0;
    for _ in 0..6 {
        fs::write(&path, "").unwrap();
        until("the file", || journal::read(&path).is_ok());
        until("everything saved", || seat.view().all_saved);
        told += u32::from(seat.is_to_tell_of_a_touch());
        hall.clock.advance(Elapsed::seconds(15));
        seat.view();
    }
    assert_eq!(told, 2);
}

/// A stick's own `lost+found`, or a neighbour's folder that nobody else may open: a remark, and the sittings beside
/// it are read. Rights do not bind root, who runs the program as nobody then.
#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_cannot_be_opened_is_a_remark() {
    use std::os::unix::fs::PermissionsExt;
    use std::process::Command;
    let files = tempfile::tempdir().unwrap();
    let old = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/old");
    tree::copy(&old, files.path());
    let program = files.path().join("pacebell");
    fs::copy(env!("CARGO_BIN_EXE_pacebell"), &program).unwrap();
    let closed = files.path().join("sessions/lost+found");
    fs::create_dir(&closed).unwrap();
    let rights = |path: &Path, mode| {
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    };
    rights(&closed, 0o000);
    let out = files.path().join("out");
    fs::create_dir(&out).unwrap();
    for open in [out, files.path().join("sessions")] {
        rights(&open, 0o777);
    }
    rights(files.path(), 0o755);
    let base = || {
        let mut command = if fs::read_dir(&closed).is_err() {
            Command::new(&program)
        } else {
            let mut other = Command::new("setpriv");
            other.args(["--reuid=65534", "--regid=65534", "--clear-groups"]);
            other.arg(&program);
            other
        };
        command.current_dir(files.path()).env("HOME", files.path());
        command
    };
    for words in ["mark sessions", "feedback sessions --join -o out/all.html"] {
        let mut command = base();
        command.args(words.split(' '));
        let Ok(told) = command.output() else {
            // No `setpriv` to be somebody else with.
            return;
        };
        let page = fs::read(files.path().join("out/all.html")).unwrap_or_default();
        let both = [&told.stdout[..], &told.stderr[..]].concat();
        let (code, told) = (told.status.code(), String::from_utf8(both).unwrap());
        let said = format!("{told}{}", String::from_utf8(page).unwrap());
        let remark = "sessions/lost+found: this folder can't be opened";
        assert!(told.contains(remark), "{words}: {told}");
        assert!(
            code == Some(0) && said.contains("marten"),
            "{words}: {code:?} {told}"
        );
    }
}
