//! The register beside the sittings: what it arranges, and that words typed to `sit` win.

#![cfg(test)]

#[path = "common/typed.rs"]
mod typed;

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use pacebell::domain::header::Arrangements;
use pacebell::domain::mark::Mark;
use pacebell::domain::time::Elapsed;
use pacebell::storage::journal;
use tempfile::TempDir;
use typed::typed;

const PAPER: &str = r#"(
    format: 1,
    id: "heron",
    title: "Heron paper",
    minutes: 10,
    options: "ABCDE",
    rule: (sections: [(name: "all", first: 1, last: 4, right: 4)]),
    questions: [(), (), (), ()],
)"#;

fn room(register: &str) -> TempDir {
    let dir = TempDir::new().unwrap();
    fs::write(dir.path().join("heron.paper.ron"), PAPER).unwrap();
    let key = r#"(format: 1, paper: "heron", answers: "ABCD")"#;
    fs::write(dir.path().join("heron.key.ron"), key).unwrap();
    fs::create_dir(dir.path().join("sessions")).unwrap();
    fs::write(dir.path().join("sessions/register.ron"), register).unwrap();
    dir
}

fn pacebell(dir: &Path, words: &[&str], input: &str) -> Output {
    let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
    typed(program.current_dir(dir).args(words), input)
}

/// Sits with one answer, and gives what was said and what the file says was arranged.
fn sat(register: &str, words: &[&str]) -> (String, Arrangements) {
    let dir = room(register);
    let all = [&["sit", "heron.paper.ron", "--pupil", "otter"], words].concat();
    let done = pacebell(dir.path(), &all, "start\n1\nA\nfinish\ny\n");
    assert!(done.status.success(), "{done:?}");
    let listing = journal::list(&dir.path().join("sessions")).unwrap();
    let arranged = listing.records[0].header.arrangements.clone();
    (String::from_utf8(done.stdout).unwrap(), arranged)
}

const OTTER: &str = r#"(format: 1, pupils: [
    (alias: "otter", extra_time: 25, rest_breaks: true, remind: 2, marks: false, plain: true),
])"#;

#[test]
fn what_the_register_has_holds_where_no_word_says_otherwise() {
    let (said, arranged) = sat(OTTER, &[]);
    assert_eq!(arranged.extra_percent, Mark::whole(25));
    assert_eq!(arranged.remind_before, Elapsed::minutes(2));
    assert!(arranged.rest_breaks);
    assert!(said.contains("Your tutor has the answer key"), "{said}");
}

#[test]
fn words_that_are_typed_win_and_stand_in_the_file() {
    let words = [
        "--extra-time=0%",
        "--rest-breaks=no",
        "--remind=0",
        "--key=heron.key.ron",
    ];
    let (said, arranged) = sat(OTTER, &words);
    assert_eq!(arranged.extra_percent, Mark::ZERO);
    assert_eq!(arranged.remind_before, Elapsed::ZERO);
    assert!(!arranged.rest_breaks);
    assert!(said.contains("In time: 4 of 16"), "{said}");
}

#[test]
fn an_alias_that_is_not_in_it_sits_as_without_one() {
    let other = OTTER.replace("\"otter\"", "\"teasel\"");
    let (said, arranged) = sat(&other, &["--plain"]);
    assert_eq!(arranged, Arrangements::usual(Elapsed::minutes(10)));
    assert!(said.contains("In time: 4 of 16"), "{said}");
}

#[test]
fn a_shared_machine_shows_no_marks_after_a_sitting() {
    let (said, _) = sat("(format: 1, shared_machine: true)", &["--plain"]);
    assert!(!said.contains("of 16"), "{said}");
}

#[test]
fn a_register_that_cannot_be_used_stops_a_sitting_before_it_starts() {
    let dir = room("(format: 1, pupils: [(alias: \"otter\", extra_tim: 25)])");
    let words = ["sit", "heron.paper.ron", "--pupil", "otter", "--plain"];
    let done = pacebell(dir.path(), &words, "start\n");
    assert_eq!(done.status.code(), Some(1));
    let said = String::from_utf8(done.stderr).unwrap();
    assert!(
        said.contains("register.ron:1:") && said.contains("there's no field `extra_tim` here"),
        "{said}"
    );
    assert_eq!(
        fs::read_dir(dir.path().join("sessions")).unwrap().count(),
        1
    );
}

const WORDED: &str = r#"(
    format: 2,
    id: "heron",
    title: "Heron paper",
    minutes: 10,
    options: "AB",
    rule: (sections: [(name: "all", first: 1, last: 2, right: 4)]),
    questions: [
        (stem: "Which is more?", options: ["one", "two"]),
        (stem: "How many dots?", figure: "* *", figure_words: "Two dots.", options: ["two", "three"]),
    ],
)"#;

/// What is heard after a sitting of two questions, when these lines are typed then.
fn afterwards(register: &str, typed: &str) -> String {
    afterwards_of("start\nA\n2\nA\nfinish\ny\n", register, typed)
}

/// The same after another sitting.
fn afterwards_of(sitting: &str, register: &str, typed: &str) -> String {
    let dir = room(register);
    fs::write(dir.path().join("heron.paper.ron"), WORDED).unwrap();
    let key = r#"(format: 1, paper: "heron", answers: "BA", notes: {1: (hint: "Count up.", working: "Two is more.")})"#;
    fs::write(dir.path().join("heron.key.ron"), key).unwrap();
    let words = ["sit", "heron.paper.ron", "--pupil", "otter", "--plain"];
    let input = format!("{sitting}{typed}");
    let done = pacebell(dir.path(), &words, &input);
    assert!(done.status.success(), "{done:?}");
    String::from_utf8(done.stdout).unwrap()
}

#[test]
fn after_a_sitting_a_pupil_hears_own_questions_with_hints_where_the_register_lets_it() {
    let lets = "(format: 1, pupils: [(alias: \"otter\", questions_after: true)])";
    let said = afterwards(lets, "1\n9\n2\nleave\n");
    let (_, after) = said.split_once("hear that question again").unwrap();
    assert!(
        after.contains(
            "Question 1.\nWhich is more?\nA: one\nB: two\nYour answer: A, wrong.\nHint: Count up.\n"
        ),
        "{after}"
    );
    assert!(
        after.contains("Two dots.") && !after.contains("* *"),
        "{after}"
    );
    assert!(after.contains("There's no hint for this one."), "{after}");
    assert!(
        after.contains("There's no such question. This sitting has questions 1 and 2."),
        "{after}"
    );
    assert!(!after.contains("Two is more."), "no working: {after}");
    for register in [
        "(format: 1, pupils: [(alias: \"otter\")])",
        "(format: 1, shared_machine: true, pupils: [(alias: \"otter\", questions_after: true)])",
    ] {
        let said = afterwards(register, "1\n");
        assert!(
            !said.contains("hear that question again"),
            "{register}\n{said}"
        );
    }
    let kept_back =
        "(format: 1, pupils: [(alias: \"otter\", questions_after: true, marks: false)])";
    let said = afterwards(kept_back, "1\nleave\n");
    assert!(said.contains("Your answer: A.\nHint: Count up."), "{said}");
}

/// Enter and `next` go on, `back` goes back, `list` and `help` say what there is; no step leads out.
#[test]
fn own_questions_are_gone_through_by_steps() {
    let lets = "(format: 1, pupils: [(alias: \"otter\", questions_after: true)])";
    let steps = |typed: &str| {
        let said = afterwards(lets, typed);
        said.split_once("leave: stop here.\n").unwrap().1.to_owned()
    };
    let opened = |typed: &str| {
        let said = steps(typed);
        let heads = said
            .lines()
            .filter(|line| line.starts_with("Question ") && line.len() == 11);
        heads
            .map(|line| line.chars().nth(9).unwrap())
            .collect::<String>()
    };
    for (typed, questions) in [
        ("\n", "1"),
        ("\n\n", "12"),
        ("next\nNEXT\nback\n", "121"),
        ("2\nback\nread\n", "211"),
        ("\n\n\n\nback\n", "121"),
        ("back\n2\n", "2"),
    ] {
        assert_eq!(opened(typed), questions, "{typed:?}");
    }
    let other = "There's no other question that way.";
    assert!(steps("2\n\n").contains(other) && steps("back\n").contains(other));
    assert_eq!(
        steps("list\nleave\n"),
        "Question 1: A, wrong.\nQuestion 2: A, right.\n"
    );
    let blank = afterwards_of("start\nfinish\ny\n", lets, "list\nleave\n");
    assert!(blank.ends_with("\nQuestions 1 and 2: blank.\n"), "{blank}");
    assert!(steps("help\n").contains("Type a number to hear that question again"));
    let unclear = steps("heron\n");
    assert!(
        unclear.contains("heron isn't one of the words here."),
        "{unclear}"
    );
    assert!(!unclear.contains('`'), "{unclear}");
}
