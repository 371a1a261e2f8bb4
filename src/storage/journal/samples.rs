//! Headers and events for the tests of this module.

use std::collections::BTreeMap;

use chrono::{DateTime, TimeDelta};

use crate::domain::event::{AwayClock, Ending, Event, How, Stamped, Stop};
use crate::domain::header::{
    Alias, Arrangements, Boot, Checkpoint, Header, Mode, PacePlan, SESSION_FORMAT,
};
use crate::domain::labels::{Label, Labels};
use crate::domain::mark::Mark;
use crate::domain::paper::{Fingerprint, Outline};
use crate::domain::questions::QuestionList;
use crate::domain::rule::{QuestionNo, Rule, Section};
use crate::domain::time::Elapsed;

/// A sitting of five questions by `otter`.
pub(super) fn header() -> Header {
    let section = Section {
        name: "all".into(),
        first: QuestionNo(1),
        last: QuestionNo(5),
        right: Mark::whole(4),
        wrong: "-1/4".parse().unwrap(),
        blank: Mark::ZERO,
    };
    Header {
        format: SESSION_FORMAT,
        sitting: "s-1".into(),
        pupil: Alias::new("otter").unwrap(),
        mode: Mode::Timed,
        replaces: Some("s-0".into()),
        paper: Outline {
            id: "saltmarsh-a".into(),
            title: "Saltmarsh A".into(),
            fingerprint: Fingerprint::of(["five"]),
            questions: 5,
            options: Labels::new("ABCDE").unwrap(),
            own_options: BTreeMap::from([(QuestionNo(2), Labels::new("AB").unwrap())]),
            rule: Rule {
                start: Mark::ZERO,
                sections: vec![section],
            },
            awards: vec![],
            rule_checked: None,
            on_screen: false,
        },
        question_fingerprints: BTreeMap::from([(QuestionNo(3), Fingerprint::of(["three"]))]),
        standard: Elapsed::minutes(10),
        allowed: Elapsed::minutes(10),
        arrangements: Arrangements {
            only: Some(QuestionList::read("1-3,5").unwrap()),
            ..Arrangements::usual(Elapsed::minutes(10))
        },
        plan: Some(PacePlan {
            checkpoints: vec![Checkpoint {
                question: QuestionNo(2),
                minutes: "5/2".parse().unwrap(),
            }],
            leave: QuestionList::range(QuestionNo(5), QuestionNo(5)),
            stay: Some(Elapsed::seconds(90)),
        }),
        program: "0.1.0".into(),
        invented: false,
        started: DateTime::parse_from_rfc3339("2026-11-25T09:12:00+00:00").unwrap(),
        boot: Boot {
            id: "boot-1".into(),
            zero: 1_000_000,
        },
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
