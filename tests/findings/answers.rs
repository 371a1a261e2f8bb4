//! Findings that need the answers.

use std::sync::Arc;

use pacebell::analysis::findings::{Finding, Quick, QuickFrom, Seen, Tone, told};
use pacebell::analysis::{Norm, Norms, Studied};
use pacebell::domain::event::{Ending, Event, How};
use pacebell::domain::mark::Mark;
use pacebell::domain::time::Elapsed;
use pacebell::words::findings as words;
use pacebell::words::thresholds::{Limit, Thresholds};

use crate::analysed::analysed;
use crate::looked::{found, seen, straight_through};
use crate::script::{header, key, label, log, q};

/// A group of ten whose times on question 1 have the mean 80.7 s.
fn group() -> Norms {
    let header = header(60, &[(1, 3, "1", "0", "0")]);
    let key = key("AAA");
    let seconds = [95, 110, 62, 140, 88, 7, 120, 75, 101, 9];
    let logs: Vec<_> = seconds
        .iter()
        .enumerate()
        .map(|(index, seconds)| {
            // Eight of ten get question 3 right; two of ten question 2.
            let answers = if index < 8 { "ABA" } else { "AAB" };
            straight_through(&header, &[*seconds, 60, 60], answers)
        })
        .collect();
    let key = Some(Arc::new(key));
    let members = logs
        .iter()
        .map(|log| Studied::new(analysed(&header, log), key.clone()));
    Norms::of(&members.collect::<Vec<_>>())
}

/// A tenth of the group's mean (NT10): 8.07 s, so 7 s is flagged and 9 s is not; without a group a
/// fixed floor of 10 s flags both, and the finding names it.
#[test]
fn rushed_is_held_against_the_group_or_against_a_floor_that_is_named() {
    let group = group();
    assert_eq!(group.norm(q(1)).rushed_below, Some(Elapsed(8_070)));
    assert_eq!(group.norm(q(1)).median, Some(Elapsed(91_500)));
    let header = header(60, &[(1, 3, "1", "0", "0")]);
    let rushed = |seconds, group: Option<&Norms>| {
        let log = straight_through(&header, &[seconds, 90, 90], "BAA");
        let all = found(&header, &log, Some(&key("AAA")), group);
        seen(&all, |seen| match seen {
            Seen::Rushed { questions, from } => Some((questions.clone(), *from)),
            _ => None,
        })
    };
    let quick = |time, below| Quick {
        question: q(1),
        time: Elapsed(time),
        below: Elapsed(below),
    };
    assert_eq!(
        rushed(7, Some(&group)),
        [(vec![quick(7_000, 8_070)], QuickFrom::Group)]
    );
    assert_eq!(rushed(9, Some(&group)), []);
    assert_eq!(
        rushed(9, None),
        [(vec![quick(9_000, 10_000)], QuickFrom::Floor)]
    );
    assert_eq!(rushed(10, None), []);
    let log = straight_through(&header, &[9, 90, 90], "BAA");
    let all = found(&header, &log, Some(&key("AAA")), None);
    let finding = all
        .iter()
        .find(|f| matches!(f.seen, Seen::Rushed { .. }))
        .unwrap();
    let said = words::for_tutor(finding, &Thresholds::default());
    assert!(
        said.contains("Threshold: 10 s, a rule of thumb, because neither"),
        "{said}"
    );
}

#[test]
fn left_unseen_though_easy_needs_a_group_and_names_its_share() {
    let group = group();
    let header = header(60, &[(1, 3, "1", "0", "0")]);
    let log = straight_through(&header, &[90], "A");
    let easy = |group| {
        let all = found(&header, &log, Some(&key("AAA")), group);
        seen(&all, |seen| match seen {
            Seen::LeftEasy { questions, people } => Some((questions.clone(), *people)),
            _ => None,
        })
    };
    assert_eq!(easy(Some(&group)), [(vec![(q(3), 0.8)], 10)]);
    assert_eq!(easy(None), []);
    let mut small = group.clone();
    small.people = 4;
    assert_eq!(easy(Some(&small)), []);
}

#[test]
fn changes_count_when_they_decided_the_end() {
    let header = header(60, &[(1, 4, "4", "-1", "0")]);
    let answered = |at, number, c| (at, Event::Answered(q(number), label(c)));
    let mut events = Vec::new();
    for number in 1..=4_u16 {
        let at = u64::from(number) * 60_000;
        events.push((at - 60_000, Event::Opened(q(number))));
        // Q1 right, wrong; Q2 wrong, right; Q3 right, wrong, right; Q4 wrong, wrong.
        let options = ["AB", "BA", "ABA", "BC"][usize::from(number) - 1];
        for (step, c) in (0..).zip(options.chars()) {
            events.push(answered(at - 20_000 + step * 1_000, number, c));
        }
    }
    events.push((240_000, Event::Closed(Ending::FinishedEarly)));
    let all = found(&header, &log(&header, events), Some(&key("AAAA")), None);
    let changed = seen(&all, |seen| match seen {
        Seen::ToWrong { questions, lost } => Some((questions.clone(), *lost)),
        Seen::ToRight {
            questions, gained, ..
        } => Some((questions.clone(), *gained)),
        _ => None,
    });
    // A right answer instead of a wrong one is worth 4 + 1; Q3 went there and back.
    assert_eq!(
        changed,
        [
            (vec![q(1)], Mark::whole(5)),
            (vec![q(2), q(3)], Mark::whole(10)),
        ]
    );
}

/// Ten blind guesses at one in five: four or more come off 12.09 times in 100, none 10.74
/// (binomial arithmetic); three or more 32 times in 100.
#[test]
fn guesses_are_lucky_or_unlucky_only_when_that_is_seldom() {
    let header = header(60, &[(1, 10, "1", "0", "0")]);
    let luck = |right: usize| {
        let mut events = vec![];
        for number in 1..=10_u16 {
            let at = u64::from(number) * 60_000;
            let c = if usize::from(number) <= right {
                'A'
            } else {
                'B'
            };
            events.push((at - 30_000, Event::Opened(q(number))));
            events.push((at, Event::Answered(q(number), label(c))));
            events.push((at, Event::Said(q(number), How::Guessed)));
        }
        let all = found(
            &header,
            &log(&header, events),
            Some(&key("AAAAAAAAAA")),
            None,
        );
        seen(&all, |seen| match seen {
            Seen::Luck {
                guesses,
                expected,
                chance,
                good,
                ..
            } => Some((*guesses, *expected, (*chance * 10_000.0).round(), *good)),
            _ => None,
        })
    };
    assert_eq!(luck(4), [(10, 2.0, 1209.0, true)]);
    assert_eq!(luck(0), [(10, 2.0, 1074.0, false)]);
    assert_eq!(luck(2), []);
    assert_eq!(luck(3), []);
}

#[test]
fn one_talk_holds_six_findings_worst_first_with_room_for_praise() {
    let finding = |seen, stake| Finding { seen, stake };
    let next = |stake: f64| {
        let seen = Seen::ToWrong {
            questions: vec![q(1)],
            lost: Mark::whole(1),
        };
        finding(seen, stake)
    };
    let praise = |count| {
        finding(
            Seen::NoBlank {
                count,
                unused: false,
                timed: true,
            },
            0.0,
        )
    };
    let mut all: Vec<_> = (0..9_u8)
        .rev()
        .map(|stake| next(f64::from(stake)))
        .collect();
    all.extend([praise(1), praise(2), praise(3)]);
    let limits = Thresholds::default();
    let told_stakes = |all: &[Finding]| -> Vec<_> {
        told(all, &limits)
            .iter()
            .map(|f| (f.tone() == Tone::Praise, f.stake))
            .collect()
    };
    let by_hand = [
        (false, 8.0),
        (false, 7.0),
        (false, 6.0),
        (false, 5.0),
        (true, 0.0),
        (true, 0.0),
    ];
    assert_eq!(told_stakes(&all), by_hand);
    // With little else to say there is room for all the praise.
    assert_eq!(told(&all[7..], &limits).len(), 5);
    let mut few = Thresholds::default();
    assert!(few.set(Limit::TalkMost, Mark::whole(3)));
    assert_eq!(told(&all, &few).len(), 3);
}

#[test]
fn a_norm_that_nobody_opened_says_nothing() {
    assert_eq!(group().norm(q(9)), Norm::default());
}
