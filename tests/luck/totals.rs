//! Every total under every kind of rule, against exact fractions.

use crate::told::{Folder, Section, close};
use crate::{at_least, expected, number};

/// A reference case as a paper, and the words that ask for it.
fn cases() -> Vec<(
    &'static str,
    &'static str,
    Vec<Section<'static>>,
    &'static str,
)> {
    let two: Vec<Section<'_>> = vec![(1, 15, "5", "0", "0"), (16, 25, "6", "0", "0")];
    let three: Vec<Section<'_>> = vec![
        (1, 15, "5", "0", "0"),
        (16, 20, "6", "-1", "0"),
        (21, 25, "6", "-2", "0"),
    ];
    let blanks: Vec<Section<'_>> = vec![(1, 25, "6", "0", "1.5")];
    vec![
        ("M1", "0", two.clone(), "--guesses 1-25"),
        ("M2", "0", three.clone(), "--guesses 1-25"),
        ("M3", "0", two, "--guesses 1-3,24,25"),
        ("M4", "0", three.clone(), "--guesses 7,16,17,24-25"),
        (
            "M5",
            "24",
            vec![
                (1, 8, "3", "-3/4", "0"),
                (9, 16, "4", "-1", "0"),
                (17, 24, "5", "-1.25", "0"),
            ],
            "--guesses 1-24 --total",
        ),
        ("M6", "0", blanks.clone(), "--guesses 11-25 --total"),
        ("M7", "0", blanks, "--guesses 1-25 --total"),
        (
            "M8",
            "25",
            vec![(1, 25, "4", "-1", "0")],
            "--guesses 1-25 --total",
        ),
        (
            "M9",
            "0",
            three.clone(),
            "--guesses 13-25 --total --right 1-12 --options-left 13-15:3,16-20:4",
        ),
        (
            "M10",
            "0",
            three,
            "--guesses 1-25 --total --key voided.key.ron",
        ),
        (
            "M11",
            "0",
            vec![(1, 20, "1", "-1/4", "0")],
            "--guesses 1-20",
        ),
    ]
}

/// Exact fractions worked out by enumeration outside this program: `reference/README.md`.
#[test]
fn totals_are_exact_under_every_kind_of_rule() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/");
    let read = |name: &str| {
        let mut rows = csv::Reader::from_path(format!("{path}{name}")).unwrap();
        rows.records().map(Result::unwrap).collect::<Vec<_>>()
    };
    let (totals, summaries) = (read("total_marks.csv"), read("total_marks_summary.csv"));
    let folder = Folder::new();
    folder.file(
        "voided.key.ron",
        "(format: 1, paper: \"made\", answers: \"AAAAAAAAAAAAAAAAAAAAAAAAA\", void: {7: credited})",
    );
    for (name, start, sections, words) in cases() {
        folder.paper(start, &sections, "");
        let found = folder.json(&format!("luck made.paper.ron {words}"));
        let summary = summaries.iter().find(|row| &row[0] == name).unwrap();
        close(expected(&found), number(&summary[1]), 1e-12, name);
        close(
            found["sd"].as_f64().unwrap(),
            number(&summary[5]),
            1e-11,
            name,
        );
        let mine: Vec<_> = totals.iter().filter(|row| &row[0] == name).collect();
        let distribution = found["distribution"].as_array().unwrap();
        assert_eq!(distribution.len(), mine.len(), "{name}");
        for (total, row) in distribution.iter().zip(mine) {
            let marks = number(total["marks"].as_str().unwrap());
            close(marks, number(&row[1]), 1e-12, name);
            let (chance, tail) = (total["chance"].as_f64().unwrap(), number(&row[5]));
            close(
                chance,
                number(&row[3]),
                (number(&row[3]) * 1e-9).min(1e-12),
                name,
            );
            close(
                at_least(&found, marks),
                tail,
                (tail * 1e-9).min(1e-12),
                name,
            );
        }
    }
}
