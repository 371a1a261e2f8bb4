//! Headers and events for the tests of this module.

use std::collections::BTreeMap;

use chrono::{DateTime, TimeDelta};

use crate::domain::event::{AwayClock, Ending, Event, How, Stamped, Stop};
use crate::domain::header::{Alias, Arrangements, Boot, Header, Mode, PacePlan, SESSION_FORMAT};
use crate::domain::labels::{Label, Labels};
use crate::domain::mark::Mark;
use crate::domain::paper::{Fingerprint, Outline};
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
        standard: Elapsed::minutes(10),
        allowed: Elapsed::minutes(10),
        arrangements: Arrangements {
            only: Some((QuestionNo(1), QuestionNo(4))),
            ..Arrangements::usual(Elapsed::minutes(10))
        },
        plan: Some(PacePlan::default()),
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

/// Every kind of event.
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
            boot,
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
