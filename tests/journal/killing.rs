//! A program that is killed while it writes: this test's own, started a second time.

use std::env;
use std::io::{self, BufRead, BufReader, Write};
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::time::Duration;

use pacebell::clock::{Clock, SystemClock, Watch};
use pacebell::domain::event::{AwayClock, Event, Stamped};
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::sitting::Notice;
use pacebell::domain::time::Elapsed;
use pacebell::storage::journal::{self, Heartbeat, Lock, LockError, Writer};

use crate::common::header;

const SESSION: &str = "PACEBELL_TEST_SESSION";

/// Writes until it is killed, and says what is saved.
#[test]
#[ignore = "started by the test that kills it"]
fn the_one_that_is_killed() {
    let Some(path) = env::var_os(SESSION).map(PathBuf::from) else {
        return;
    };
    let (mut hold, before) = Lock::take(&path).unwrap();
    assert_eq!(before, None);
    let (mut watch, boot) = Watch::start(&SystemClock);
    let mut header = header("otter");
    header.boot = boot;
    header.started = SystemClock.local();
    let mut writer = Writer::create(&path, &header, Box::new(|| {})).unwrap();
    for round in 1..20_000_u16 {
        let now = SystemClock.read();
        let (at, _) = watch.look(&now);
        writer.append(&Stamped {
            at,
            utc: now.utc,
            event: Event::Opened(QuestionNo(round % 25 + 1)),
        });
        let boot_id = SystemClock.boot_id();
        let utc = now.utc;
        hold.beat(&Heartbeat {
            boot_id,
            at,
            utc,
            unsaved: Vec::new(),
        })
        .unwrap();
        assert!(writer.wait_durable(Duration::from_secs(20)));
        let told = writeln!(io::stdout(), "saved {}", writer.saved().durable);
        told.unwrap();
    }
}

#[test]
fn after_a_kill_what_was_saved_is_there_and_the_absence_is_exact() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("otter/a.session.ron");
    let words = ["--exact", "killing::the_one_that_is_killed", "--ignored"];
    let mut child = Command::new(env::current_exe().unwrap())
        .args(words)
        .arg("--nocapture")
        .env(SESSION, &path)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut told = BufReader::new(child.stdout.take().unwrap()).lines();
    let mut saved = 0;
    while saved < 60 {
        let line = told.next().expect("it writes until it is killed").unwrap();
        if let Some((_, number)) = line.split_once("saved ") {
            saved = number.parse().unwrap();
        }
    }
    let held = Lock::take(&path).unwrap_err();
    assert!(matches!(held, LockError::Taken(_)), "{held}");
    child.kill().unwrap();
    child.wait().unwrap();

    let (_hold, beat) = Lock::take(&path).unwrap();
    let record = journal::read(&path).unwrap();
    assert!(record.events.len() >= saved, "{saved} were saved");
    let last = record.last_alive(beat.as_ref());
    assert!(last.elapsed >= record.events.last().unwrap().at);
    let (mut watch, notice) = Watch::resume(&last, &SystemClock);
    let Notice::Resume { since, clock, boot } = notice else {
        panic!("{notice:?}")
    };
    assert_eq!(since, last.elapsed);
    if cfg!(target_os = "linux") {
        assert_eq!(
            (clock, boot),
            (AwayClock::Exact, record.header.boot.clone())
        );
    }
    let (at, notices) = watch.look(&SystemClock.read());
    assert!(at >= since && at < since + Elapsed::seconds(20), "{at:?}");
    assert_eq!(notices, []);
}
