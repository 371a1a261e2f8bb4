//! Logs on which something fell over or did not add up, cut down to what does it.

use pacebell::analysis::findings::{Seen, findings};
use pacebell::analysis::{Basis, GapKind};
use pacebell::domain::event::{AwayClock, Ending, Event};
use pacebell::domain::header::{Checkpoint, Header, PacePlan};
use pacebell::domain::mark::Mark;
use pacebell::domain::questions::QuestionList;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;

use crate::holds;
use crate::strange::{Odd, boot, header, label};

fn opened(number: u16) -> Event {
    Event::Opened(QuestionNo(number))
}

fn answered(number: u16, option: char) -> Event {
    Event::Answered(QuestionNo(number), label(option))
}

fn time_up(due: u64) -> Event {
    Event::TimeUp { due: Elapsed(due) }
}

/// The break has no length, and the absence begins in the millisecond in which it was: two gaps of the same
/// moment, of which only one has the length.
#[test]
fn a_break_of_no_length_before_an_absence_is_no_gap() {
    let back = Event::Resumed {
        since: Elapsed(1000),
        counts: false,
        clock: AwayClock::Exact,
        boot: boot(),
        left: None,
    };
    let events = vec![
        (0, opened(1)),
        (1000, Event::BreakStarted),
        (1000, Event::BreakEnded),
        (61_000, back),
        (70_000, answered(1, 'C')),
    ];
    let odd = Odd::of(header(), events);
    holds(&odd);
    let analysis = odd.analysis();
    let kinds: Vec<_> = analysis.gaps().iter().map(|gap| gap.kind).collect();
    assert_eq!(kinds, [GapKind::Away]);
    let whole = analysis.whole();
    assert_eq!((whole.breaks, whole.away), (Elapsed(0), Elapsed(60_000)));
}

#[test]
fn time_is_up_once_and_not_before_the_last_thing_done_in_time() {
    let ended = |events: Vec<(u64, Event)>| {
        let odd = Odd::of(header(), events);
        holds(&odd);
        odd.analysis().whole().ended.0
    };
    let work = || vec![(0, opened(1)), (5000, answered(1, 'C')), (6000, opened(2))];
    let then = |more: Vec<(u64, Event)>| ended(work().into_iter().chain(more).collect());
    assert_eq!(then(vec![(9000, time_up(8000))]), 8000);
    assert_eq!(then(vec![(9000, time_up(2000))]), 6000);
    assert_eq!(then(vec![(9000, time_up(20_000))]), 9000);
    assert_eq!(
        then(vec![(9000, time_up(8000)), (9500, time_up(9500))]),
        8000
    );
    assert_eq!(
        then(vec![
            (9000, time_up(8000)),
            (9500, Event::BreakEnded),
            (9600, opened(3))
        ]),
        8000
    );
}

/// A file of the first format has no seal, so that its reader takes what comes after the end.
#[test]
fn what_comes_after_the_end_changes_nothing() {
    let first = Header {
        format: 1,
        question_fingerprints: std::collections::BTreeMap::new(),
        ..header()
    };
    let mut events = vec![
        (0, opened(1)),
        (5000, answered(1, 'C')),
        (6000, Event::Closed(Ending::FinishedEarly)),
    ];
    let ended = Odd::of(first.clone(), events.clone());
    events.extend([
        (7000, opened(2)),
        (9000, answered(2, 'A')),
        (9000, time_up(9000)),
        (9500, Event::Closed(Ending::Abandoned)),
    ]);
    let odd = Odd::of(first, events);
    holds(&odd);
    let (before, after) = (ended.analysis(), odd.analysis());
    assert_eq!(before.whole(), after.whole());
    assert_eq!(before.questions(), after.questions());
    assert_eq!(after.ending(), Some(Ending::FinishedEarly));
}

/// The longest moment that a file can hold: no page counts through its minutes one by one, and none rounds past
/// the end of the numbers.
#[test]
fn a_sitting_of_millions_of_years_is_drawn_at_once() {
    let events = vec![
        (0, opened(1)),
        (0, Event::Skipped(QuestionNo(1))),
        (u64::MAX, opened(2)),
        (u64::MAX, Event::Closed(Ending::FinishedEarly)),
    ];
    holds(&Odd::of(header(), events));
}

/// Of questions 20 to 25 none is asked up to question 10, so that nobody can be late there.
#[test]
fn a_checkpoint_before_the_first_question_asked_is_not_missed() {
    let mut part = header();
    part.arrangements.only = QuestionList::read("20-25").ok();
    part.plan = Some(PacePlan {
        checkpoints: vec![Checkpoint {
            question: QuestionNo(10),
            minutes: Mark::whole(10),
        }],
        ..PacePlan::default()
    });
    let events = vec![
        (0, opened(20)),
        (1_800_000, answered(20, 'C')),
        (1_800_000, Event::Closed(Ending::FinishedEarly)),
    ];
    let odd = Odd::of(part, events);
    holds(&odd);
    let studied = odd.studied();
    let all = findings(&Basis {
        analysis: &studied.analysis,
        keyed: studied.keyed.as_ref(),
        norms: None,
    });
    assert!(!all.iter().any(|own| matches!(own.seen, Seen::Late { .. })));
}
