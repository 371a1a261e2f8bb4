//! Remarks and signs; the figures themselves are held against tables in `tests/group`.

use std::collections::BTreeMap;

use super::*;
use crate::domain::key::{Key, Void};
use crate::domain::labels::{Label, Labels};
use crate::domain::mark::Mark;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::papers;
use crate::stats::tally::RowProblem;

fn outline(questions: u16, right: &str) -> Outline {
    let section = papers::section(1, questions, [right, "0", "0"]);
    Outline {
        options: Labels::new("ABCD").unwrap(),
        ..papers::paper("Heron", 60, [section]).outline
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
fn a_correlation_is_clear_where_chance_seldom_shows_as_much() {
    // With 18 degrees of freedom t = 2.101 leaves 2.5 % on either side: r = 0.444.
    assert_eq!(sign(0.44, 20), CorrelationSign::Unclear);
    assert_eq!(
        (sign(0.45, 20), sign(-0.45, 20)),
        (CorrelationSign::Plus, CorrelationSign::Minus)
    );
    assert_eq!(
        (sign(0.0, 1), sign(1.0, 2), sign(1.0, 3)),
        (
            CorrelationSign::Unclear,
            CorrelationSign::Unclear,
            CorrelationSign::Plus
        )
    );
}

#[test]
fn a_wrong_option_that_draws_most_and_the_best_puts_the_key_in_doubt() {
    let drawn = [
        (14, &[1, 1, 1, 2][..]),
        (3, &[1, 2, 3, 1]),
        (1, &[2, 3, 4, 1]),
        (2, &[3, 2, 2, 4]),
    ];
    let doubt = Remark::KeyDoubt {
        question: QuestionNo(4),
        option: Label::new('B').unwrap(),
        chosen: 14,
        key: "A".into(),
        right: 4,
    };
    assert_eq!(remarks(&figures(&drawn)).told, [doubt]);
    // The same option where as many had it right, and where its choosers did worse than the rest.
    let as_many = [
        (8, &[1, 1, 1, 2][..]),
        (8, &[1, 2, 3, 1]),
        (4, &[2, 2, 2, 3]),
    ];
    let worse = [
        (14, &[1, 2, 3, 2][..]),
        (4, &[1, 1, 1, 1]),
        (2, &[1, 2, 1, 3]),
    ];
    for rows in [as_many, worse] {
        let told = remarks(&figures(&rows)).told;
        let doubted = |one: &Remark| matches!(one, Remark::KeyDoubt { .. });
        assert!(!told.iter().any(doubted), "{told:?}");
    }
}

#[test]
fn blanks_are_counted_among_those_who_got_as_far_and_time_is_one_remark() {
    // Everybody had question 1 right, so that its correlation is not defined: nothing is said of it.
    let found = figures(&[(8, &[1, 0, 1, 0, 0]), (12, &[1, 1, 1, 1, 1])]);
    let late = Remark::NotReached {
        from: QuestionNo(4),
        first: 8,
        last: QuestionNo(5),
        end: 8,
    };
    let omitted = Remark::Omitted {
        question: QuestionNo(2),
        omitted: 8,
        reached: 20,
    };
    assert_eq!(remarks(&found).told, [late, omitted]);
}

#[test]
fn sheets_all_blank_say_nothing_of_the_key() {
    let told = remarks(&figures(&[(15, &[0, 0])])).told;
    let late = Remark::NotReached {
        from: QuestionNo(1),
        first: 15,
        last: QuestionNo(2),
        end: 15,
    };
    assert_eq!(told, [late]);
}

#[test]
fn an_option_that_nobody_of_many_chose_is_remarked_on() {
    let rows = |times: usize| {
        let rows: [(usize, &[u8]); 3] = [(2, &[1, 1]), (1, &[2, 2]), (1, &[3, 3])];
        remarks(&figures(&rows.map(|(people, row)| (people * times, row)))).told
    };
    let unused = vec![Label::new('D').unwrap()];
    let both = vec![(QuestionNo(1), unused.clone()), (QuestionNo(2), unused)];
    assert_eq!(rows(50), [Remark::NobodyChose(both)]);
    assert_eq!(rows(5), []);
}

#[test]
fn answers_more_regular_than_the_scale_expects_are_no_remark() {
    let found = figures(&[
        (30, &[1, 2, 2, 2]),
        (30, &[1, 1, 2, 2]),
        (30, &[1, 1, 1, 2]),
        (2, &[2, 1, 1, 1]),
    ]);
    let regular = |one: &QuestionFigures| matches!(one.rasch, Some(Ok(fit)) if fit.infit < 0.7);
    assert!(found.questions.iter().any(regular));
    let told = remarks(&found).told;
    let misfit = |one: &Remark| matches!(one, Remark::Misfit(number) if regular(&found.questions[usize::from(number.0) - 1]));
    assert!(!told.iter().any(misfit), "{told:?}");
}

#[test]
fn few_people_who_differ_by_chance_have_no_remark() {
    let found = figures(&[(4, &[1, 1]), (5, &[2, 2])]);
    assert_eq!(remarks(&found), Remarks::default());
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
        assert_eq!(cohort.add(&[1, 4]), Ok(()));
        assert_eq!(cohort.marks(), [(Mark::whole(1), 1)]);
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
