//! Headers and events for the tests of this module.

use std::collections::BTreeMap;

use chrono::{DateTime, TimeDelta};

use crate::domain::event::{AwayClock, Ending, Event, How, Stamped, Stop};
use crate::domain::header::{Arrangements, Boot, Checkpoint, Header, PacePlan};
use crate::domain::labels::{Label, Labels};
use crate::domain::paper::Fingerprint;
use crate::domain::questions::QuestionList;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::storage::journal::Heartbeat;
use crate::{papers, sat};

/// A sitting of five questions by `otter`.
pub(super) fn header() -> Header {
    let section = papers::section(1, 5, ["4", "-1/4", "0"]);
    let mut paper = papers::paper("Saltmarsh A", 10, [section]);
    paper.outline.own_options = BTreeMap::from([(QuestionNo(2), Labels::new("AB").unwrap())]);
    paper.outline.on_screen = false;
    Header {
        sitting: "s-1".into(),
        replaces: Some("s-0".into()),
        question_fingerprints: BTreeMap::from([(QuestionNo(3), Fingerprint::of(["three"]))]),
        arrangements: Arrangements {
            only: Some(QuestionList::read("1-3,5").unwrap()),
            ..Arrangements::usual(paper.allowed)
        },
        plan: Some(PacePlan {
            checkpoints: vec![Checkpoint {
                question: QuestionNo(2),
                minutes: "5/2".parse().unwrap(),
            }],
            leave: QuestionList::range(QuestionNo(5), QuestionNo(5)),
            stay: Some(Elapsed::seconds(90)),
        }),
        started: DateTime::parse_from_rfc3339("2026-11-25T09:12:00+00:00").unwrap(),
        boot: Boot {
            id: "boot-1".into(),
            zero: 1_000_000,
        },
        ..sat::header("otter", &paper)
    }
}

/// `event` at so many milliseconds of that sitting.
pub(super) fn stamped(at: u64, event: Event) -> Stamped {
    let since = TimeDelta::milliseconds(i64::try_from(at).unwrap());
    Stamped {
        at: Elapsed(at),
        utc: header().started.to_utc() + since,
        event,
    }
}

/// The same sitting as a file of format 1 has it.
pub(super) fn first_header() -> Header {
    let now = header();
    Header {
        format: 1,
        replaces: None,
        question_fingerprints: BTreeMap::new(),
        arrangements: Arrangements {
            only: QuestionList::range(QuestionNo(1), QuestionNo(4)),
            ..now.arrangements
        },
        plan: now.plan.map(|plan| PacePlan {
            leave: None,
            stay: None,
            ..plan
        }),
        ..now
    }
}

/// Every kind of event, and every way to leave; the end of a sitting last.
pub(super) fn one_of_each() -> Vec<Event> {
    let question = QuestionNo(3);
    let label = Label::new('B').unwrap();
    let span = Elapsed(1234);
    let boot = Boot {
        id: "boot-2".into(),
        zero: -5,
    };
    vec![
        Event::Opened(question),
        Event::Answered(question, label),
        Event::RubbedOut(question),
        Event::Skipped(question),
        Event::Flagged(question),
        Event::Unflagged(question),
        Event::Said(question, How::Unsure),
        Event::CrossedOut(question, label),
        Event::CrossedBack(question, label),
        Event::ClockHidden,
        Event::ClockShown,
        Event::SweepBegun,
        Event::SweepLeft,
        Event::Interrupted(Stop::LeftByKey),
        Event::Interrupted(Stop::LeftBySignal),
        Event::Interrupted(Stop::Left),
        Event::Interrupted(Stop::Panic),
        Event::BreakStarted,
        Event::BreakEnded,
        Event::Slept { span, counts: true },
        Event::Stalled { span },
        Event::ClockChanged { millis: -3_600_000 },
        Event::Interrupted(Stop::TerminalLost),
        Event::Resumed {
            since: span,
            counts: false,
            clock: AwayClock::Wall,
            boot: boot.clone(),
            left: None,
        },
        Event::Resumed {
            since: span,
            counts: false,
            clock: AwayClock::Exact,
            boot,
            left: Some(Stop::LeftBySignal),
        },
        Event::TimeUp { due: span },
        Event::GuessRoundStarted,
        Event::Filled {
            seed: u64::MAX,
            answers: vec![(question, label), (QuestionNo(4), label)],
        },
        Event::Closed(Ending::TimeUp),
    ]
}

/// A beat at a moment of the sitting of [`header`].
pub(super) fn beat(at: u64) -> Heartbeat {
    Heartbeat {
        boot_id: "0e1f2a3b-0000-4000-8000-000000000001".into(),
        at: Elapsed(at),
        utc: header().started.to_utc(),
        unsaved: Vec::new(),
    }
}
