//! Two cohorts under ten marking rules, and a paper worked out by hand.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use pacebell::domain::event::How;
use pacebell::domain::key::{Key, Void};
use pacebell::domain::labels::Label;
use pacebell::domain::mark::Mark;
use pacebell::domain::marking::{Answer, Marked, mark};
use pacebell::domain::rule::{QuestionNo, Rule, Section};

fn number(text: &str) -> Mark {
    text.parse().unwrap()
}

/// First, last, right, wrong, blank.
type Part = (u16, u16, &'static str, &'static str, &'static str);

fn rule(start: i64, parts: &[Part]) -> Rule {
    let section = |(first, last, right, wrong, blank): &Part| Section {
        name: format!("{first}-{last}"),
        first: QuestionNo(*first),
        last: QuestionNo(*last),
        right: number(right),
        wrong: number(wrong),
        blank: number(blank),
    };
    Rule {
        start: Mark::whole(start),
        sections: parts.iter().map(section).collect(),
    }
}

/// A marking rule of the reference, with what the key adds to it.
struct Scheme {
    name: &'static str,
    rule: Rule,
    voids: Vec<(u16, Void)>,
    also: Option<(u16, char)>,
}

/// How a cohort's paper is cut into parts.
struct Cut {
    questions: u16,
    /// Ends of sections A and B.
    sections: [u16; 2],
    /// Ends of the first and second third.
    thirds: [u16; 2],
    /// S2: the parts that have the same number of options.
    by_options: Vec<Part>,
    voids: [u16; 2],
    also: (u16, char),
}

fn schemes(cut: &Cut) -> Vec<Scheme> {
    let (last, [a, b], [third, two_thirds]) = (cut.questions, cut.sections, cut.thirds);
    let plain = |name, rule| Scheme {
        name,
        rule,
        voids: vec![],
        also: None,
    };
    let s4 = || {
        rule(
            0,
            &[
                (1, a, "5", "0", "0"),
                (a + 1, b, "6", "-1", "0"),
                (b + 1, last, "6", "-2", "0"),
            ],
        )
    };
    let thirds = [
        (1, third, "3", "-3/4", "0"),
        (third + 1, two_thirds, "4", "-1", "0"),
        (two_thirds + 1, last, "5", "-5/4", "0"),
    ];
    let voided = |name, void| Scheme {
        voids: cut.voids.iter().map(|number| (*number, void)).collect(),
        ..plain(name, s4())
    };
    vec![
        plain("S1_number_right", rule(0, &[(1, last, "1", "0", "0")])),
        plain("S2_R_minus_W_over_k_minus_1", rule(0, &cut.by_options)),
        plain(
            "S3_5_6_6_no_penalty",
            rule(
                0,
                &[
                    (1, a, "5", "0", "0"),
                    (a + 1, b, "6", "0", "0"),
                    (b + 1, last, "6", "0", "0"),
                ],
            ),
        ),
        plain("S4_5_6_6_minus_0_1_2", s4()),
        plain(
            "S5_6_right_1.5_blank",
            rule(0, &[(1, last, "6", "0", "1.5")]),
        ),
        plain("S6_3_4_5_minus_quarter", rule(0, &thirds)),
        plain(
            "S7_4_minus_1_start_K",
            rule(i64::from(last), &[(1, last, "4", "-1", "0")]),
        ),
        voided("S8_S4_void_dropped", Void::Dropped),
        voided("S9_S4_void_full_to_all", Void::Credited),
        Scheme {
            also: Some(cut.also),
            ..plain("S10_S4_second_answer_accepted", s4())
        },
    ]
}

fn tiny() -> Cut {
    Cut {
        questions: 10,
        sections: [6, 8],
        thirds: [3, 6],
        by_options: vec![(1, 10, "1", "-1/4", "0")],
        voids: [5, 7],
        also: (10, '1'),
    }
}

fn iqitems() -> Cut {
    Cut {
        questions: 16,
        sections: [10, 13],
        thirds: [5, 10],
        by_options: vec![(1, 12, "1", "-1/5", "0"), (13, 16, "1", "-1/7", "0")],
        voids: [5, 11],
        also: (16, '2'),
    }
}

/// The rows of a table, each by its column names.
fn table(name: &str) -> Vec<BTreeMap<String, String>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/reference")
        .join(name);
    let mut reader = csv::Reader::from_path(path).unwrap();
    reader.deserialize().map(Result::unwrap).collect()
}

/// Every person's answers; an empty field and a 0 are blanks.
fn sheets(name: &str) -> Vec<Vec<Answer>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/reference")
        .join(name);
    let mut reader = csv::Reader::from_path(path).unwrap();
    let answer = |(index, field): (usize, &str)| {
        let given = field
            .chars()
            .next()
            .filter(|c| *c != '0')
            .and_then(Label::new);
        Answer {
            number: QuestionNo::from_index(index),
            given,
            how: given.map(|_| How::Worked),
            after_time: false,
        }
    };
    let sheet = |row: csv::StringRecord| row.iter().skip(1).enumerate().map(answer).collect();
    reader.records().map(|row| sheet(row.unwrap())).collect()
}

fn key(cohort: &str, scheme: &Scheme) -> Key {
    let label = |row: &BTreeMap<String, String>| Label::new(row["key"].chars().next().unwrap());
    let also = scheme
        .also
        .map(|(number, c)| (QuestionNo(number), BTreeSet::from([Label::new(c).unwrap()])));
    Key {
        paper: cohort.into(),
        fingerprint: None,
        answers: table(&format!("{cohort}_key.csv"))
            .iter()
            .filter_map(label)
            .collect(),
        also_right: also.into_iter().collect(),
        voids: scheme
            .voids
            .iter()
            .map(|(number, void)| (QuestionNo(*number), *void))
            .collect(),
        notes: BTreeMap::new(),
    }
}

fn counts(marked: &Marked) -> [usize; 3] {
    marked
        .sections
        .iter()
        .fold([0; 3], |[right, wrong, blank], section| {
            [
                right + section.right,
                wrong + section.wrong,
                blank + section.blank,
            ]
        })
}

fn check(cohort: &str, cut: &Cut, people: usize) {
    let expected = table(&format!("{cohort}_scored.csv"));
    let stats = table(&format!("{cohort}_scheme_stats.csv"));
    let sheets = sheets(&format!("{cohort}_raw.csv"));
    assert_eq!((sheets.len(), expected.len()), (people, people));
    for (scheme, stats) in schemes(cut).iter().zip(&stats) {
        let name = scheme.name;
        assert_eq!(stats["scheme"], name);
        assert_eq!(scheme.rule.problems(usize::from(cut.questions)), []);
        let key = key(cohort, scheme);
        let mut totals = Vec::new();
        for (sheet, expected) in sheets.iter().zip(&expected) {
            let marked = mark(sheet, &key, &scheme.rule);
            let person = &expected["person"];
            assert_eq!(
                marked.total,
                number(&expected[name]),
                "{name}, person {person}"
            );
            assert_eq!(marked.max, number(&stats["max_mark"]), "{name}");
            if scheme.voids.is_empty() && scheme.also.is_none() {
                let read: [usize; 3] =
                    ["n_right", "n_wrong", "n_blank"].map(|n| expected[n].parse().unwrap());
                assert_eq!(counts(&marked), read, "{name}, person {person}");
            }
            totals.push(marked.total);
        }
        let sum: Mark = totals.iter().copied().sum();
        let mean = number(&stats["mean_exact"]);
        assert_eq!(sum, mean * i64::try_from(people).unwrap(), "{name}: mean");
        assert_eq!(
            totals.iter().min(),
            Some(&number(&stats["min"])),
            "{name}: lowest"
        );
        assert_eq!(
            totals.iter().max(),
            Some(&number(&stats["max"])),
            "{name}: highest"
        );
        let negative = totals.iter().filter(|total| **total < Mark::ZERO).count();
        assert_eq!(
            negative.to_string(),
            stats["n_negative_totals"],
            "{name}: below zero"
        );
    }
}

/// Made up for checking by hand: 12 people, 10 questions, ten rules.
#[test]
fn the_small_cohort_is_marked_exactly_under_ten_rules() {
    check("tiny", &tiny(), 12);
}

/// Answers of Condon & Revelle (2014), *Intelligence* 43, 52-64: 1525 people, 16 questions.
#[test]
fn the_large_cohort_is_marked_exactly_under_ten_rules() {
    check("iqitems", &iqitems(), 1525);
}

/// The total of a paper of 15 questions at 5 and 10 at 6 with these questions right, the rest wrong.
fn total(right: impl Fn(u16) -> bool) -> Mark {
    let rule = rule(0, &[(1, 15, "5", "0", "0"), (16, 25, "6", "0", "0")]);
    let [a, b] = ['A', 'B'].map(|c| Label::new(c).unwrap());
    let answer = |n| Answer {
        number: QuestionNo(n),
        given: Some(if right(n) { a } else { b }),
        how: Some(How::Worked),
        after_time: false,
    };
    let key = Key {
        paper: "made up".into(),
        fingerprint: None,
        answers: vec![a; 25],
        also_right: BTreeMap::new(),
        voids: BTreeMap::new(),
        notes: BTreeMap::new(),
    };
    mark(&(1..=25).map(answer).collect::<Vec<_>>(), &key, &rule).total
}

/// 15 x 5 + 10 x 6 = 135; 15 x 5 + 4 x 6 = 99 and 15 x 5 + 3 x 6 = 93 stand on either side of 95;
/// six, eleven and fifteen right are 30, 55 and 75 (common practice, no source).
#[test]
fn a_paper_of_fifteen_at_five_and_ten_at_six() {
    let boundary = Mark::whole(95);
    assert_eq!(total(|_| true), Mark::whole(135));
    assert!(total(|n| n <= 19) >= boundary && total(|n| n <= 18) < boundary);
    assert_eq!(
        [6, 11, 15].map(|last| total(|n| n <= last)),
        [30, 55, 75].map(Mark::whole)
    );
}
