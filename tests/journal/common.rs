//! A sitting to write, and files with it.

use std::path::{Path, PathBuf};

use chrono::{DateTime, TimeDelta};
use pacebell::domain::event::{Event, Stamped};
use pacebell::domain::header::{Boot, Header};
use pacebell::domain::labels::Label;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::storage::journal::line;
use pacebell::storage::journal::recover;

use crate::written::file;
use crate::{papers, sat};

/// Twenty-five questions in an hour, from 9:12 on.
pub(crate) fn header(pupil: &str) -> Header {
    let section = papers::section(1, 25, ["4", "0", "0"]);
    let paper = papers::paper("Saltmarsh A", 60, [section]);
    Header {
        started: DateTime::parse_from_rfc3339("2026-11-25T09:12:00+01:00").unwrap(),
        boot: Boot {
            id: "boot-1".into(),
            zero: 1_000_000,
        },
        ..sat::header(pupil, &paper)
    }
}

/// `event` at so many milliseconds.
pub(crate) fn at(millis: u64, event: Event) -> Stamped {
    let since = TimeDelta::milliseconds(i64::try_from(millis).unwrap());
    Stamped {
        at: Elapsed(millis),
        utc: header("otter").started.to_utc() + since,
        event,
    }
}

/// The answer B to question `number`, `number` seconds in.
pub(crate) fn answer(number: u16) -> Stamped {
    let event = Event::Answered(QuestionNo(number), Label::new('B').unwrap());
    at(u64::from(number) * 1000, event)
}

/// The same with the line that seals it.
pub(crate) fn sealed_text_of(header: &Header, events: &[Stamped]) -> String {
    let text = file(header, events);
    let mut chain = recover::scan(text.as_bytes()).unwrap().chain;
    let seal = line::write_seal(text.as_bytes(), &mut chain).unwrap();
    text + &seal
}

/// Writes a session file below `dir`, in the pupil's folder.
pub(crate) fn put(dir: &Path, name: &str, header: &Header, events: &[Stamped]) -> PathBuf {
    let folder = dir.join(header.pupil.as_str());
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join(format!("{name}.session.ron"));
    std::fs::write(&path, file(header, events)).unwrap();
    path
}
