//! Sittings written out: a small paper, its key, and a log as a list of moments and events.

use std::collections::BTreeMap;

use chrono::TimeDelta;
use pacebell::domain::event::{Event, Stamped};
use pacebell::domain::header::Header;
use pacebell::domain::key::Key;
use pacebell::domain::labels::Label;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;

use crate::{papers, sat};

/// A section: first, last, right, wrong, blank.
pub(crate) type Part = (u16, u16, &'static str, &'static str, &'static str);

pub(crate) fn q(number: u16) -> QuestionNo {
    QuestionNo(number)
}

pub(crate) fn label(c: char) -> Label {
    Label::new(c).unwrap()
}

/// A sitting of this many minutes on a paper of these sections; the questions are on the screen.
pub(crate) fn header(minutes: u64, parts: &[Part]) -> Header {
    let section = |(first, last, right, wrong, blank): &Part| {
        papers::section(*first, *last, [right, wrong, blank])
    };
    let sections: Vec<_> = parts.iter().map(section).collect();
    let mut header = sat::header("otter", &papers::paper("Heath", minutes, sections));
    header.arrangements.rest_breaks = true;
    header
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
