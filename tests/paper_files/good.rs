//! Files that are fine, and what becomes of them.

use std::path::Path;

use pacebell::domain::labels::Label;
use pacebell::domain::mark::Mark;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::storage::files::{key, paper, plan};

/// A paper that uses every field of format 1, and a figure in words.
pub(crate) const PAPER: &str = r##"// A paper of our own.
#![enable(implicit_some)]
Paper(
    format: 2,
    id: "dune-a",
    title: "Dune Cup: practice paper A",
    minutes: "45/2",
    options: "ABCD",
    conditions: ["No calculator.", "Rough paper\nis allowed."],
    rule_checked: (on: "2026-09-03", by: "T.M."),
    rule: (
        start: 2,
        sections: [
            (name: "easy", first: 1, last: 2, right: 4),
            (first: 3, last: 3, right: 5.5, wrong: "-1/4", blank: 1),
        ],
    ),
    awards: [(name: "shell", boundary: 6), (name: "pearl", boundary: "25/2")],
    past: [(year: 2025, boundaries: {"pearl": 12, "shell": 5})],
    questions: [
        (topics: ["number"], stem: "2 + 2 = ?", options: ["3", "4", "5", "6"]),
        (topics: ["shape"], stem: "How many corners?", figure: r#"
+--+
|  |
+--+"#, figure_words: "a square", options: ["1", "2", "3", "4"]),
        (stem: "True?", labels: "YN", options: ["yes", "no"]),
    ],
)
"##;

/// Its key, with every field.
pub(crate) const KEY: &str = r#"(
    format: 1,
    paper: "dune-a",
    answers: "BD Y",
    also_right: {2: "ac"},
    void: {3: credited},
    notes: {
        1: (hint: "Count.", working: "2 + 2 = 4", distractors: {"A": "slip", "C": "one too many"}),
        2: (),
    },
)"#;

fn label(c: char) -> Label {
    Label::new(c).unwrap()
}

#[test]
fn a_paper_that_uses_every_field_is_read() {
    let sound = paper::from_bytes(Path::new("dune.paper.ron"), PAPER.as_bytes(), None).unwrap();
    assert_eq!(sound.notes, []);
    let paper = sound.value;
    assert_eq!(paper.allowed, Elapsed::seconds(45 * 30));
    assert_eq!(paper.conditions.len(), 2);
    assert_eq!(paper.past[0].boundaries["pearl"], Mark::whole(12));
    let outline = paper.outline;
    assert_eq!((outline.id.as_str(), outline.questions), ("dune-a", 3));
    assert!(outline.on_screen);
    assert_eq!(outline.labels(QuestionNo(1)).to_string(), "ABCD");
    assert_eq!(outline.labels(QuestionNo(3)).to_string(), "YN");
    assert_eq!(outline.rule.start, Mark::whole(2));
    assert_eq!(outline.rule.sections[1].name, "3-3");
    assert_eq!(outline.rule.sections[1].right.to_string(), "5.5");
    assert_eq!(outline.rule.sections[1].wrong.to_string(), "-0.25");
    assert_eq!(outline.awards[1].boundary.to_string(), "12.5");
    assert_eq!(outline.rule_checked.unwrap().by, "T.M.");
    assert_eq!(
        paper.questions[1].figure.as_deref(),
        Some("\n+--+\n|  |\n+--+")
    );
}

#[test]
fn a_key_that_uses_every_field_is_read() {
    let key = key::from_bytes(Path::new("dune.key.ron"), KEY.as_bytes(), None).unwrap();
    assert_eq!(key.notes, []);
    let key = key.value;
    assert_eq!(key.answers, ['B', 'D', 'Y'].map(label));
    assert!(key.accepts(QuestionNo(2), label('A')) && key.accepts(QuestionNo(2), label('C')));
    assert_eq!(key.right_options(QuestionNo(2)), 3);
    assert_eq!(key.notes[&QuestionNo(1)].distractors[&label('A')], "slip");
    let listed = KEY.replace("\"BD Y\"", "[\"B\", \"d\", \"Y\"]");
    let listed = key::from_bytes(Path::new("dune.key.ron"), listed.as_bytes(), None).unwrap();
    assert_eq!(listed.value, key);
}

#[test]
fn the_fingerprint_covers_the_questions_and_nothing_that_changes_from_year_to_year() {
    let print = |text: &str| {
        let read = paper::from_bytes(Path::new("p"), text.as_bytes(), None).unwrap();
        read.value.outline.fingerprint
    };
    let own = print(PAPER);
    for (from, to, same) in [
        ("practice paper A", "practice paper B", true),
        ("\"45/2\"", "60", true),
        ("right: 4", "right: 3", true),
        ("boundary: 6", "boundary: 7", true),
        ("\"2026-09-03\"", "\"2026-09-04\"", true),
        ("[\"number\"]", "[\"sums\"]", true),
        ("dune-a", "dune-b", false),
        ("\"YN\"", "\"NY\"", false),
        ("2 + 2 = ?", "2 + 3 = ?", false),
        ("|  |", "| .|", false),
        (
            "[\"3\", \"4\", \"5\", \"6\"]",
            "[\"4\", \"3\", \"5\", \"6\"]",
            false,
        ),
    ] {
        assert!(PAPER.contains(from), "{from}");
        assert_eq!(
            print(&PAPER.replace(from, to)) == own,
            same,
            "{from} -> {to}"
        );
    }
}

#[test]
fn a_key_is_for_one_version_of_a_paper() {
    let paper = paper::from_bytes(Path::new("p"), PAPER.as_bytes(), None).unwrap();
    let outline = paper.value.outline;
    let own = format!("answers: \"BDY\", fingerprint: \"{}\"", outline.fingerprint);
    let text = KEY.replace("answers: \"BD Y\"", &own);
    let key = key::from_bytes(Path::new("k"), text.as_bytes(), Some(&outline)).unwrap();
    assert_eq!(key.notes, []);
    assert_eq!(key.value.fits(&outline), Ok(()));
}

#[test]
fn a_plan_is_a_handful_of_checkpoints() {
    let text =
        b"(format: 1, checkpoints: [(question: 10, minutes: 17.5), (question: 20, minutes: 40)])";
    let plan = plan::from_bytes(Path::new("otter.plan.ron"), text).unwrap();
    let plan = plan.value.plan.checkpoints;
    assert_eq!(plan.len(), 2);
    assert_eq!(plan[0].question, QuestionNo(10));
    assert_eq!(plan[0].minutes.to_string(), "17.5");
}
