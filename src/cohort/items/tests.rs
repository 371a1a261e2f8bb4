//! Remarks and signs; the figures themselves are held against tables in `tests/group`.

use std::collections::BTreeMap;

use super::*;
use crate::domain::key::{Key, Void};
use crate::domain::labels::{Label, Labels};
use crate::domain::mark::Mark;
use crate::domain::paper::{Fingerprint, Outline};
use crate::domain::rule::{QuestionNo, Rule, Section};
use crate::stats::tally::RowProblem;

fn outline(questions: u16, right: &str) -> Outline {
    Outline {
        id: "heron".into(),
        title: "Heron paper".into(),
        fingerprint: Fingerprint::of(["heron"]),
        questions,
        options: Labels::new("ABCD").unwrap(),
        own_options: BTreeMap::new(),
        rule: Rule {
            start: Mark::ZERO,
            sections: vec![Section {
                name: "all".into(),
                first: QuestionNo(1),
                last: QuestionNo(questions),
                right: right.parse().unwrap(),
                wrong: Mark::ZERO,
                blank: Mark::ZERO,
            }],
        },
        awards: vec![],
        rule_checked: None,
        on_screen: true,
    }
}

fn key(questions: usize) -> Key {
    Key {
        paper: "heron".into(),
        fingerprint: None,
        answers: vec![Label::new('A').unwrap(); questions],
        also_right: BTreeMap::new(),
        voids: BTreeMap::new(),
        notes: BTreeMap::new(),
    }
}

fn figures(rows: &[(usize, &[u8])]) -> Figures {
    let questions = rows.first().map_or(1, |(_, row)| row.len());
    let paper = outline(u16::try_from(questions).unwrap(), "1");
    let mut cohort = ItemTally::new(&paper, &key(questions)).unwrap();
    for (people, row) in rows {
        for _ in 0..*people {
            cohort.add(row).unwrap();
        }
    }
    cohort.figures().unwrap()
}

#[test]
fn a_correlation_is_clear_at_two_standard_errors() {
    // At 17 people the error is (1 - r^2) / 4: 0.48 at r = 0.2, 0.42 at 0.4 doubled, 0.375 at 0.5 doubled.
    assert_eq!(sign(0.4, 17), CorrelationSign::Unclear);
    assert_eq!(
        (sign(0.5, 17), sign(-0.5, 17)),
        (CorrelationSign::Plus, CorrelationSign::Minus)
    );
    assert_eq!(
        (sign(0.0, 1), sign(1.0, 1)),
        (CorrelationSign::Unclear, CorrelationSign::Plus)
    );
}

#[test]
fn a_wrong_option_that_draws_the_top_puts_the_key_in_doubt() {
    let found = figures(&[
        (10, &[1, 1, 1, 2]),
        (4, &[1, 2, 3, 1]),
        (4, &[2, 3, 4, 1]),
        (2, &[3, 2, 2, 4]),
    ]);
    let doubt = |index: usize| remarks(&found, &found.questions[index]);
    let b = Label::new('B').unwrap();
    assert_eq!(
        doubt(3).first(),
        Some(&Remark::KeyDoubt {
            option: b,
            key: "A".into()
        })
    );
    assert!(
        !doubt(0)
            .iter()
            .any(|one| matches!(one, Remark::KeyDoubt { .. }))
    );
}

#[test]
fn everybody_and_nobody_right_blanks_and_unused_options_are_remarked_on() {
    let found = figures(&[
        (10, &[1, 2, 0, 1, 0]),
        (10, &[1, 3, 2, 2, 0]),
        (10, &[1, 2, 2, 1, 1]),
    ]);
    let found = |index: usize| remarks(&found, &found.questions[index]);
    assert_eq!(found(0), [Remark::EverybodyRight]);
    let unused = ['A', 'D'].map(|label| Label::new(label).unwrap());
    assert_eq!(found(1).first(), Some(&Remark::NobodyRight));
    assert_eq!(found(1).last(), Some(&Remark::NobodyChose(unused.to_vec())));
    assert!(found(2).contains(&Remark::Omitted(1.0 / 3.0)));
    assert!(found(4).contains(&Remark::NotReached(2.0 / 3.0)));
}

#[test]
fn few_people_are_not_told_what_nobody_chose() {
    let found = figures(&[(4, &[1, 1]), (5, &[2, 2])]);
    for question in &found.questions {
        assert_eq!(remarks(&found, question), []);
    }
}

#[test]
fn a_row_that_cannot_be_is_refused_with_and_without_voids() {
    let paper = outline(2, "1");
    let mut key = key(2);
    for void in [None, Some(Void::Dropped)] {
        key.voids.extend(void.map(|void| (QuestionNo(2), void)));
        let mut cohort = ItemTally::new(&paper, &key).unwrap();
        assert_eq!(
            cohort.add(&[1]),
            Err(RowProblem::Length {
                found: 1,
                wanted: 2
            })
        );
        let code = RowProblem::Code {
            question: 2,
            found: 5,
            highest: 4,
        };
        assert_eq!(cohort.add(&[1, 5]), Err(code));
        assert_eq!((cohort.people(), cohort.figures()), (0, None));
        assert_eq!(cohort.add(&[1, 4]), Ok(Mark::whole(1)));
        assert_eq!(cohort.marks(), [(Mark::whole(1), 1)]);
    }
}

#[test]
fn marks_beyond_exact_sums_are_refused_with_a_sentence() {
    let found = ItemTally::new(&outline(1, "1000000"), &key(1)).map(|_| ());
    assert_eq!(found, Ok(()));
    let mut paper = outline(1, "1000000");
    paper.rule.start = "1/1000".parse().unwrap();
    let no = ItemTally::new(&paper, &key(1)).unwrap_err();
    assert!(
        no.to_string()
            .contains("use smaller marks or simpler fractions")
    );
}
