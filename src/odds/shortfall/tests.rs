//! Sheets that miss a boundary, against every set of questions that would have made it up.

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

proptest! {
    /// Against trying every subset of the missed questions.
    #[test]
    fn fewer_never_suffice_and_the_named_ones_do(
        text in "[rw-]{10}",
        wrong in -3_i64..1,
        blank in 0_i64..2,
        boundary in 0_i64..60,
    ) {
        let (wrong, blank) = (wrong.to_string(), blank.to_string());
        let rule = rule(&[(1, 5, ["4", &wrong, &blank]), (6, 10, ["7", &wrong, &blank])]);
        let marked = sheet(&text, &rule);
        let missed: Vec<usize> = (0..10).filter(|i| text.as_bytes()[*i] != b'r').collect();
        // How many of each section the sets take that reach the boundary.
        let enough: Vec<(usize, usize)> = (0_u32..1 << 10)
            .filter(|set| (0..10).all(|i| set >> i & 1 == 0 || missed.contains(&i)))
            .filter(|set| {
                let better: String = text.char_indices()
                    .map(|(i, c)| if set >> i & 1 == 1 { 'r' } else { c })
                    .collect();
                sheet(&better, &rule).total >= Mark::whole(boundary)
            })
            .map(|set| {
                let taken = |range: std::ops::Range<usize>| range.filter(|i| set >> i & 1 == 1).count();
                (taken(0..5), taken(5..10))
            })
            .collect();
        let first = enough.iter().filter(|taken| taken.1 == 0).map(|taken| taken.0).min();
        let second = enough.iter().filter(|taken| taken.0 == 0).map(|taken| taken.1).min();
        let front = usize::from(missed.iter().all(|i| *i >= 5));
        let reach = [first, second][front].is_some() || first.is_some_and(|n| n <= FEW)
            || second.is_some_and(|n| n <= FEW);
        let count = |ways: &[More], name: &str| {
            let way = ways.iter().find(|more| more.section == name);
            way.map(|more| more.questions)
        };
        match short_of(Mark::whole(boundary), &marked, &rule) {
            None => prop_assert!(enough.contains(&(0, 0))),
            Some(short) => match short.ways {
                Ways::Either(ways) => {
                    prop_assert!(reach);
                    prop_assert_eq!((count(&ways, "1-5"), count(&ways, "6-10")), (first, second));
                    let counts: Vec<_> = ways.iter().map(|more| more.questions).collect();
                    let in_order = ways.is_sorted_by_key(|more| more.section == "6-10");
                    let few = counts.iter().all(|n| *n <= FEW);
                    let ordered = if few { counts.is_sorted() } else { in_order };
                    prop_assert!(ordered);
                }
                Ways::Together(ways) => {
                    prop_assert!(!reach);
                    // As few as possible of the later section, then of the earlier one.
                    let fewest = enough.iter().map(|taken| (taken.1, taken.0)).min();
                    let named = |name| count(&ways, name).unwrap_or(0);
                    prop_assert_eq!(Some((named("6-10"), named("1-5"))), fewest);
                }
                Ways::OutOfReach => prop_assert!(enough.is_empty()),
            },
        }
    }
}
