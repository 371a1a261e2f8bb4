//! What a log bears where the paper lay beside the screen, where it was typed in, and where nothing was done.

use pacebell::analysis::Trust;
use pacebell::analysis::findings::{Finding, Seen};
use pacebell::domain::event::{Ending, Event};
use pacebell::domain::header::{Header, Mode};
use pacebell::words::findings as words;
use pacebell::words::thresholds::Thresholds;

use crate::analysed::analysed;
use crate::definitions::{Desk, twenty};
use crate::looked::found;
use crate::script::{key, log, q};

fn on_paper() -> Header {
    let mut header = twenty();
    header.paper.on_screen = false;
    header
}

fn all(header: &Header, events: Vec<(u64, Event)>) -> Vec<Finding> {
    let key = key(&"A".repeat(20));
    found(header, &log(header, events), Some(&key), None)
}

/// What the tutor and the pupil read of the findings that are picked.
fn said(all: &[Finding], pick: fn(&Seen) -> bool) -> Vec<(String, Option<String>)> {
    let picked = all.iter().filter(|own| pick(&own.seen));
    let told = |own: &Finding| {
        let tutor = words::for_tutor(own, &Thresholds::default());
        (tutor, words::for_pupil(own))
    };
    picked.map(told).collect()
}

const fn is_stay(seen: &Seen) -> bool {
    matches!(seen, Seen::Sink(_) | Seen::Earned(_) | Seen::LongStay(_))
}

/// Sixteen questions, then nineteen minutes on question 20, answered at their end.
fn nineteen_minutes(option: char) -> Vec<(u64, Event)> {
    let desk = Desk::new().straight(0, 120, 1..=16).open(1920, 20);
    let desk = desk.answer(1920 + 1140, 20, option).open(3060, 17);
    desk.open(3200, 18).open(3400, 19).time_up(3600)
}

#[test]
fn beside_a_printed_paper_a_question_was_open_and_took_nothing() {
    let stay = |header: &Header, option| said(&all(header, nineteen_minutes(option)), is_stay);
    let earned = stay(&twenty(), 'A');
    assert!(earned[0].0.starts_with("Q20 took 19 minutes and was right"));
    assert!(earned[0].1.is_some());
    let earned = stay(&on_paper(), 'A');
    assert!(
        earned[0]
            .0
            .starts_with("Q20 was open for 19 minutes and was right"),
        "{earned:?}"
    );
    assert_eq!(earned[0].1, None);
    let sunk = stay(&on_paper(), 'B');
    assert!(sunk[0].0.starts_with("Q20 was open for 19 minutes (wrong)"));
    let page = sunk[0].1.clone().unwrap();
    assert!(
        page.starts_with("Question 20 was open for 19 minutes. Questions"),
        "{page}"
    );
    assert!(!page.contains("took") && !page.contains("What made you"));
}

#[test]
fn a_sheet_on_which_nothing_was_chosen_shows_no_stay() {
    let empty = all(&twenty(), Desk::new().open(0, 1).time_up(3600));
    assert_eq!(said(&empty, is_stay), []);
    // One answer, and question 2 left open to the bell: nobody knows who was there.
    let one = Desk::new().straight(0, 60, 1..=1).open(60, 2).time_up(3600);
    let one = said(&all(&twenty(), one), is_stay);
    assert_eq!(one.len(), 1);
    assert!(
        one[0]
            .0
            .starts_with("Q2 was open for 59 minutes (left blank)")
    );
    // Twenty minutes on question 2 before it was left, and opened once more at the end.
    let left = Desk::new().straight(0, 60, 1..=1).open(60, 2);
    let left = left.straight(1260, 100, 3..=4).open(3500, 2).time_up(3600);
    let left = said(&all(&twenty(), left), is_stay);
    let of_two: Vec<_> = left.iter().filter(|own| own.0.starts_with("Q2 ")).collect();
    assert!(
        of_two[0].0.starts_with("Q2 took 21 min 40 s (left blank)"),
        "{left:?}"
    );
}

/// Six at a time, each six keyed within half a minute; two never.
fn keyed_together() -> Vec<(u64, Event)> {
    let mut desk = Desk::new();
    for part in 0..3_u16 {
        let from = u64::from(part + 1) * 1100;
        desk = desk.open(from - 1000, part * 6 + 1);
        desk = desk.straight(from, 4, part * 6 + 1..=part * 6 + 6);
    }
    desk.time_up(3600)
}

#[test]
fn what_was_not_keyed_need_not_be_blank_on_the_paper() {
    let blanks = |header: &Header, events| {
        let all = all(header, events);
        let blanks = said(&all, |seen| matches!(seen, Seen::Blanks { .. }));
        blanks[0].1.clone().unwrap()
    };
    let header = on_paper();
    let trust = analysed(&header, &log(&header, keyed_together()));
    assert!(matches!(trust.trust(), Trust::Withheld { .. }));
    let plain = "2 questions had no answer. Next time, fill every blank before time is up.";
    assert_eq!(blanks(&header, keyed_together()), plain);
    let mut entered = twenty();
    entered.mode = Mode::Entered;
    let mut typed = Desk::new().straight(0, 0, 1..=18).0;
    typed.push((0, Event::Closed(Ending::Entered)));
    assert_eq!(blanks(&entered, typed), plain);
    assert_eq!(
        blanks(&twenty(), keyed_together()),
        "2 questions were left blank. Next time, fill every blank in the last three minutes."
    );
}

/// Two answers keyed within six seconds, in the middle of an hour of two minutes a question.
#[test]
fn keyed_quickly_is_not_answered_quickly() {
    let events = || {
        let mut desk = Desk::new().straight(0, 150, 1..=10);
        for number in [11, 12] {
            let at = 1500 + u64::from(number) * 6;
            desk = desk.open(at - 6, number).answer(at, number, 'B');
        }
        desk.straight(1600, 200, 13..=20).time_up(3600)
    };
    let quick = |header: &Header| {
        let all = all(header, events());
        let quick = all
            .iter()
            .find(|own| matches!(own.seen, Seen::Rushed { .. }));
        quick.map(Finding::questions)
    };
    assert_eq!(quick(&twenty()), Some(vec![q(11), q(12)]));
    assert_eq!(quick(&on_paper()), None);
}

/// The first five answers were keyed together after twenty minutes: nobody knows when they were worked out.
#[test]
fn a_start_that_was_keyed_together_is_not_slow() {
    let slow = |header: &Header| {
        let desk = Desk::new().open(0, 1).straight(1200, 4, 1..=5);
        let all = all(header, desk.straight(1230, 150, 6..=20).time_up(3600));
        let slow = all
            .iter()
            .filter(|own| matches!(own.seen, Seen::SlowStart { .. }));
        slow.count()
    };
    assert_eq!((slow(&twenty()), slow(&on_paper())), (1, 0));
}
