//! Slips of the hand that make a text unreadable, told where they are and not where reading stops.

use std::path::Path;

use pacebell::storage::files::paper;

use crate::changed;
use crate::good::PAPER;

fn said(text: &str) -> String {
    let read = paper::from_bytes(Path::new("f.ron"), text.as_bytes(), None);
    read.unwrap_err().to_string()
}

/// `«` marks where the slip is.
fn told(from: &str, to: &str, sentence: &str) {
    let (text, line) = changed(PAPER, from, to, &[sentence]);
    assert_eq!(
        said(&text),
        line + ". Correct this first; then the rest can be checked",
        "{to}"
    );
}

const OPEN: &str = "the text that begins here has no closing quotation mark; add one";
const CURLY: &str = "this quotation mark is curly; use straight ones, \", and switch off smart quotes in the editor";

#[test]
fn a_quotation_mark_that_is_not_closed_is_told_on_its_own_line() {
    told("\"dune-a\",", "«\"dune-a,", &format!("id: {OPEN}"));
    told("\"ABCD\",", "«\"ABCD,", &format!("options: {OPEN}"));
    told(
        "stem: \"2 + 2 = ?\",",
        "stem: «\"2 + 2 = ?,",
        &format!("question 1, stem: {OPEN}"),
    );
    told(
        "\"yes\", \"no\"",
        "«\"yes, \"no\"",
        &format!("question 3, option 1: {OPEN}"),
    );
    // The reader alone would stop at the next text, on a later line.
    let (text, _) = changed(PAPER, "\"dune-a\",", "\"dune-a,", &[]);
    let line = text
        .lines()
        .position(|line| line.contains("dune-a,"))
        .unwrap()
        + 1;
    assert!(said(&text).starts_with(&format!("f.ron:{line}:")));
}

#[test]
fn a_text_of_several_lines_is_no_slip() {
    let fine = PAPER.replace("2 + 2 = ?", "2 + 2\n= ?");
    assert!(paper::from_bytes(Path::new("f.ron"), fine.as_bytes(), None).is_ok());
    let (text, line) = changed(
        &fine,
        "minutes:",
        "«minute:",
        &[
            "minute: there's no field `minute` here; the fields are format, id, title, minutes, options, conditions, rule_checked, rule, awards, past, shares, source, right_to_use, questions",
        ],
    );
    assert_eq!(
        said(&text),
        line + ". Correct this first; then the rest can be checked"
    );
}

#[test]
fn curly_quotation_marks_are_told_as_such() {
    told(
        "\"dune-a\",",
        "«\u{201c}dune-a\u{201d},",
        &format!("id: {CURLY}"),
    );
    told(
        "\"dune-a\",",
        "«\u{201e}dune-a\u{201c},",
        &format!("id: {CURLY}"),
    );
    told("\"dune-a\",", "\"dune-a«\u{201d},", &format!("id: {CURLY}"));
    let fine = PAPER.replace("2 + 2 = ?", "\u{201c}2 + 2\u{201d} = ?");
    assert!(paper::from_bytes(Path::new("f.ron"), fine.as_bytes(), None).is_ok());
}

#[test]
fn a_comma_left_out_is_told_with_the_line_where_it_belongs() {
    let line = |part: &str| PAPER.lines().position(|line| line.contains(part)).unwrap() + 1;
    let at = line("id: \"dune-a\",");
    told(
        "id: \"dune-a\",\n    title",
        "id: \"dune-a\"\n\n    // A remark.\n    «title",
        &format!("title: a comma is missing before this; add one at the end of line {at}"),
    );
    told(
        "\"yes\", \"no\"",
        "\"yes\" «\"no\"",
        "question 3, option 2: a comma is missing before this; add one",
    );
    told(
        "2 + 2 = ?",
        "Is it \"«four\"?",
        "question 1, entry 3: a comma or a quotation mark is missing before this; add it (inside a text, write a quotation mark as \\\")",
    );
}
