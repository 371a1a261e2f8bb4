//! Each threshold at its very edge, by its definition in `domain/thresholds.rs`.

use pacebell::analysis::findings::{QuickFrom, Seen};
use pacebell::analysis::{Norm, Norms, Trust};
use pacebell::domain::header::{Checkpoint, Header, PacePlan};
use pacebell::domain::mark::Mark;
use pacebell::domain::time::Elapsed;

use crate::analysed::analysed;
use crate::definitions::{Desk, swept, twenty};
use crate::looked::{found, seen, to_the_bell};
use crate::script::{header, key, log, q};

fn on_paper() -> Header {
    let mut header = twenty();
    header.paper.on_screen = false;
    header
}

/// So many answers five seconds apart in the middle of an hour on a printed paper of twenty.
fn keyed(count: u16) -> Trust {
    let header = on_paper();
    let desk = Desk::new().straight(0, 250, 1..=4);
    let desk = desk.straight(1200, 5, 5..=4 + count);
    let events = desk.straight(1300, 120, 5 + count..=20).time_up(3600);
    analysed(&header, &log(&header, events)).trust().clone()
}

/// Three make a batch; five of twenty are a quarter and no greater share.
#[test]
fn a_batch_is_three_answers_and_times_are_withheld_past_a_quarter() {
    assert_eq!(keyed(2), Trust::Own);
    assert!(matches!(keyed(3), Trust::Blocks(_)));
    assert!(matches!(keyed(5), Trust::Blocks(_)));
    assert!(matches!(keyed(6), Trust::Withheld { batched: 6, .. }));
}

/// Two blanks are a sweep; beside a printed paper half of the questions are, and one more is keying, which on the
/// screen it is not.
#[test]
fn a_sweep_fills_two_blanks_and_beside_a_paper_half_of_the_questions() {
    let last = |header: &Header, count: u16| {
        let desk = Desk::new().straight(0, 150, 1..=20 - count);
        let events = desk.straight(3500, 5, 21 - count..=20).time_up(3600);
        swept(header, events).map(|(filled, ..)| filled.len())
    };
    assert_eq!(last(&twenty(), 1), None);
    assert_eq!(last(&twenty(), 2), Some(2));
    assert_eq!(last(&on_paper(), 10), Some(10));
    assert_eq!(last(&on_paper(), 11), None);
    assert_eq!(last(&twenty(), 11), Some(11));
}

/// The plan is a minute: twice it are two, but two minutes over it are three.
#[test]
fn a_stay_is_long_over_its_plan_by_more_than_two_minutes() {
    let long = |seconds: u64| {
        let header = header(20, &[(1, 20, "1", "0", "0")]);
        let events = to_the_bell(&header, &[seconds, 30, 30], "AAA");
        let all = found(&header, &events, Some(&key(&"A".repeat(20))), None);
        seen(&all, |seen| matches!(seen, Seen::Earned(_)).then_some(())).len()
    };
    assert_eq!((long(121), long(180), long(181)), (0, 0, 1));
}

/// Three other questions show a pace of one's own, and a group's middle time on the question counts where it is
/// less: a quarter of 100 s are 25, of 60 s 15.
#[test]
fn quick_is_below_a_quarter_of_three_others_or_of_a_quicker_group() {
    let header = header(60, &[(1, 4, "1", "0", "0")]);
    let quick = |seconds: u64, answers: &str, group: Option<u64>| {
        let events = to_the_bell(&header, &[seconds, 100, 100, 100], answers);
        let norms = group.map(|median| {
            let norm = Norm {
                right: 5,
                marked: 10,
                median: Some(Elapsed::seconds(median)),
                rushed_below: Some(Elapsed::seconds(8)),
            };
            Norms {
                people: 10,
                questions: [(q(1), norm)].into(),
            }
        });
        let all = found(&header, &events, Some(&key("AAAA")), norms.as_ref());
        seen(&all, |seen| match seen {
            Seen::Rushed { questions, from } => Some((*from, questions[0].below)),
            _ => None,
        })
    };
    let own = |seconds| [(QuickFrom::Own, Elapsed::seconds(seconds))];
    assert_eq!(quick(24, "BAAA", None), own(25));
    assert_eq!(quick(25, "BAAA", None), []);
    assert_eq!(quick(24, "BA-A", None), [], "two others are no pace");
    assert_eq!(quick(14, "BAAA", Some(60)), own(15));
    assert_eq!(quick(15, "BAAA", Some(60)), []);
    assert_eq!(quick(24, "BAAA", Some(200)), own(25));
}

/// Question 3 was never opened. Handed in a millisecond before the checkpoint's moment it was not missed; at it, it was.
#[test]
fn a_checkpoint_is_missed_by_a_sitting_that_ended_at_its_moment() {
    use pacebell::domain::event::{Ending, Event};
    let mut header = header(20, &[(1, 10, "5", "0", "0")]);
    header.plan = Some(PacePlan {
        checkpoints: vec![Checkpoint {
            question: q(3),
            minutes: Mark::whole(5),
        }],
        ..PacePlan::default()
    });
    let late = |closes: u64| {
        let mut desk = Desk::new().straight(0, 100, 1..=2);
        desk.0.push((closes, Event::Closed(Ending::FinishedEarly)));
        let all = found(&header, &log(&header, desk.0), None, None);
        seen(&all, |seen| match seen {
            Seen::Late { reached, .. } => Some(*reached),
            _ => None,
        })
    };
    assert_eq!(late(299_999), []);
    assert_eq!(late(300_000), [None]);
}
