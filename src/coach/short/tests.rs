//! Sheets that miss a boundary, and the questions that would have made it up, by hand.

use std::collections::BTreeMap;

use proptest::prelude::*;

use super::*;
use crate::domain::event::How;
use crate::domain::key::{Key, Void};
use crate::domain::labels::Label;
use crate::domain::marking::{Answer, mark};
use crate::domain::rule::{QuestionNo, Section};

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
    short.map(|short| format!("{}: {}", short.by, short.said()))
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
fn where_no_section_suffices_the_fewest_over_all_are_named() {
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

/// 6 right, -2 wrong, 1 blank: a wrong one made right gains 8, a blank one 5.
#[test]
fn wrong_ones_gain_more_where_marks_are_taken_away() {
    let rule = rule(&[(1, 6, ["6", "-2", "1"])]);
    assert_eq!(
        said("rr-w-w", &rule, 26).as_deref(),
        Some("16: two more right in 1-6 (wrong ones first)")
    );
    assert_eq!(
        said("rr----", &rule, 26).as_deref(),
        Some("10: two more right in 1-6")
    );
}

proptest! {
    /// Against trying every subset of the missed questions.
    #[test]
    fn fewer_never_suffice_and_the_named_ones_do(
        text in "[rw-]{8}",
        wrong in -3_i64..1,
        blank in 0_i64..2,
        boundary in 0_i64..50,
    ) {
        let (wrong, blank) = (wrong.to_string(), blank.to_string());
        let rule = rule(&[(1, 4, ["4", &wrong, &blank]), (5, 8, ["7", &wrong, &blank])]);
        let marked = sheet(&text, &rule);
        let missed: Vec<usize> = (0..8).filter(|i| text.as_bytes()[*i] != b'r').collect();
        let enough = |allowed: &dyn Fn(usize) -> bool| {
            let sets = 0_u32..1 << 8;
            let fits = sets.filter(|set| {
                (0..8).all(|i| set >> i & 1 == 0 || (missed.contains(&i) && allowed(i)))
            });
            fits.filter(|set| {
                let better: String = text.char_indices()
                    .map(|(i, c)| if set >> i & 1 == 1 { 'r' } else { c })
                    .collect();
                sheet(&better, &rule).total >= Mark::whole(boundary)
            })
            .map(u32::count_ones)
            .min()
        };
        let first = enough(&|i| i < 4);
        let second = enough(&|i| i >= 4);
        let any = enough(&|_| true);
        match short_of(Mark::whole(boundary), &marked, &rule) {
            None => prop_assert_eq!(any, Some(0)),
            Some(short) => match short.ways {
                Ways::Either(ways) => {
                    let count = |name: &str| {
                        let way = ways.iter().find(|more| more.section == name);
                        way.map(|more| u32::try_from(more.questions).unwrap())
                    };
                    prop_assert_eq!((count("1-4"), count("5-8")), (first, second));
                }
                Ways::Together(ways) => {
                    prop_assert_eq!((first, second), (None, None));
                    let count: usize = ways.iter().map(|more| more.questions).sum();
                    prop_assert_eq!(Some(u32::try_from(count).unwrap()), any);
                }
                Ways::OutOfReach => prop_assert_eq!(any, None),
            },
        }
    }
}
