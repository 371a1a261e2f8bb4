//! Whole pages of made-up sittings, held against lines worked out by hand.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use chrono::{DateTime, Utc};

use super::*;
use crate::domain::event::{AwayClock, Ending, Event, How, Stamped};
use crate::domain::header::{Header, Mode};
use crate::domain::key::Void;
use crate::domain::labels::{Label, Labels};
use crate::domain::mark::Mark;
use crate::domain::paper::{Award, Paper, RuleChecked};
use crate::domain::rule::{QuestionNo, Rule};
use crate::domain::time::Elapsed;
use crate::papers::{self, section};
use crate::sat;

fn q(number: u16) -> QuestionNo {
    QuestionNo(number)
}

fn label(c: char) -> Label {
    Label::new(c).unwrap()
}

fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, 25).unwrap()
}

fn paper() -> Paper {
    let award = |name: &str, boundary| Award {
        name: name.into(),
        boundary: Mark::whole(boundary),
    };
    let sections = [
        section(1, 3, ["4", "0", "0"]),
        section(4, 6, ["7", "0", "0"]),
    ];
    let paper = papers::paper("Heron paper", 10, sections);
    let outline = Outline {
        id: "heron".into(),
        awards: vec![award("dunlin", 8), award("curlew", 18), award("tern", 26)],
        rule_checked: Some(RuleChecked {
            on: NaiveDate::from_ymd_opt(2026, 9, 3).unwrap(),
            by: "T.M.".into(),
        }),
        ..paper.outline
    };
    Paper { outline, ..paper }
}

/// Another year's rule: 4, then 7 with 2 taken away, on 3 marks to start with.
fn stricter() -> Outline {
    let mut outline = paper().outline;
    outline.id = "heron-old".into();
    outline.title = "Heron paper, last decade".into();
    outline.rule = Rule {
        start: Mark::whole(3),
        sections: vec![
            section(1, 3, ["4", "-1/4", "0"]),
            section(4, 6, ["7", "-2", "0"]),
        ],
    };
    outline.awards.truncate(1);
    outline
}

fn key() -> Key {
    Key {
        paper: "heron".into(),
        fingerprint: None,
        answers: "ABCDEA".chars().map(label).collect(),
        also_right: BTreeMap::new(),
        voids: BTreeMap::new(),
        notes: BTreeMap::new(),
    }
}

fn header() -> Header {
    Header {
        sitting: "sitting-1".into(),
        started: DateTime::parse_from_rfc3339("2026-11-20T09:00:00+00:00").unwrap(),
        ..sat::header("otter", &paper())
    }
}

/// Question 1 right, 2 wrong after a change, 3 guessed right, 4 right; 5 filled right, 6 wrong.
fn script() -> Vec<(u64, Event)> {
    let (due, seed) = (Elapsed::minutes(10), 7);
    vec![
        (0, Event::Opened(q(1))),
        (60, Event::Answered(q(1), label('A'))),
        (65, Event::Opened(q(2))),
        (90, Event::Answered(q(2), label('B'))),
        (100, Event::Answered(q(2), label('C'))),
        (125, Event::Opened(q(3))),
        (130, Event::Answered(q(3), label('C'))),
        (131, Event::Said(q(3), How::Guessed)),
        (140, Event::Opened(q(4))),
        (400, Event::Answered(q(4), label('D'))),
        (410, Event::Opened(q(1))),
        (600, Event::TimeUp { due }),
        (605, Event::GuessRoundStarted),
        (
            610,
            Event::Filled {
                seed,
                answers: vec![(q(5), label('E')), (q(6), label('B'))],
            },
        ),
        (615, Event::Closed(Ending::GuessRoundDone)),
    ]
}

fn subject(header: Header, script: Vec<(u64, Event)>) -> Subject {
    let stamp = |(seconds, event)| Stamped {
        at: Elapsed::seconds(seconds),
        utc: DateTime::<Utc>::UNIX_EPOCH,
        event,
    };
    let log: Vec<_> = script.into_iter().map(stamp).collect();
    Subject {
        analysis: Analysis::of(Arc::new(header), log.into(), Arc::default()),
        remarks: vec![],
        decision: None,
        disputed: false,
    }
}

fn marked(subject: Subject, key: Key, under: Option<&Outline>) -> Report {
    Report::new(subject, Arc::new(key), under, today()).unwrap()
}

fn report() -> Report {
    marked(subject(header(), script()), key(), None)
}

fn entered() -> Report {
    let mut header = header();
    header.mode = Mode::Entered;
    header.paper.on_screen = false;
    let events = vec![
        (0, Event::Answered(q(1), label('A'))),
        (0, Event::Closed(Ending::Entered)),
    ];
    marked(subject(header, events), key(), None)
}

mod json;
mod text;
