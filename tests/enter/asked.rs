//! The answers typed by somebody who can be asked again.

use std::fs;
use std::io::Cursor;

use chrono::DateTime;
use clap::Parser;
use pacebell::clock::FakeClock;
use pacebell::commands::Failure;
use pacebell::commands::enter::{Desk, EnterArgs, run};
use pacebell::storage::journal;
use tempfile::TempDir;

const PAPER: &str = r#"(
    format: 1, id: "teal", title: "Teal paper", minutes: 10, options: "ABCDE",
    rule: (sections: [(name: "all", first: 1, last: 4, right: 5)]),
    questions: [(), (), (), ()],
)"#;

#[derive(Parser)]
struct Typed {
    #[command(flatten)]
    words: EnterArgs,
}

/// What was said, and how many records were kept.
fn ask(input: &str) -> (Result<(), Failure>, String, Vec<usize>) {
    ask_with(&[], input)
}

fn ask_with(more: &[&str], input: &str) -> (Result<(), Failure>, String, Vec<usize>) {
    let dir = TempDir::new().unwrap();
    let paper = dir.path().join("teal.paper.ron");
    fs::write(&paper, PAPER).unwrap();
    let words = ["enter", paper.to_str().unwrap(), "--pupil", "otter"];
    let typed = Typed::parse_from([&words[..], more].concat());
    let now = DateTime::parse_from_rfc3339("2026-11-25T16:00:00+00:00").unwrap();
    let (mut out, mut aside) = (Vec::new(), Vec::new());
    let mut desk = Desk {
        input: &mut Cursor::new(input.to_owned()),
        asks: true,
        out: &mut out,
        out_is_read: true,
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
    let (ending, said, kept) = ask("AB\nXY\nC-\n?\ny\n");
    assert!(
        said.contains("column 1: 'X' isn't an answer to question 3"),
        "{said}"
    );
    assert!(
        said.contains("column 1: there's no answer before this ?"),
        "{said}"
    );
    let asked = "   1 A     2 B     3 C     4 -\nIs this right? y saves, n starts again: ";
    assert!(said.contains(asked), "{said}");
    let (_, last) = said.rsplit_once(asked.split_once('\n').unwrap().1).unwrap();
    assert!(
        last.starts_with("Saved: ") && last.ends_with(".session.ron\n"),
        "{last}"
    );
    assert!(said.contains("Ctrl-C leaves without saving."), "{said}");
    assert_eq!((ending, kept), (Ok(()), vec![4]));
}

#[test]
fn a_guess_may_be_said_of_the_line_above_and_again_starts_anew() {
    let (ending, said, kept) = ask("ABCD\nagain\nAB\n?\nCD\ny\n");
    assert!(said.contains("   1 A     2 B?\n"), "{said}");
    assert_eq!((ending, kept), (Ok(()), vec![6]));
}

#[test]
fn answers_that_end_too_soon_are_not_kept() {
    for input in ["", "AB\n", "ABCD\n", "ABCD\n\n", "ABCD\nn\ny\n"] {
        let (ending, _, kept) = ask(input);
        assert_eq!(ending.map_err(|failure| failure.code()), Err(1));
        assert!(kept.is_empty());
    }
}

#[test]
fn no_starts_again_and_an_empty_line_asks_again() {
    let (ending, said, kept) = ask("ABCD\n\nN\nABC\n-\n?\nYES\n");
    assert_eq!(said.matches("Is this right?").count(), 4, "{said}");
    assert_eq!(said.matches("from question 1: ").count(), 2, "{said}");
    assert!(
        said.contains("column 1: there's no answer before this ?"),
        "{said}"
    );
    assert_eq!((ending, kept), (Ok(()), vec![4]));
}

#[test]
fn a_whole_sheet_after_its_beginning_is_told_with_both_counts() {
    let (ending, said, kept) = ask("AB\nABCD\nCD\nA\nyes\n");
    for line in [
        "  column 3: 2 answers too many (6 for 4 questions); check that none was typed twice. Carry on from question 3, or type `again` to start over.\n",
        "  column 1: one answer too many (5 for 4 questions); check that none was typed twice. The sheet is full: type y if it is right, n to start again.\n",
    ] {
        assert!(said.contains(line), "{said}");
    }
    assert_eq!((ending, kept), (Ok(()), vec![5]));
}

/// An arrow key reaches a program that reads lines as ESC [ A (ECMA-48 control sequences).
#[test]
fn an_arrow_key_is_told_in_words() {
    let (_, said, _) = ask("AB\u{1b}[A\n");
    assert!(
        said.contains("  column 3: a key such as an arrow isn't an answer to question 3; write one of ABCDE, or - for a blank. Type this line again.\n"),
        "{said}"
    );
    assert!(
        !said.contains('\u{1b}') && !said.contains("u{1b}"),
        "{said}"
    );
}

#[test]
fn a_sheet_typed_twice_is_asked_about_where_the_keyings_differ() {
    let (ending, said, kept) = ask_with(&["--twice"], "ABC-\ny\nAB\nD-\nX\nAB\n\nd??\n");
    assert!(
        said.contains("Is this right? y goes on to the second keying, n starts again: ")
            && !said.contains("y saves"),
        "{said}"
    );
    assert!(
        said.contains("Now type the same sheet a second time"),
        "{said}"
    );
    assert!(
        said.contains("The two keyings differ on question 3.\n"),
        "{said}"
    );
    assert_eq!(
        said.matches("question 3, first C, then D. What is on the paper? ")
            .count(),
        4,
        "{said}"
    );
    assert!(said.contains("'X' isn't an answer to question 3"), "{said}");
    assert!(
        said.contains("there are 2 answers for one question"),
        "{said}"
    );
    assert!(
        said.contains("   1 A     2 B     3 D??   4 -\nSaved: "),
        "{said}"
    );
    // Three letters, a guess and the end.
    assert_eq!((ending, kept), (Ok(()), vec![5]));
    let (ending, said, kept) = ask_with(&["--twice"], "ABC-\ny\nABX\nAB\nagain\nABC-\n");
    assert!(
        said.contains("Both keyings are the same.\nSaved: "),
        "{said}"
    );
    assert_eq!((ending, kept), (Ok(()), vec![4]));
    let (ending, _, kept) = ask_with(&["--twice"], "ABC-\ny\nAB\n");
    assert_eq!(
        (ending.map_err(|failure| failure.code()), kept),
        (Err(1), vec![])
    );
}
