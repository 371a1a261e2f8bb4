//! Ten questions of a 25-question paper in 60 minutes: a log with one sink (computed independently,
//! no published source).

use pacebell::analysis::findings::{Finding, Seen};
use pacebell::analysis::stay::{PriceFrom, Sink};
use pacebell::analysis::{Norm, Norms};
use pacebell::domain::event::Event;
use pacebell::domain::marking::Outcome;
use pacebell::domain::time::Elapsed;
use pacebell::stats::summary::median;
use pacebell::words::findings as words;
use pacebell::words::thresholds::Thresholds;

use crate::analysed::analysed;
use crate::definitions::Desk;
use crate::looked::{found, seen, straight_through, to_the_bell};
use crate::script::{header, key, label, log, q};

const SECONDS: [u64; 10] = [52, 56, 82, 72, 139, 119, 135, 475, 132, 158];

/// Two questions left undone of which the group's share right and median time are known.
fn group() -> Norms {
    let norm = |right, minutes| Norm {
        right,
        marked: 100,
        median: Some(Elapsed::minutes(minutes)),
        rushed_below: None,
    };
    Norms {
        people: 100,
        questions: [(q(19), norm(62, 3)), (q(22), norm(45, 4))].into(),
    }
}

#[test]
fn question_eight_is_the_only_sink_and_its_price_is_three_quarters_of_a_mark() {
    let header = header(60, &[(1, 25, "1", "0", "0")]);
    let events = to_the_bell(&header, &SECONDS, "AAAAAAABAA");
    let pacing = analysed(&header, &events);
    let times: Vec<_> = pacing.questions()[..10]
        .iter()
        .map(|pace| pacing.time_on(pace.number).unwrap().as_seconds())
        .collect();
    assert!((times.iter().sum::<f64>() - 1420.0).abs() < 1e-9);
    assert_eq!(median(&times), Some(125.5));

    let group = group();
    let all = found(&header, &events, Some(&key(&"A".repeat(25))), Some(&group));
    let sinks = seen(&all, |seen| match seen {
        Seen::Sink(Sink {
            long,
            outcome,
            rate,
            from,
            cost,
            undone,
        }) => Some((*long, *outcome, *rate, *from, *cost, undone.clone())),
        _ => None,
    });
    let [(long, outcome, rate, from, cost, undone)] = &sinks[..] else {
        panic!("{sinks:?}")
    };
    assert_eq!(long.question, q(8));
    // An even pace is 3600 s / 25 = 144 s; 475 - 144 = 331 s.
    assert_eq!(long.plan, Elapsed::seconds(144));
    assert_eq!(long.over(), Elapsed::seconds(331));
    assert_eq!((*outcome, *from), (Outcome::Wrong, PriceFrom::Group));
    // (.62 - .2) / 3 = .14 a minute on Q19; (.45 - .2) / 4 = .0625 on Q22.
    assert!((rate - 0.14).abs() < 1e-12);
    // 331 s at .14 a minute would be .77; the two could give .62 - .2 and .45 - .2, .67 in all.
    assert!((cost - 0.67).abs() < 1e-12);
    assert_eq!(undone, &[q(19), q(22)]);
    let finding = all
        .iter()
        .find(|f| matches!(f.seen, Seen::Sink(_)))
        .unwrap();
    let said = words::for_tutor(finding, &Thresholds::default());
    assert!(said.starts_with("Q8 took 7 min 55 s (wrong) and earned nothing. That is 5 min 31 s over the plan of 2 min 24 s, and could have earned about 0.7 marks, all there was: the best of 2 questions still to do was worth 0.14 marks a minute"), "{said}");
    assert_eq!(
        words::for_pupil(finding).unwrap(),
        "Question 8 took 8 minutes. What made you stay? Questions 19 and 22 were still to do. If you're stuck, flag the question and move on."
    );
}

#[test]
fn the_same_stay_that_was_right_is_expensive_but_earned() {
    let header = header(60, &[(1, 25, "1", "0", "0")]);
    let events = to_the_bell(&header, &SECONDS, "AAAAAAAAAA");
    let all = found(
        &header,
        &events,
        Some(&key(&"A".repeat(25))),
        Some(&group()),
    );
    assert!(seen(&all, |seen| matches!(seen, Seen::Sink(_)).then_some(())).is_empty());
    let earned = seen(&all, |seen| match seen {
        Seen::Earned(long) => Some(long.question),
        _ => None,
    });
    assert_eq!(earned, [q(8)]);
}

#[test]
fn with_nothing_left_undone_there_is_no_sink_and_without_a_key_only_a_long_stay() {
    let full = header(30, &[(1, 10, "1", "0", "0")]);
    let events = to_the_bell(&full, &SECONDS, "AAAAAAABAA");
    let all = found(&full, &events, Some(&key(&"A".repeat(10))), None);
    assert!(seen(&all, |seen| matches!(seen, Seen::Sink(_)).then_some(())).is_empty());
    let long = header(60, &[(1, 25, "1", "0", "0")]);
    let all = found(
        &long,
        &to_the_bell(&long, &SECONDS, "AAAAAAABAA"),
        None,
        None,
    );
    let stays = seen(&all, |seen| match seen {
        Seen::LongStay(long) => Some(long.question),
        _ => None,
    });
    assert_eq!(stays, [q(8)]);
}

/// Handed in after 1420 s of 3600, or of 1479: with a minute left the stay cost nothing, with 59 s it did.
#[test]
fn a_long_stay_costs_nothing_where_time_was_left_at_the_end() {
    let sinks = |allowed: u64| {
        let mut header = header(60, &[(1, 25, "1", "0", "0")]);
        header.allowed = Elapsed::seconds(allowed);
        let events = straight_through(&header, &SECONDS, "AAAAAAABAA");
        let all = found(&header, &events, Some(&key(&"A".repeat(25))), None);
        seen(&all, |seen| matches!(seen, Seen::Sink(_)).then_some(())).len()
    };
    assert_eq!((sinks(3600), sinks(1480), sinks(1479)), (0, 0, 1));
}

/// Over twice the plan of 144 s, and over it by more than 120 s: 288 s is not long, a millisecond more is.
#[test]
fn a_stay_is_long_over_twice_the_plan() {
    let long = |over: u64| {
        let header = header(60, &[(1, 25, "1", "0", "0")]);
        let mut events = to_the_bell(&header, &[288, 100, 100], "BAA");
        for stamped in events.iter_mut().skip(1) {
            stamped.at = (stamped.at + Elapsed(over)).min(header.allowed);
        }
        let all = found(&header, &events, Some(&key(&"A".repeat(25))), None);
        seen(&all, |seen| matches!(seen, Seen::Sink(_)).then_some(())).len()
    };
    assert_eq!((long(0), long(1)), (0, 1));
}

/// Without a group: nine of ten right, two right and two wrong added: 11/14; the undone questions
/// of the same section at an even 2.4 minutes: (11/14 - 1/5) / 2.4.
#[test]
fn without_a_group_the_price_is_the_pupils_own() {
    let header = header(60, &[(1, 25, "1", "0", "0")]);
    let events = to_the_bell(&header, &SECONDS, "AAAAAAABAA");
    let all = found(&header, &events, Some(&key(&"A".repeat(25))), None);
    let rates = seen(&all, |seen| match seen {
        Seen::Sink(sink) => Some((sink.rate, sink.from)),
        _ => None,
    });
    let [(rate, from)] = rates[..] else {
        panic!("{rates:?}")
    };
    assert_eq!(from, PriceFrom::Own);
    assert!((rate - (11.0 / 14.0 - 0.2) / 2.4).abs() < 1e-12);
}

/// Two blanks filled at the end, right as it came out, were not worked out: the price stays.
#[test]
fn a_sweeps_fills_do_not_count_in_the_share_right() {
    let header = header(60, &[(1, 25, "1", "0", "0")]);
    let mut events = to_the_bell(&header, &SECONDS, "AAAAAAABAA");
    let end = events.split_off(events.len() - 2);
    let fills = [24, 25].into_iter().zip([3_540_000, 3_546_000]);
    let fills = fills.flat_map(|(number, at)| {
        let answer = Event::Answered(q(number), label('A'));
        [(at, Event::Opened(q(number))), (at + 5_000, answer)]
    });
    events.extend(log(&header, fills.collect()));
    events.extend(end);
    let all = found(&header, &events, Some(&key(&"A".repeat(25))), None);
    let rates = seen(&all, |seen| match seen {
        Seen::Sink(sink) => Some((sink.rate, sink.undone.len())),
        _ => None,
    });
    let [(rate, 13)] = rates[..] else {
        panic!("{rates:?}")
    };
    assert!((rate - (11.0 / 14.0 - 0.2) / 2.4).abs() < 1e-12);
}

/// Question 5 takes ten minutes for nothing; 2 has its guess before, 3 and 4 only after, 6 to 10 none.
#[test]
fn what_had_its_guess_before_a_long_stay_did_not_wait() {
    let header = header(20, &[(1, 10, "1", "0", "0")]);
    let sink = |before: &[u16]| {
        let mut desk = Desk::new().open(0, 1).answer(60, 1, 'A').open(60, 4);
        for number in before {
            desk = desk.open(90, *number).guess(90, *number, 'B');
        }
        desk = desk.open(90, 5).answer(690, 5, 'B');
        desk = desk.open(690, 4).guess(720, 4, 'B');
        let mut desk = desk.open(720, 3).guess(750, 3, 'B');
        for number in 6..=10 {
            desk = desk.open(760, number);
        }
        let events = log(&header, desk.time_up(1200));
        let all = found(&header, &events, Some(&key(&"A".repeat(10))), None);
        let of_five = |finding: &&Finding| match &finding.seen {
            Seen::Sink(sink) => sink.long.question == q(5),
            _ => false,
        };
        let sink = all.iter().find(of_five)?;
        let Seen::Sink(five) = &sink.seen else {
            return None;
        };
        let undone: Vec<_> = five.undone.iter().map(|own| own.0).collect();
        Some((undone, words::for_pupil(sink)?))
    };
    let (undone, said) = sink(&[2]).unwrap();
    assert_eq!(undone, [3, 4, 6, 7, 8, 9, 10]);
    assert!(said.contains("Questions like 3 and 4 were"), "{said}");
    // An answer in the millisecond of the opening came before it.
    let (undone, _) = sink(&[2, 3, 4]).unwrap();
    assert_eq!(undone, [6, 7, 8, 9, 10]);
    assert_eq!(sink(&[2, 3, 4, 6, 7, 8, 9, 10]), None);
}
