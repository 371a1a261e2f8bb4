//! Sheets that miss a boundary, and the questions that would have made it up, by hand.

use std::collections::BTreeMap;

use super::*;
use crate::domain::event::How;
use crate::domain::key::{Key, Void};
use crate::domain::labels::Label;
use crate::domain::mark::Mark;
use crate::domain::marking::{Answer, Marked, mark};
use crate::domain::rule::{QuestionNo, Rule, Section};
use crate::odds::shortfall::short_of;

fn rule(sections: &[(u16, u16, [&str; 3])]) -> Rule {
    let section = |(first, last, marks): &(u16, u16, [&str; 3])| {
        let [right, wrong, blank] = marks.map(|mark| mark.parse().unwrap());
        Section {
            name: format!("{first}-{last}"),
            first: QuestionNo(*first),
            last: QuestionNo(*last),
            right,
            wrong,
            blank,
        }
    };
    Rule {
        start: Mark::ZERO,
        sections: sections.iter().map(section).collect(),
    }
}

/// `r` right, `w` wrong, `-` blank, `v` dropped: marked under `rule`.
fn sheet(text: &str, rule: &Rule) -> Marked {
    let (right, wrong) = (Label::new('A').unwrap(), Label::new('B').unwrap());
    let mut voids = BTreeMap::new();
    let mut answers = Vec::new();
    for (i, c) in text.chars().enumerate() {
        let number = QuestionNo::from_index(i);
        let given = match c {
            'r' => Some(right),
            'w' => Some(wrong),
            'v' => {
                voids.insert(number, Void::Dropped);
                None
            }
            _ => None,
        };
        answers.push(Answer {
            number,
            given,
            how: given.map(|_| How::Worked),
            after_time: false,
        });
    }
    let key = Key {
        paper: "p".into(),
        fingerprint: None,
        answers: vec![right; answers.len()],
        also_right: BTreeMap::new(),
        voids,
        notes: BTreeMap::new(),
    };
    mark(&answers, &key, rule)
}

fn said(text: &str, rule: &Rule, boundary: i64) -> Option<String> {
    let short = short_of(Mark::whole(boundary), &sheet(text, rule), rule);
    short.map(|short| format!("{}: {}", short.by, ways(&short)))
}

#[test]
fn each_section_says_the_fewest_that_suffice() {
    let rule = rule(&[(1, 3, ["4", "0", "0"]), (4, 6, ["7", "0", "0"])]);
    let said = |text, boundary| said(text, &rule, boundary);
    assert_eq!(said("rrrrww", 19), None);
    assert_eq!(
        said("r--rww", 17).as_deref(),
        Some("6: one more right in 4-6, or two in 1-3")
    );
    assert_eq!(
        said("rwwrrw", 19).as_deref(),
        Some("1: one more right in 1-3, or one in 4-6")
    );
    assert_eq!(
        said("r--rww", 19).as_deref(),
        Some("8: two more right in 1-3, or two in 4-6")
    );
}

#[test]
fn where_no_section_suffices_the_front_of_the_paper_is_taken_first() {
    let rule = rule(&[(1, 3, ["4", "0", "0"]), (4, 6, ["7", "0", "0"])]);
    assert_eq!(
        said("rwwrrw", &rule, 33).as_deref(),
        Some("15: two more right in 1-3 and one in 4-6")
    );
    assert_eq!(
        said("rwvrrw", &rule, 33).as_deref(),
        Some("15: more than these questions could give")
    );
}

/// A sheet of 25 questions at 4, 5 and 7 marks; all sums by hand.
#[test]
fn a_low_mark_is_told_of_the_easier_questions() {
    let rule = rule(&[
        (1, 10, ["4", "0", "0"]),
        (11, 20, ["5", "0", "0"]),
        (21, 25, ["7", "0", "0"]),
    ]);
    let said = |text: &str, boundary| said(text, &rule, boundary).unwrap();
    let nothing = "-".repeat(25);
    // 40 + 15 = 55; without one of the ten it is 51.
    assert_eq!(
        said(&nothing, 54),
        "54: ten more right in 1-10 and three in 11-20"
    );
    // 36, 35 and 35: each section by itself, the easiest first.
    assert_eq!(
        said(&nothing, 35),
        "35: nine more right in 1-10, or seven in 11-20, or five in 21-25"
    );
    // 40 + 50 + 7 = 97 is 6 more than is needed, so one at 5 is not.
    assert_eq!(
        said(&nothing, 91),
        "91: ten more right in 1-10, nine in 11-20 and one in 21-25"
    );
    // Right are nine of 1-10: 36. 30 are missing: six in 11-20 or five in 21-25 would do, yet the
    // one left at the front comes first where it is needed; 4 + 25 would be 29, so it is not.
    let nine = "r".repeat(9) + &"-".repeat(16);
    assert_eq!(said(&nine, 66), "30: six more right in 11-20");
    // 29 are missing: 4 + 25.
    assert_eq!(
        said(&nine, 65),
        "29: one more right in 1-10 and five in 11-20"
    );
    // Few are few wherever they stand.
    assert_eq!(
        said(&nine, 43),
        "7: one more right in 21-25, or two in 11-20"
    );
}

/// 6 right, -2 wrong, 1 blank: a wrong one made right gains 8, a blank one 5.
#[test]
fn wrong_ones_gain_more_where_marks_are_taken_away() {
    let rule = rule(&[(1, 6, ["6", "-2", "1"])]);
    assert_eq!(
        said("rr-w-w", &rule, 26).as_deref(),
        Some("16: two more right in 1-6 (starting with wrong answers)")
    );
    let short = short_of(Mark::whole(26), &sheet("rr-w-w", &rule), &rule).unwrap();
    assert_eq!(
        ways_in_full(&short),
        "two more right in questions 1-6, starting with wrong answers"
    );
    assert_eq!(
        said("rr----", &rule, 26).as_deref(),
        Some("10: two more right in 1-6")
    );
}
