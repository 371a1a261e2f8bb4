//! The order of topics: what is within reach, by the questions' places and their number.
//!
//! The marks were computed apart from the program, by sums over fine grids from the definition: the pupil's level at the
//! next sitting and how far they get, from all questions, with the priors as `season/model/priors.rs` states them.

use std::ops::RangeInclusive;
use std::sync::Arc;

use chrono::TimeDelta;
use pacebell::analysis::{Analysis, Studied};
use pacebell::domain::event::{Ending, Event};
use pacebell::domain::header::Alias;
use pacebell::domain::paper::{Paper, Question};
use pacebell::domain::rule::QuestionNo;
use pacebell::season::familiarity::MetInPractice;
use pacebell::season::progress::{Line, TopicShare, line, progress};

use crate::papers;
use crate::script::{Part, header, key, label, log};

type Topic = (&'static str, RangeInclusive<u16>);

/// The topics of a pupil's one sitting, whose right answers are all A; the first topic that holds a question is its own.
fn topics(parts: &[Part], answers: &str, of: &[Topic]) -> Vec<TopicShare> {
    let only = sitting(0, parts, answers, of);
    progress(
        Alias::new("otter").unwrap(),
        vec![only],
        &MetInPractice::default(),
    )
    .topics
}

/// A sitting, each number on a day and a paper of its own.
fn sitting(number: u8, parts: &[Part], answers: &str, of: &[Topic]) -> Line {
    let mut header = header(60, parts);
    header.sitting = format!("sitting-{number}");
    header.paper.id = format!("heath-{number}");
    header.started += TimeDelta::days(i64::from(number));
    let numbers = (0..answers.len()).map(QuestionNo::from_index);
    let asked = numbers.clone().map(|number| Question {
        topics: of
            .iter()
            .find(|(_, questions)| questions.contains(&number.0))
            .map(|(topic, _)| (*topic).to_owned())
            .into_iter()
            .collect(),
        ..Question::default()
    });
    let paper = Paper {
        outline: header.paper.clone(),
        questions: asked.collect(),
        ..papers::paper("Heath", 60, header.paper.rule.sections.clone())
    };
    let taken = numbers.zip(answers.chars()).flat_map(|(number, letter)| {
        let at = u64::from(number.0) * 100_000;
        [
            (at, Event::Opened(number)),
            (at + 90_000, Event::Answered(number, label(letter))),
        ]
    });
    let end = (3_500_000, Event::Closed(Ending::FinishedEarly));
    let log = log(&header, taken.chain([end]).collect());
    let analysis = Analysis::of(Arc::new(header), log.into(), Arc::default());
    let mut right = key(&"A".repeat(answers.len()));
    right.paper.clone_from(&paper.outline.id);
    line(&Studied {
        paper: Some(Arc::new(paper)),
        ..Studied::new(analysis, Some(Arc::new(right)))
    })
}

fn stand(topics: &[TopicShare], expected: &[(&str, f64)]) {
    let names: Vec<&str> = topics.iter().map(|one| one.topic.as_str()).collect();
    assert!(
        topics.len() == expected.len()
            && topics
                .iter()
                .zip(expected)
                .all(|(own, (name, marks))| own.topic == *name
                    && (own.within_reach - marks).abs() < 0.03),
        "{names:?} {topics:?}"
    );
}

#[test]
fn of_two_topics_with_the_same_share_the_one_of_early_questions_comes_first() {
    let of = [("sums", 1..=4), ("angles", 21..=24)];
    let found = topics(&[(1, 24, "1", "0", "0")], "ABABAAAAAABABABABABAABAB", &of);
    assert!(found.iter().all(|one| (one.right, one.asked) == (2, 4)));
    stand(&found, &[("sums", 0.683), ("angles", 0.530)]);
}

#[test]
fn of_two_topics_with_the_same_share_and_marks_the_one_of_more_questions_comes_first() {
    let parts = [
        (1, 12, "1", "0", "0"),
        (13, 13, "12", "0", "0"),
        (14, 25, "1", "0", "0"),
    ];
    let of = [("angles", 13..=13), ("sums", 7..=19)];
    let found = topics(&parts, "AAAAAABBBBBBBBBBBBBAAAAAA", &of);
    assert!(found.iter().all(|one| one.right == 0));
    stand(&found, &[("sums", 5.869), ("angles", 3.027)]);
}

#[test]
fn what_is_right_over_blank_is_what_can_be_gained() {
    let with = |part| {
        let of = [("sums", 1..=4)];
        topics(&[part], "ABABAAAAAABABABABABAABAB", &of)[0].within_reach
    };
    let plain = with((1, 24, "1", "0", "0"));
    assert!((with((1, 24, "5", "-1", "2")) - 3.0 * plain).abs() < 1e-9);
}

/// Three marks missed on three late questions come after two missed on five early ones.
#[test]
fn marks_within_reach_come_before_marks_missed() {
    let of = [("angles", 22..=24), ("sums", 1..=5)];
    let found = topics(&[(1, 24, "1", "0", "0")], "ABABAAAAAABABABABABAABBB", &of);
    stand(&found, &[("sums", 0.812), ("angles", 0.697)]);
    let order: Vec<_> = found
        .iter()
        .map(|one| (one.topic.as_str(), one.asked - one.right))
        .collect();
    assert_eq!(order, [("sums", 2), ("angles", 3)]);
    assert!(found[0].within_reach > found[1].within_reach + 0.05);
}

/// The same again on another paper: twice the questions, twice the marks missed, and about as much a paper.
#[test]
fn what_is_within_reach_is_a_papers() {
    let over = |papers: u8| {
        let sat = |number| {
            let of = [("sums", 1..=4)];
            let parts = [(1, 24, "1", "0", "0")];
            sitting(number, &parts, "ABABAAAAAABABABABABAABAB", &of)
        };
        let lines = (0..papers).map(sat).collect();
        let found = progress(
            Alias::new("otter").unwrap(),
            lines,
            &MetInPractice::default(),
        )
        .topics;
        (found[0].asked, found[0].within_reach)
    };
    let ((four, one), (eight, two)) = (over(1), over(2));
    assert_eq!((four, eight), (4, 8));
    assert!(two > one && two < 1.5 * one, "{one}, {two}");
}
