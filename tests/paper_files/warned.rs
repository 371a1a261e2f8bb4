//! What a paper or a key may have, and hardly ever means.

use std::fs;

use crate::{marked, run};

/// A paper in which nothing is odd; its key is `ABCDABCD`.
const PAPER: &str = r#"(
    format: 2, id: "dune", title: "Dune", minutes: 20, options: "ABCD",
    conditions: ["Everybody starts from 10 marks."],
    rule_checked: (on: "2026-09-03", by: "K."),
    rule: (start: 10, sections: [
        (name: "front", first: 1, last: 4, right: 4),
        (name: "back", first: 5, last: 8, right: 6, wrong: -1),
    ]),
    awards: [(name: "shell", boundary: 20), (name: "pearl", boundary: 45)],
    past: [(year: 2025, boundaries: {"shell": 18, "pearl": 44})],
    questions: [
        (topics: ["ratio"]), (topics: ["ratio"]), (topics: ["shape"]), (topics: ["shape"]),
        (), (), (), (),
    ],
)"#;

const KEY: &str = r#"(format: 1, paper: "dune", answers: "ABCDABCD")"#;

/// What `paper check` notes of the two files, without the fingerprint.
fn notes(paper: &str, key: &str) -> Vec<String> {
    let dir = tempfile::tempdir().unwrap();
    let path = |name: &str| dir.path().join(name).display().to_string();
    fs::write(path("dune.paper.ron"), paper).unwrap();
    fs::write(path("dune.key.ron"), key).unwrap();
    let (said, end) = run(&["check", &path("dune.paper.ron"), &path("dune.key.ron")]);
    assert!(end.is_ok(), "a warning is no error: {said}");
    let said = said.replace(&dir.path().join("").display().to_string(), "");
    let notes = said
        .lines()
        .filter(|line| line.contains(": note: ") && !line.contains("fingerprint"));
    notes.map(str::to_owned).collect()
}

fn paper_with(from: &str, to: &str, sentence: &str) {
    assert_eq!(PAPER.matches(from).count(), 1, "{from}");
    let (text, places) = marked(&PAPER.replace(from, to));
    let expected: Vec<_> = places
        .iter()
        .map(|at| format!("dune.paper.ron:{at}: note: {sentence}"))
        .collect();
    assert_eq!(expected.len(), 1);
    assert_eq!(notes(&text, KEY), expected);
}

#[test]
fn nothing_is_noted_where_nothing_is_odd() {
    assert_eq!(notes(PAPER, KEY), [""; 0]);
}

#[test]
fn what_is_hardly_meant_in_a_paper_is_noted_with_its_place() {
    paper_with(
        "wrong: -1",
        "wrong: «1",
        "section 2, wrong: a wrong answer earns 1 here; check the sign",
    );
    paper_with(
        "year: 2025",
        "year: «25",
        "past year 1, year: the year 25 isn't in this century; write all four digits",
    );
    paper_with(
        "\"2026-09-03\"",
        "«\"0026-09-03\"",
        "rule_checked, on: the year 26 isn't in this century; write all four digits",
    );
    paper_with(
        "start: 10, sections: [\n        (name: \"front\", first: 1, last: 4, right: 4)",
        "start: «-5, sections: [\n        (name: \"front\", first: 1, last: 4, right: 9)",
        "rule, start: everybody starts from -5 marks, but no line of `conditions` says so; add one for the pupils to hear",
    );
    paper_with(
        "(topics: [\"shape\"]), (topics: [\"shape\"])",
        "(topics: [\"shape\"]), (topics: [\"shape\", «\"shpae\"])",
        "question 4, topic 2: only this question has the topic \"shpae\"; check how it's spelt",
    );
    paper_with(
        "\"pearl\": 44",
        "\"pearl\": «90",
        "past year 1, boundaries, pearl: the boundary 90 is above 50, this paper's highest mark, so the boundaries of 2025 are for another maximum; leave that year out, or convert them",
    );
}

/// 10 to start with, four times 4 and four times 6 make 50.
#[test]
fn a_start_below_zero_that_is_told_is_not_noted() {
    let text = PAPER
        .replace("start: 10", "start: -5")
        .replace("starts from 10 marks", "starts with 5 marks taken off");
    // The boundaries are lower than the most there can be, 35.
    let text = text
        .replace("boundary: 45", "boundary: 30")
        .replace("\"pearl\": 44", "\"pearl\": 29");
    assert_eq!(notes(&text, KEY), [""; 0]);
}

#[test]
fn a_key_of_one_letter_and_boundaries_that_dropped_questions_put_out_of_reach_are_noted() {
    let all = notes(PAPER, &KEY.replace("ABCDABCD", "AAAAAAAA"));
    assert_eq!(
        all,
        [
            "dune.key.ron:1:37: note: answers: every answer is A; make sure that the whole key has been typed in"
        ]
    );
    let with = |void: &str| notes(PAPER, &KEY.replace(')', &format!(", void: {{{void}}})")));
    // 50 less 6 is 44, below pearl's 45; less 4 it is 46.
    let [said] = &with("7: dropped")[..] else {
        panic!("{:?}", with("7: dropped"));
    };
    assert!(
        said.contains(
            "void: dropped questions leave 44 marks, so nobody can reach the boundary for pearl"
        ),
        "{said}"
    );
    let [said] = &with("2: dropped")[..] else {
        panic!("{:?}", with("2: dropped"));
    };
    assert!(
        said.contains("void: dropped questions leave 46 marks, but the boundaries are for 50"),
        "{said}"
    );
    assert_eq!(with("7: credited"), [""; 0]);
}
