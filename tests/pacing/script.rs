//! Sittings written out: a small paper, its key, and a log as a list of moments and events.

use std::collections::BTreeMap;

use chrono::{DateTime, TimeDelta};
use pacebell::domain::event::{Event, Stamped};
use pacebell::domain::header::{Alias, Arrangements, Boot, Header, Mode, SESSION_FORMAT};
use pacebell::domain::key::Key;
use pacebell::domain::labels::{Label, Labels};
use pacebell::domain::mark::Mark;
use pacebell::domain::paper::{Fingerprint, Outline};
use pacebell::domain::rule::{QuestionNo, Rule, Section};
use pacebell::domain::time::Elapsed;

/// A section: first, last, right, wrong, blank.
pub(crate) type Part = (u16, u16, &'static str, &'static str, &'static str);

pub(crate) fn q(number: u16) -> QuestionNo {
    QuestionNo(number)
}

pub(crate) fn label(c: char) -> Label {
    Label::new(c).unwrap()
}

pub(crate) fn mark(text: &str) -> Mark {
    text.parse().unwrap()
}

/// A sitting of this many minutes on a paper of these sections; the questions are on the screen.
pub(crate) fn header(minutes: u64, parts: &[Part]) -> Header {
    let section = |(first, last, right, wrong, blank): &Part| Section {
        name: format!("{first}-{last}"),
        first: q(*first),
        last: q(*last),
        right: mark(right),
        wrong: mark(wrong),
        blank: mark(blank),
    };
    let allowed = Elapsed::minutes(minutes);
    Header {
        format: SESSION_FORMAT,
        sitting: "written-out".into(),
        pupil: Alias::new("otter").unwrap(),
        mode: Mode::Timed,
        paper: Outline {
            id: "heath".into(),
            title: "Heath".into(),
            fingerprint: Fingerprint::of(["heath"]),
            questions: parts.last().unwrap().1,
            options: Labels::new("ABCDE").unwrap(),
            own_options: BTreeMap::new(),
            rule: Rule {
                start: Mark::ZERO,
                sections: parts.iter().map(section).collect(),
            },
            awards: vec![],
            rule_checked: None,
            on_screen: true,
        },
        standard: allowed,
        allowed,
        arrangements: Arrangements {
            rest_breaks: true,
            ..Arrangements::usual(allowed)
        },
        plan: None,
        program: "test".into(),
        invented: false,
        replaces: None,
        question_fingerprints: BTreeMap::new(),
        started: DateTime::parse_from_rfc3339("2026-11-25T09:00:00+00:00").unwrap(),
        boot: boot(),
    }
}

pub(crate) fn boot() -> Boot {
    Boot {
        id: "boot".into(),
        zero: 0,
    }
}

/// A key from its letters.
pub(crate) fn key(answers: &str) -> Key {
    Key {
        paper: "heath".into(),
        fingerprint: None,
        answers: answers.chars().map(label).collect(),
        also_right: BTreeMap::new(),
        voids: BTreeMap::new(),
        notes: BTreeMap::new(),
    }
}

/// A log from moments in milliseconds.
pub(crate) fn log(header: &Header, events: Vec<(u64, Event)>) -> Vec<Stamped> {
    let stamp = |(at, event): (u64, Event)| Stamped {
        at: Elapsed(at),
        utc: header.started.to_utc() + TimeDelta::milliseconds(i64::try_from(at).unwrap()),
        event,
    };
    events.into_iter().map(stamp).collect()
}
