//! Advice held against the lines a pupil reads.

use super::*;
use crate::domain::labels::Labels;
use crate::domain::paper::RuleChecked;
use crate::domain::rule::Section;
use crate::papers::{self, section};

fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, 25).unwrap()
}

fn outline(sections: Vec<Section>) -> Outline {
    Outline {
        rule_checked: Some(RuleChecked {
            on: NaiveDate::from_ymd_opt(2026, 9, 3).unwrap(),
            by: "T.M.".into(),
        }),
        ..papers::paper("P", 60, sections).outline
    }
}

fn said(outline: &Outline, blanks: impl IntoIterator<Item = u16>) -> Vec<String> {
    let blanks: Vec<_> = blanks.into_iter().map(QuestionNo).collect();
    advice_lines(
        outline,
        &blanks,
        |question| outline.labels(question).len(),
        today(),
    )
}

#[test]
fn one_rule_for_all_blanks_is_one_line() {
    let line = |marks| said(&outline(vec![section(1, 25, marks)]), [3, 18]);
    assert_eq!(
        line(["4", "0", "0"]),
        ["A wrong answer loses nothing: guess every blank."]
    );
    assert_eq!(
        line(["6", "-1", "0"]),
        ["A wrong answer can cost marks. On average a guess is still worth it."]
    );
    assert_eq!(
        line(["4", "-1", "0"]),
        ["On average a blind guess gains nothing and loses nothing."]
    );
    assert_eq!(
        line(["6", "-2", "0"]).join(" "),
        "On average a blind guess loses marks. Guess only once you can cross out 2 options."
    );
    assert_eq!(
        line(["1", "-1", "0"]),
        ["On average a blind guess loses marks. A blank is better."]
    );
}

#[test]
fn sections_that_differ_are_told_apart() {
    let outline = outline(vec![
        section(1, 10, ["5", "0", "0"]),
        section(11, 20, ["6", "-1", "0"]),
        section(21, 25, ["6", "-1.9", "0"]),
    ]);
    assert_eq!(
        said(&outline, 8..=25),
        [
            "8-10: nothing to lose.",
            "11-20: worth it on average.",
            "21-25: a blind guess loses marks on average. First cross out 1 option."
        ]
    );
    assert_eq!(
        said(&outline, [2, 11, 12, 19]),
        ["2: nothing to lose. 11, 12, 19: worth it on average."]
    );
    assert_eq!(
        said(&outline, (1..=25).step_by(2).chain([25]))
            .first()
            .unwrap(),
        "1, 3, 5, 7, 9: nothing to lose."
    );
    assert!(said(&outline, []).is_empty());
}

#[test]
fn many_scattered_blanks_are_a_span() {
    let outline = outline(vec![
        section(1, 30, ["5", "0", "0"]),
        section(31, 35, ["6", "-1", "0"]),
    ]);
    assert_eq!(
        said(&outline, (1..=30).step_by(2).chain([33])),
        ["Blanks from 1 to 29: nothing to lose. 33: worth it on average."]
    );
}

#[test]
fn a_question_with_its_own_options_is_weighed_by_them() {
    let mut outline = outline(vec![section(1, 5, ["4", "-1", "0"])]);
    let two = Labels::new("AB").unwrap();
    outline.own_options.insert(QuestionNo(2), two);
    assert_eq!(
        said(&outline, [1, 2]),
        ["1: evens out on average. 2: worth it on average."]
    );
}

#[test]
fn an_unchecked_rule_is_to_be_checked_first() {
    let mut outline = outline(vec![section(1, 5, ["4", "0", "0"])]);
    let first = |outline: &Outline| said(outline, [1]).first().unwrap().clone();
    outline.rule_checked = None;
    assert_eq!(
        first(&outline),
        "Check this year's rules first: nobody has recorded a check."
    );
    let mut on = |y, m, d| {
        outline.rule_checked = Some(RuleChecked {
            on: NaiveDate::from_ymd_opt(y, m, d).unwrap(),
            by: "T.M.".into(),
        });
        first(&outline)
    };
    assert_eq!(
        on(2025, 9, 30),
        "Check this year's rules first: the last check was on 30 Sep 2025."
    );
    assert_eq!(
        on(2027, 9, 30),
        "Check this year's rules first: the check of 30 Sep 2027 is in the future."
    );
    assert!(on(2025, 11, 25).starts_with("A wrong answer loses nothing"));
}

#[test]
fn no_line_is_wider_than_a_page() {
    for marks in [
        ["4", "0", "0"],
        ["6", "-1", "0"],
        ["4", "-1", "0"],
        ["5", "0", "2"],
        ["1", "-1", "0"],
    ] {
        let mut outline = outline(vec![
            section(1, 100, marks),
            section(101, 200, ["5", "0", "0"]),
        ]);
        outline.rule_checked = None;
        for blanks in [
            (1..=200).collect::<Vec<u16>>(),
            (1..=200).step_by(2).collect(),
            vec![1, 200],
        ] {
            let lines = said(&outline, blanks);
            assert!(
                lines.iter().all(|line| line.chars().count() <= COLUMNS),
                "{lines:?}"
            );
        }
    }
}
