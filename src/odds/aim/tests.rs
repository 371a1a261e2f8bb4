use std::collections::BTreeSet;

use proptest::prelude::*;

use super::*;
use crate::papers;

/// A rule whose sections have so many questions, each with marks for right and blank.
fn rule(start: i64, sections: &[(u16, &str, &str)]) -> Rule {
    let mut first = 1;
    let sections = sections.iter().map(|(questions, right, blank)| {
        let last = first + questions - 1;
        let section = papers::section(first, last, [right, "0", blank]);
        first += questions;
        section
    });
    Rule {
        start: Mark::whole(start),
        sections: sections.collect(),
    }
}

fn outline(rule: Rule) -> Outline {
    let paper = papers::paper("P", 60, rule.sections.clone());
    Outline {
        rule,
        ..paper.outline
    }
}

/// Fifteen at 5 and ten at 6: what five totals take, counted in the head; common practice, no source.
#[test]
fn fifteen_at_five_and_ten_at_six() {
    let rule = rule(0, &[(15, "5", "0"), (10, "6", "0")]);
    for (mark, in_order, fewest) in [
        (95, 19, 17),
        (108, 21, 20),
        (71, 15, 13),
        (56, 12, 10),
        (42, 9, 7),
    ] {
        let needed = needed(&rule, Mark::whole(mark));
        assert_eq!(
            (needed.in_order, needed.fewest_right),
            (Some(in_order), Some(fewest)),
            "{mark}"
        );
        assert_eq!(needed.max, Mark::whole(135));
    }
    let combinations = needed(&rule, Mark::whole(95)).combinations.unwrap();
    let all = [[7, 10], [9, 9], [10, 8], [11, 7], [12, 6], [13, 5], [15, 4]];
    assert_eq!(combinations, all);
}

#[test]
fn what_is_reached_by_blanks_takes_nothing_and_what_is_too_much_has_no_way() {
    let rule = rule(3, &[(2, "6", "3/2"), (1, "5/3", "0")]);
    let reached = needed(&rule, Mark::whole(6));
    assert_eq!((reached.fewest_right, reached.in_order), (Some(0), Some(0)));
    assert_eq!(reached.combinations, Some(vec![vec![0, 0]]));
    assert_eq!(reached.max, "50/3".parse().unwrap());
    let beyond = needed(&rule, Mark::whole(17));
    assert_eq!((beyond.fewest_right, beyond.in_order), (None, None));
    assert_eq!(beyond.combinations, Some(vec![]));
    // A mark between two steps of the grid takes the step above it.
    let between = needed(&rule, "6.1".parse().unwrap());
    assert_eq!(between.combinations, Some(vec![vec![0, 1], vec![1, 0]]));
}

#[test]
fn too_many_combinations_are_not_listed() {
    let many = needed(&rule(0, &[(1, "1", "0"); 40]), Mark::whole(20));
    assert_eq!(many.combinations, None);
    assert_eq!((many.fewest_right, many.in_order), (Some(20), Some(20)));
}

#[test]
fn one_more_right_makes_the_least_likely_question_certain() {
    let outline = outline(rule(0, &[(2, "1", "0"), (2, "2", "0")]));
    let tried: Vec<_> = [(1, 1.0), (2, 1.0), (3, 0.5)]
        .iter()
        .map(|(number, p)| Attempt::new(&outline, QuestionNo(*number), *p).unwrap())
        .collect();
    assert_eq!(chance(&outline, &tried, Mark::whole(4)), Some(0.5));
    let more = one_more(&outline, &tried, Mark::whole(4));
    // Nothing in the first section is left to gain; question 4, blank so far, makes 4 certain.
    assert_eq!(more[0].chance, None);
    assert_eq!(more[1].chance, Some(0.5));
    assert_eq!(more[1].instead_of_blank, Mark::whole(2));
    assert_eq!(one_more(&outline, &[], Mark::whole(4))[1].chance, None);
}

/// Every way to have some right in each section.
fn every(rule: &Rule) -> Vec<Vec<usize>> {
    rule.sections.iter().fold(vec![Vec::new()], |all, section| {
        let with = |one: &Vec<usize>| {
            let one = one.clone();
            (0..=size(section)).map(move |right| [one.clone(), vec![right]].concat())
        };
        all.iter().flat_map(with).collect()
    })
}

proptest! {
    /// All that is said of a mark equals what plain enumeration finds.
    #[test]
    fn what_a_mark_takes_equals_enumeration(
        start in -3i64..4,
        sections in prop::collection::vec((1u16..5, 1i64..13, -6i64..7), 1..5),
        twelfths in -60i64..400,
    ) {
        let mark = |twelfths: i64| Mark::from_steps(twelfths, 12);
        let text: Vec<_> = sections.iter()
            .map(|(n, gain, blank)| (*n, mark(gain + blank).to_string(), mark(*blank).to_string()))
            .collect();
        let parts: Vec<_> = text.iter().map(|(n, r, b)| (*n, r.as_str(), b.as_str())).collect();
        let rule = rule(start, &parts);
        let wanted = mark(twelfths);
        let found = needed(&rule, wanted);
        let every = every(&rule);
        let enough: Vec<_> = every.iter().filter(|right| mark_with(&rule, right) >= wanted).collect();
        let fewest = enough.iter().map(|right| right.iter().sum::<usize>()).min();
        prop_assert_eq!(found.fewest_right, fewest);
        let less = |right: &[usize], index: usize| {
            let mut less = right.to_vec();
            less[index] -= 1;
            mark_with(&rule, &less) < wanted
        };
        let minimal: BTreeSet<Vec<usize>> = enough.iter()
            .filter(|right| (0..right.len()).all(|index| right[index] == 0 || less(right, index)))
            .map(|right| (*right).clone())
            .collect();
        let listed = found.combinations.unwrap();
        prop_assert!(listed.is_sorted());
        prop_assert_eq!(listed.into_iter().collect::<BTreeSet<_>>(), minimal);
        let whole: usize = rule.sections.iter().map(size).sum();
        let from_front = (0..=whole).find(|count| {
            let mut left = *count;
            let right: Vec<_> = rule.sections.iter().map(|section| {
                let own = left.min(size(section));
                left -= own;
                own
            }).collect();
            mark_with(&rule, &right) >= wanted
        });
        prop_assert_eq!(found.in_order, from_front);
    }
}
