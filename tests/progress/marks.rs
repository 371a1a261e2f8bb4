//! Luck taken out and the error of a mark.

use pacebell::domain::event::How;
use pacebell::domain::marking::{Answer, mark as marked};
use pacebell::domain::rule::QuestionNo;
use pacebell::season::progress::{luck_taken_out, measurement_error};

use crate::script::{header, key, label, mark, q};

fn answers(text: &str, how: How) -> Vec<Answer> {
    let answer = |(index, c): (usize, char)| Answer {
        number: QuestionNo::from_index(index),
        given: (c != '-').then(|| label(c)),
        how: (c != '-').then_some(how),
        after_time: false,
    };
    text.chars().enumerate().map(answer).collect()
}

/// Two guesses at 4 for right among five options: .8 each is expected, 4 came; two guesses at 6
/// and -1: (6 - 4) / 5 = .4 each is expected, -1 - 1 came.
#[test]
fn each_guess_is_replaced_by_what_it_brings_on_average() {
    let outline = header(60, &[(1, 4, "4", "0", "0"), (5, 8, "6", "-1", "0")]).paper;
    let mut key = key("AAAAAAAA");
    let mut sheet = answers("AAABAABB", How::Worked);
    for index in [2, 3, 6, 7] {
        sheet[index].how = Some(How::Guessed);
    }
    let in_time = marked(&sheet, &key, &outline.rule);
    assert_eq!(in_time.total, mark("22"));
    // 22 - (4 - 1.6) - (-2 - .8)
    assert_eq!(luck_taken_out(&in_time, &key, &outline), mark("22.4"));
    // A second right option doubles the chance on question 4: 1.6 instead of .8.
    key.also_right.insert(q(4), [label('C')].into());
    let in_time = marked(&sheet, &key, &outline.rule);
    assert_eq!(luck_taken_out(&in_time, &key, &outline), mark("23.2"));
    let worked = answers("AAABAABB", How::Worked);
    let in_time = marked(&worked, &key, &outline.rule);
    assert_eq!(luck_taken_out(&in_time, &key, &outline), in_time.total);
}

/// Lord (1955), sqrt(x (n - x) / (n - 1)) for 25 questions: 5 and 20 right 2.04, 10 and 15 2.50,
/// 17 2.38, 23 1.38 (the formula from memory, the values computed independently).
#[test]
fn the_error_of_a_mark_is_lords_section_by_section() {
    let one = header(60, &[(1, 25, "1", "0", "0")]).paper;
    let key = key(&"A".repeat(25));
    let error = |right: usize, outline| {
        let text = "A".repeat(right) + &"B".repeat(25 - right);
        measurement_error(
            &marked(&answers(&text, How::Worked), &key, &one_rule(outline)),
            outline,
        )
    };
    for (right, expected) in [
        (5, 2.04),
        (10, 2.50),
        (15, 2.50),
        (17, 2.38),
        (20, 2.04),
        (23, 1.38),
    ] {
        assert!((error(right, &one) - expected).abs() < 0.005, "{right}");
    }
    // Two sections worth 2 and 4: 4 * 6 * 4 / 9 + 16 * 0 + ... with 6 of 10 right, then none.
    let two = header(60, &[(1, 10, "2", "0", "0"), (11, 25, "4", "0", "0")]).paper;
    assert!((error(6, &two) - (4.0 * 24.0 / 9.0_f64).sqrt()).abs() < 1e-12);
}

fn one_rule(outline: &pacebell::domain::paper::Outline) -> pacebell::domain::rule::Rule {
    outline.rule.clone()
}
