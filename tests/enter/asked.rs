//! The answers typed by somebody who can be asked again.

use std::fs;
use std::io::Cursor;

use chrono::DateTime;
use clap::Parser;
use pacebell::cli::Failure;
use pacebell::cli::enter::{Desk, Words, run};
use pacebell::clock::FakeClock;
use pacebell::journal;
use tempfile::TempDir;

const PAPER: &str = r#"(
    format: 1, id: "teal", title: "Teal paper", minutes: 10, options: "ABCDE",
    rule: (sections: [(name: "all", first: 1, last: 4, right: 5)]),
    questions: [(), (), (), ()],
)"#;

#[derive(Parser)]
struct Typed {
    #[command(flatten)]
    words: Words,
}

/// What was said, and how many records were kept.
fn ask(input: &str) -> (Result<(), Failure>, String, Vec<usize>) {
    let dir = TempDir::new().unwrap();
    let paper = dir.path().join("teal.paper.ron");
    fs::write(&paper, PAPER).unwrap();
    let typed = Typed::parse_from(["enter", paper.to_str().unwrap(), "--pupil", "otter"]);
    let now = DateTime::parse_from_rfc3339("2026-11-25T16:00:00+00:00").unwrap();
    let (mut out, mut aside) = (Vec::new(), Vec::new());
    let mut desk = Desk {
        input: &mut Cursor::new(input.to_owned()),
        asks: true,
        out: &mut out,
        aside: &mut aside,
    };
    let kept = dir.path().join("kept");
    let ending = run(&typed.words, Some(&kept), &FakeClock::new(now), &mut desk);
    let found = journal::list(&kept).unwrap().records;
    let events = found.iter().map(|record| record.events.len()).collect();
    (ending, String::from_utf8(aside).unwrap(), events)
}

#[test]
fn a_wrong_line_is_asked_for_again_and_the_sheet_is_shown_before_it_is_saved() {
    let (ending, said, kept) = ask("AB\nXY\nC-\n?\n\n");
    assert!(
        said.contains("column 1: 'X' is no answer to question 3"),
        "{said}"
    );
    assert!(
        said.contains("column 1: a ? comes after the answer"),
        "{said}"
    );
    assert!(said.contains("from question 3:    3 C    4 -\n"), "{said}");
    assert!(said.ends_with("Enter saves: "), "{said}");
    assert_eq!((ending, kept), (Ok(()), vec![4]));
}

#[test]
fn a_guess_may_be_said_of_the_line_above_and_again_starts_anew() {
    let (ending, said, kept) = ask("ABCD\nagain\nAB\n?\nCD\n\n");
    assert!(said.contains("   1 A    2 B?\n"), "{said}");
    assert_eq!((ending, kept), (Ok(()), vec![6]));
}

#[test]
fn answers_that_end_too_soon_are_not_kept() {
    for input in ["", "AB\n", "ABCD\n"] {
        let (ending, _, kept) = ask(input);
        assert_eq!(ending.map_err(|failure| failure.code()), Err(1));
        assert!(kept.is_empty());
    }
}
