//! A sitting to write, and files with it.
#![expect(
    clippy::unwrap_used,
    reason = "tests stop where their ground is missing"
)]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use chrono::{DateTime, TimeDelta};
use pacebell::domain::event::{Event, Stamped};
use pacebell::domain::header::{Alias, Arrangements, Boot, Header, Mode, SESSION_FORMAT};
use pacebell::domain::labels::{Label, Labels};
use pacebell::domain::mark::Mark;
use pacebell::domain::paper::{Fingerprint, Outline};
use pacebell::domain::rule::{QuestionNo, Rule, Section};
use pacebell::domain::time::Elapsed;
use pacebell::storage::journal::line::{self, Chain};
use pacebell::storage::journal::recover;

/// Twenty-five questions in an hour, from 9:12 on.
pub(crate) fn header(pupil: &str) -> Header {
    let section = Section {
        name: "all".into(),
        first: QuestionNo(1),
        last: QuestionNo(25),
        right: Mark::whole(4),
        wrong: Mark::ZERO,
        blank: Mark::ZERO,
    };
    Header {
        format: SESSION_FORMAT,
        sitting: "s-1".into(),
        pupil: Alias::new(pupil).unwrap(),
        mode: Mode::Timed,
        paper: Outline {
            id: "saltmarsh-a".into(),
            title: "Saltmarsh A".into(),
            fingerprint: Fingerprint::of(["saltmarsh"]),
            questions: 25,
            options: Labels::new("ABCDE").unwrap(),
            own_options: BTreeMap::new(),
            rule: Rule {
                start: Mark::ZERO,
                sections: vec![section],
            },
            awards: vec![],
            rule_checked: None,
            on_screen: false,
        },
        standard: Elapsed::minutes(60),
        allowed: Elapsed::minutes(60),
        arrangements: Arrangements::usual(Elapsed::minutes(60)),
        plan: None,
        program: "0.1.0".into(),
        invented: false,
        replaces: None,
        question_fingerprints: BTreeMap::new(),
        started: DateTime::parse_from_rfc3339("2026-11-25T09:12:00+01:00").unwrap(),
        boot: Boot {
            id: "boot-1".into(),
            zero: 1_000_000,
        },
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

/// The text of a session file.
pub(crate) fn text_of(header: &Header, events: &[Stamped]) -> String {
    let mut chain = Chain::default();
    let mut text = line::write_header(header, &mut chain).unwrap();
    for stamped in events {
        text.push_str(&line::write_event(stamped, &mut chain).unwrap());
    }
    text
}

/// The same with the line that seals it.
pub(crate) fn sealed_text_of(header: &Header, events: &[Stamped]) -> String {
    let text = text_of(header, events);
    let mut chain = recover::scan(text.as_bytes()).unwrap().chain;
    let seal = line::write_seal(text.as_bytes(), &mut chain).unwrap();
    text + &seal
}

/// Writes a session file below `dir`, in the pupil's folder.
pub(crate) fn put(dir: &Path, name: &str, header: &Header, events: &[Stamped]) -> PathBuf {
    let folder = dir.join(header.pupil.as_str());
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join(format!("{name}.session.ron"));
    std::fs::write(&path, text_of(header, events)).unwrap();
    path
}
