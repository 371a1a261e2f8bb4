//! An absence that never reached the session file: it is no time sat, and what was sat after it is.

use std::fs;
use std::path::Path;
use std::time::Duration;

use pacebell::domain::event::{Event, Stamped};
use pacebell::storage::journal::{self, Heartbeat};

use crate::common::shim::Faults;
use crate::common::{Room, begin, files, go_on, now, say, until};
use crate::sheet;

const AWAY: Duration = Duration::from_secs(2);

/// A sitting is sat for so long, by its beats, before it is killed.
const SAT: u64 = 1500;

fn beaten(session: &Path, from: u64) -> u64 {
    until("a beat", || {
        let at = Heartbeat::last(session)?.at.as_millis();
        (at >= from).then_some(at)
    })
}

pub(crate) fn killed_before_its_taking_up_is_in_the_file_an_absence_is_no_time_sat() {
    let room = Room::new();
    let Some(faults) = Faults::of(&room) else {
        return;
    };
    let begun = now();
    let mut seat = begin(room.sit("5"));
    seat.press("c");
    seat.sees_saved();
    let session = files::session(room.path());
    beaten(&session, SAT);
    seat.kill();
    let mut most = begun.elapsed();
    let mut at = beaten(&session, 0);
    let mut known = at;
    std::thread::sleep(AWAY);

    // Twice nothing but beats gets to the disk: the file cannot be written anew.
    let whole = fs::read(&session).unwrap();
    let stem = session
        .to_str()
        .unwrap()
        .strip_suffix(".session.ron")
        .unwrap();
    let part = fs::canonicalize(room.path()).unwrap().join(stem);
    let part = format!("{}.part", part.display());
    faults.begin("full", 0);
    for life in 1..=2 {
        let begun = now();
        let start = faults.on(room.go_on()).env("FAULTY_UNDER", part.as_str());
        let mut seat = go_on(start);
        seat.sees("NOT SAVED");
        let first = beaten(&session, at + u64::try_from(AWAY.as_millis()).unwrap());
        let last = beaten(&session, first + SAT);
        seat.kill();
        most += begun.elapsed();
        known += last - first;
        at = beaten(&session, last);
        assert_eq!(fs::read(&session).unwrap(), whole, "life {life}");
        std::thread::sleep(AWAY);
    }

    let begun = now();
    let mut seat = go_on(room.go_on());
    let text = seat.sees_saved();
    most += begun.elapsed();
    let record = until("the absences in the file", || {
        let record = journal::read(&session).ok()?;
        let back = |own: &&Stamped| matches!(own.event, Event::Resumed { .. });
        (record.events.iter().filter(back).count() >= 3).then_some(record)
    });
    let sitting = record.sitting();
    let last = record.events.last().unwrap().at;
    let used = sitting.used(last).as_millis();
    say(&format!("{known} ms are known, {used} ms used of {most:?}"));
    assert!(used >= known, "{used} ms used, {known} ms known");
    assert!(
        Duration::from_millis(used) <= most,
        "{used} ms used, {most:?} sat"
    );
    let left = 300 - sheet::seconds_left(&text).unwrap();
    assert!(
        left * 1000 + 1000 >= known && left <= most.as_secs(),
        "{left} s"
    );
    seat.kill();
}
