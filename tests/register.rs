//! The register beside the sittings: what it arranges, and that words typed to `sit` win.

#![cfg(test)]

use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use pacebell::domain::header::Arrangements;
use pacebell::domain::mark::Mark;
use pacebell::domain::time::Elapsed;
use pacebell::storage::journal;
use tempfile::TempDir;

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
    let mut child = Command::new(env!("CARGO_BIN_EXE_pacebell"))
        .current_dir(dir)
        .args(words)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // The program may end before it has read everything.
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    child.wait_with_output().unwrap()
}

/// Sits with one answer, and gives what was said and what the file says was arranged.
fn sat(register: &str, words: &[&str]) -> (String, Arrangements) {
    let dir = room(register);
    let all = [&["sit", "heron.paper.ron", "--pupil", "otter"], words].concat();
    let done = pacebell(dir.path(), &all, "start\n1\nA\nfinish\nfinish\n");
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
