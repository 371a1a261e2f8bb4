//! Guesses weighed against chances that can be worked out by hand.

use std::collections::{BTreeMap, BTreeSet};

use super::*;
use crate::domain::key::Void;
use crate::domain::labels::{Label, Labels};
use crate::domain::marking::{Answer, mark};
use crate::papers;

fn label(c: char) -> Label {
    Label::new(c).unwrap()
}

fn outline(right: &str, wrong: &str) -> Outline {
    let section = papers::section(1, 10, [right, wrong, "0"]);
    papers::paper("P", 60, [section]).outline
}

fn key() -> Key {
    Key {
        paper: "p".into(),
        fingerprint: None,
        answers: vec![label('A'); 10],
        also_right: BTreeMap::new(),
        voids: BTreeMap::new(),
        notes: BTreeMap::new(),
    }
}

/// Capital letters are guesses, small ones worked out, `-` is a blank.
fn weigh(sheet: &str, key: &Key, outline: &Outline) -> Luck {
    let answer = |(i, c): (usize, char)| Answer {
        number: QuestionNo::from_index(i),
        given: Label::new(c),
        how: Label::new(c).map(|_| {
            if c.is_uppercase() {
                How::Guessed
            } else {
                How::Worked
            }
        }),
        after_time: false,
    };
    let answers: Vec<_> = sheet.chars().enumerate().map(answer).collect();
    luck(&mark(&answers, key, &outline.rule), key, outline)
}

fn near(left: f64, right: f64) -> bool {
    (left - right).abs() < 1e-12
}

/// Two guesses at one in five, one of them right: none right has chance 0.8 x 0.8.
#[test]
fn guesses_that_came_out_right_are_counted() {
    let luck = weigh("aaAB------", &key(), &outline("4", "0"));
    assert_eq!(
        (luck.guesses, luck.right, luck.after_time, luck.filled),
        (2, 1, 0, 0)
    );
    assert!(near(luck.none_right, 0.64), "{}", luck.none_right);
}

#[test]
fn a_sheet_without_guesses_has_no_luck() {
    let luck = weigh("aab---aaaa", &key(), &outline("4", "0"));
    assert_eq!((luck.guesses, luck.actual), (0, Mark::ZERO));
    for nothing in [luck.expected, luck.expected_right] {
        assert!(nothing == 0.0 && nothing.is_sign_positive(), "{nothing:?}");
    }
    assert!(near(luck.at_least_this.unwrap(), 1.0));
}

/// Three guesses at one in five for one mark: expected .6; at least one right 1 - .8^3 = .488.
#[test]
fn three_guesses_by_hand() {
    let luck = weigh("ABCaaa----", &key(), &outline("1", "0"));
    assert_eq!((luck.guesses, luck.actual), (3, Mark::whole(1)));
    assert!(near(luck.expected, 0.6) && near(luck.at_least_this.unwrap(), 0.488));
}

/// Ten at one in five: 3 or more .3222 (binomial, by hand to four places).
#[test]
fn ten_guesses_follow_the_binomial_distribution() {
    let luck = weigh("AAABBBBBBB", &key(), &outline("1", "0"));
    assert_eq!((luck.guesses, luck.actual), (10, Mark::whole(3)));
    let tail = luck.at_least_this.unwrap();
    assert!(
        near(luck.expected, 2.0) && (tail - 0.3222).abs() < 5e-5,
        "{tail}"
    );
}

/// 4 and -1: one in five is worth nothing on average; 1 of 2 right is 3, chance 9/25.
#[test]
fn marks_taken_away_count_in() {
    let luck = weigh("AB--------", &key(), &outline("4", "-1"));
    assert_eq!(luck.actual, Mark::whole(3));
    assert!(near(luck.at_least_this.unwrap(), 0.36));
}

/// Two of five right: 2/5; two options: 1/2; both right: 1/5. A void question is no guess.
#[test]
fn further_right_answers_own_options_and_voids_change_the_chance() {
    let (mut key, mut outline) = (key(), outline("1", "0"));
    key.also_right
        .insert(QuestionNo(1), BTreeSet::from([label('B')]));
    outline
        .own_options
        .insert(QuestionNo(2), Labels::new("AB").unwrap());
    key.voids.insert(QuestionNo(3), Void::Credited);
    let luck = weigh("BAA-------", &key, &outline);
    assert_eq!((luck.guesses, luck.actual), (2, Mark::whole(2)));
    assert!(near(luck.expected, 0.9) && near(luck.at_least_this.unwrap(), 0.2));
}

#[test]
fn marks_too_fine_for_a_distribution_leave_the_chance_open() {
    let luck = weigh("AAA-------", &key(), &outline("1000000", "1/999983"));
    assert_eq!(luck.at_least_this, None);
    assert!(luck.expected > 599_999.0);
}
