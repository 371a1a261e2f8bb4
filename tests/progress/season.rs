//! Sittings of a season put together: which are compared, topics, causes.

use chrono::TimeDelta;
use std::sync::Arc;

use pacebell::analysis::{Analysis, Studied};
use pacebell::domain::event::{Ending, Event, How, Stamped};
use pacebell::domain::header::Header;
use pacebell::domain::key::Key;
use pacebell::domain::mark::Mark;
use pacebell::domain::notes::{Cause, Notes, Said};
use pacebell::domain::paper::{Award, Paper, Question};
use pacebell::domain::questions::QuestionList;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::reports::progress::{PracticeReport, Season, page};
use pacebell::season::familiarity::MetInPractice;
use pacebell::season::progress::{Apart, Line, Of, Progress, line, progress};

use crate::marks::mark;
use crate::papers;
use crate::script::{header, key, label, log, q};

/// A sitting of a ten-question paper of 20 minutes so many weeks into the season; questions are
/// answered two minutes each, `g` and `h` are guesses at A and B.
fn sat(week: i64, paper: &str, answers: &str) -> (Header, Vec<Stamped>) {
    let mut header = header(20, &[(1, 10, "4", "0", "0")]);
    header.sitting = format!("{paper}-{week}");
    header.paper.id = paper.into();
    header.paper.awards = vec![Award {
        name: "dunlin".into(),
        boundary: Mark::whole(20),
    }];
    header.started += TimeDelta::weeks(week);
    let mut events = Vec::new();
    for (index, c) in answers.chars().enumerate() {
        let number = QuestionNo::from_index(index);
        let at = u64::try_from(index).unwrap() * 110_000;
        events.push((at, Event::Opened(number)));
        let option = match c {
            'g' => 'A',
            'h' => 'B',
            other => other,
        };
        if c != '-' {
            events.push((at + 100_000, Event::Answered(number, label(option))));
        }
        if option != c {
            events.push((at + 100_000, Event::Said(number, How::Guessed)));
        }
    }
    events.push((1_150_000, Event::Closed(Ending::FinishedEarly)));
    let log = log(&header, events);
    (header, log)
}

fn paper(header: &Header) -> Paper {
    let topics = |index: usize| match index {
        0..6 => vec!["number".to_owned()],
        6 => vec!["number".to_owned(), "geometry".to_owned()],
        _ => vec!["geometry".to_owned()],
    };
    let question = |index| Question {
        topics: topics(index),
        ..Question::default()
    };
    Paper {
        outline: header.paper.clone(),
        questions: (0..10).map(question).collect(),
        ..papers::paper("Heath", 20, header.paper.rule.sections.clone())
    }
}

fn lined(sat: &(Header, Vec<Stamped>), with_key: bool, notes: Option<&Notes>) -> Line {
    let (header, log) = sat;
    let analysis = Analysis::of(
        Arc::new(header.clone()),
        log.as_slice().into(),
        Arc::default(),
    );
    let key = with_key.then(|| {
        Arc::new(Key {
            paper: header.paper.id.clone(),
            ..key("AAAAAAAAAA")
        })
    });
    line(&Studied {
        paper: Some(Arc::new(paper(header))),
        notes: notes.cloned(),
        ..Studied::new(analysis, key)
    })
}

fn put_together(lines: Vec<Line>) -> Progress {
    let pupil = header(20, &[(1, 1, "1", "0", "0")]).pupil;
    progress(pupil, lines, &MetInPractice::default())
}

#[test]
fn only_sittings_under_the_same_conditions_are_compared() {
    let mut extra = sat(2, "c", "AAAAAAAAAA");
    extra.0.arrangements.extra_percent = mark("25");
    let mut part = sat(3, "d", "AAAAA");
    part.0.arrangements.only = QuestionList::range(q(1), q(5));
    let mut given_up = sat(4, "e", "AA");
    given_up.1.last_mut().unwrap().event = Event::Closed(Ending::Abandoned);
    let mut open = sat(5, "f", "AAA");
    open.1.pop();
    let again = sat(6, "a", "AAAAAAAAAA");
    let mut shorter = sat(7, "g", "AAAAAAAAAA");
    shorter.0.standard = Elapsed::minutes(15);
    let sittings = [
        sat(1, "b", "AAAAAABBBB"),
        sat(0, "a", "AAAAA-----"),
        extra,
        part,
        given_up,
        open,
        again,
        shorter,
    ];
    let season = put_together(sittings.iter().map(|sat| lined(sat, true, None)).collect());
    let names: Vec<_> = season.compared().map(|line| line.paper.as_str()).collect();
    assert_eq!(names, ["a", "b"]);
    let apart: Vec<_> = season
        .apart()
        .map(|(line, apart)| match apart {
            Apart::Open => format!("{} open", line.paper),
            Apart::GivenUp => format!("{} given up", line.paper),
            Apart::Again => format!("{} again", line.paper),
            Apart::OtherConditions(_) => format!("{} other", line.paper),
            Apart::Withdrawn(_) => format!("{} withdrawn", line.paper),
        })
        .collect();
    assert_eq!(
        apart,
        [
            "c other",
            "d other",
            "e given up",
            "f open",
            "a again",
            "g other"
        ]
    );
    // Margins over dunlin at 20: 20 and 24 marks of 40; blanks 5 and 0.
    let slope = |of| {
        season
            .trends
            .iter()
            .find(|(own, _)| *own == of)
            .unwrap()
            .1
            .slope
    };
    assert!((slope(Of::Margin) - 10.0).abs() < 1e-12);
    assert!((slope(Of::Blanks) + 5.0).abs() < 1e-12);
}

#[test]
fn a_pupil_who_always_has_extra_time_is_compared_under_it() {
    let with_extra = |week, paper| {
        let mut sat = sat(week, paper, "AAAAAAAAAA");
        sat.0.arrangements.extra_percent = mark("25");
        lined(&sat, true, None)
    };
    let without = lined(&sat(2, "c", "AAAAAAAAAA"), true, None);
    let season = put_together(vec![with_extra(0, "a"), with_extra(1, "b"), without]);
    assert_eq!(season.compared().count(), 2);
    assert_eq!(season.conditions.unwrap().extra_percent, mark("25"));
}

#[test]
fn marks_blanks_and_guesses_of_a_line_are_what_arithmetic_gives() {
    // Q1 to Q6 right, Q7 a right guess, Q8 a wrong one, Q9 wrong, Q10 blank.
    let line = lined(&sat(0, "a", "AAAAAAghB-"), true, None);
    let marks = line.marks.unwrap();
    assert_eq!(
        (marks.in_time, marks.worked, marks.max),
        (mark("28"), mark("24"), mark("40"))
    );
    // 28 - (4 - 2 * .8)
    assert_eq!(marks.luck_out, mark("25.6"));
    assert_eq!(marks.margins[0].over, mark("8"));
    assert_eq!(line.habits.unwrap().blanks, 1);
    let unmarked = lined(&sat(0, "a", "AAAAAAghB-"), false, None);
    assert_eq!(
        (unmarked.marks, unmarked.habits.unwrap().sinks),
        (None, None)
    );
}

/// Number: six of seven right by work (Q7 was guessed), 4 marks missed; geometry: none of four,
/// 16 missed. Wilson's range for 6 of 10 is .313 to .832 (computed independently).
#[test]
fn topics_come_in_the_order_of_the_marks_they_can_win() {
    let season = put_together(vec![lined(&sat(0, "a", "AAAAAAghB-"), true, None)]);
    let topics: Vec<_> = season
        .topics
        .iter()
        .map(|topic| {
            (
                topic.topic.as_str(),
                topic.right,
                topic.asked,
                topic.missed.clone(),
            )
        })
        .collect();
    assert_eq!(
        topics,
        [
            ("geometry", 0, 4, mark("16").into()),
            ("number", 6, 7, mark("4").into())
        ]
    );
    assert_eq!(season.topics[0].range.low.to_bits(), 0.0_f64.to_bits());
    let range =
        pacebell::stats::interval::wilson(6, 10, pacebell::season::progress::LEVEL).unwrap();
    assert!((range.low - 0.313).abs() < 5e-4 && (range.high - 0.832).abs() < 5e-4);
}

#[test]
fn what_is_within_reach_is_of_one_paper_however_many_were_sat() {
    let geometry = |papers: &[&str]| {
        let sittings = (0..)
            .zip(papers)
            .map(|(week, paper)| sat(week, paper, "AAAAAAghB-"));
        let lines = sittings.map(|sat| lined(&sat, true, None)).collect();
        let season = put_together(lines);
        assert_eq!(season.topics[0].asked, 4 * papers.len());
        season.topics[0].within_reach
    };
    let (one, three) = (geometry(&["a"]), geometry(&["a", "b", "c"]));
    assert!(
        one > 1.0 && three > one && three < 2.0 * one,
        "{one} {three}"
    );
}

#[test]
fn causes_are_tallied_from_the_notes_with_what_they_cost() {
    let sat = sat(0, "a", "AAAAAABBB-");
    let mut notes = Notes::new("a-0");
    for (number, cause) in [(7, Cause::Slip), (8, Cause::Slip), (10, Cause::NoTime)] {
        let said = Said {
            cause: Some(cause),
            text: String::new(),
            by: "P.B.".into(),
            at: sat.0.started,
        };
        notes.say(q(number), said);
    }
    let season = put_together(vec![lined(&sat, true, Some(&notes))]);
    let causes: Vec<_> = season
        .causes
        .iter()
        .map(|(c, t)| (*c, t.count, t.lost.clone()))
        .collect();
    assert_eq!(
        causes,
        [
            (Cause::Slip, 2, mark("8").into()),
            (Cause::NoTime, 1, mark("4").into())
        ]
    );
}

#[test]
fn the_page_is_eighty_columns_wide_and_says_what_it_leaves_out() {
    let mut extra = sat(
        2,
        "a-rather-long-name-of-a-paper-for-a-column",
        "AAAAAAAAAA",
    );
    extra.0.arrangements.extra_percent = mark("12.5");
    let lines = vec![
        lined(&sat(0, "a", "AAAAAAghB-"), true, None),
        lined(&sat(1, "b", "AAAAAAAgg-"), true, None),
        lined(&extra, true, None),
        lined(&sat(3, "d", "AAAAAAAAAA"), false, None),
    ];
    let season = Season {
        steps: Vec::new(),
        practice: PracticeReport::default(),
        progress: put_together(lines),
        remarks: vec!["x.session.ron: line 3 is damaged".into()],
        invented: false,
    };
    let page = page(&season);
    for line in page.lines() {
        assert!(
            line.chars().count() <= 80 && line == line.trim_end(),
            "{line:?}"
        );
    }
    for words in [
        "otter: 4 sittings",
        "28/40",
        "two sittings are too few to say",
        "extra time 12.5%",
        "Not marked, because no key was found for the paper: d, 16 Dec 2026.",
        "! x.session.ron: line 3 is damaged",
        "most marks within reach first",
        "not an official result",
    ] {
        let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(words), "{words} is not in\n{page}");
    }
}
