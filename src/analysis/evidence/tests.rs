//! What counts of a sitting, and what does not.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::DateTime;

use super::*;
use crate::domain::event::{Ending, Event, Stamped};
use crate::domain::header::{Header, Mode};
use crate::domain::key::Key;
use crate::domain::labels::Label;
use crate::domain::paper::Outline;
use crate::domain::questions::QuestionList;
use crate::{papers, sat};

fn header() -> Header {
    let section = papers::section(1, 6, ["4", "0", "0"]);
    let mut paper = papers::paper("Heron", 12, [section]);
    paper.outline.on_screen = false;
    sat::header("otter", &paper)
}

fn key() -> Key {
    Key {
        paper: "heron".into(),
        fingerprint: None,
        answers: "AAAAAA".chars().filter_map(Label::new).collect(),
        also_right: BTreeMap::new(),
        voids: BTreeMap::new(),
        notes: BTreeMap::new(),
    }
}

fn evidence(header: Header, script: &[(u64, Event)]) -> Option<Evidence> {
    let events: Vec<Stamped> = script
        .iter()
        .map(|(at, event)| Stamped {
            at: Elapsed::seconds(*at),
            utc: DateTime::UNIX_EPOCH,
            event: event.clone(),
        })
        .collect();
    let analysis = Analysis::of(Arc::new(header), events.into(), Arc::default());
    Evidence::of(&Studied::new(analysis, Some(Arc::new(key()))))
}

fn answer(at: u64, number: u16, option: char) -> [(u64, Event); 2] {
    let number = QuestionNo(number);
    [
        (at, Event::Opened(number)),
        (
            at + 60,
            Event::Answered(number, Label::new(option).unwrap()),
        ),
    ]
}

fn usual() -> Vec<(u64, Event)> {
    let mut script = [answer(0, 1, 'A'), answer(60, 2, 'B'), answer(120, 3, 'A')].concat();
    script.push((181, Event::Said(QuestionNo(3), How::Guessed)));
    script.extend(answer(200, 5, 'A'));
    script
}

#[test]
fn worked_guessed_and_blank_are_told_apart_and_waiting_at_the_end_is_no_work() {
    let mut script = usual();
    script.push((700, Event::Closed(Ending::FinishedEarly)));
    let found = evidence(header(), &script).unwrap();
    let said: Vec<_> = found
        .answers
        .iter()
        .map(|seen| (seen.done, seen.seconds))
        .collect();
    let minute = Some(60.0);
    let never = Some(0.0);
    assert_eq!(
        said,
        [
            (Done::Right, minute),
            (Done::Wrong, minute),
            (Done::Guessed, Some(80.0)),
            (Done::Blank, never),
            (Done::Right, minute),
            (Done::Blank, never),
        ]
    );
    assert_eq!((found.timing.trust, found.not_whole), (Trust::Own, None));
    assert!((found.timing.share - 120.0).abs() < 1e-9);
}

#[test]
fn an_open_sitting_and_one_that_was_given_up_say_nothing() {
    assert_eq!(evidence(header(), &usual()), None);
    let mut script = usual();
    script.push((700, Event::Closed(Ending::Abandoned)));
    assert_eq!(evidence(header(), &script), None);
}

#[test]
fn answers_keyed_in_a_batch_have_no_times() {
    let batch: Vec<_> = (1..=4_u16)
        .zip((300..).step_by(5))
        .flat_map(|(number, at)| {
            let [open, (_, keyed)] = answer(at, number, 'A');
            [open, (at + 1, keyed)]
        })
        .chain([(400, Event::Closed(Ending::FinishedEarly))])
        .collect();
    let found = evidence(header(), &batch).unwrap();
    assert!(matches!(found.timing.trust, Trust::Withheld { .. }));
    assert!(found.answers.iter().all(|seen| seen.seconds.is_none()));
    let on_screen = Header {
        paper: Outline {
            on_screen: true,
            ..header().paper
        },
        ..header()
    };
    assert_eq!(
        evidence(on_screen, &batch).unwrap().timing.trust,
        Trust::Own
    );
}

#[test]
fn a_sheet_done_on_paper_has_no_times_and_part_of_a_paper_is_not_the_whole() {
    let mut script = usual();
    script.push((700, Event::Closed(Ending::Entered)));
    let entered = evidence(
        Header {
            mode: Mode::Entered,
            ..header()
        },
        &script,
    )
    .unwrap();
    assert_eq!(entered.timing.trust, Trust::NoTimes);
    assert!(entered.answers.iter().all(|seen| seen.seconds.is_none()));
    let mut part = header();
    part.arrangements.only = QuestionList::range(QuestionNo(1), QuestionNo(3));
    let found = evidence(part, &script).unwrap();
    assert_eq!(
        (found.not_whole, found.answers.len()),
        (Some(Exclusion::Part), 3)
    );
}
