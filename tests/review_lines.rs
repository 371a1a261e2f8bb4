//! The review line by line: sittings by number, and what a tutor would hear of one.

#![cfg(test)]

#[path = "common/typed.rs"]
mod typed;

use std::path::Path;
use std::process::Command;
use typed::typed;

fn heard(words: &[&str], lines: &[&str]) -> String {
    let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
    let program = program.current_dir(env!("CARGO_MANIFEST_DIR")).args(words);
    let done = typed(program, &(lines.join("\n") + "\n"));
    assert!(done.status.success(), "{done:?}");
    String::from_utf8(done.stdout).unwrap()
}

#[test]
fn a_sitting_is_chosen_by_number_and_its_pages_are_heard() {
    let said = heard(
        &["review", "--plain", "sessions"],
        &["1", "2", "1", "4", "3", "back", "leave"],
    );
    assert!(
        said.starts_with("Which sitting?\n1 lapwing, 5 Nov 2026, "),
        "{said}"
    );
    assert_eq!(
        said.matches("1 lapwing, 5 Nov 2026").count(),
        1,
        "the list is said once: {said}"
    );
    // The mark that the sitting's own file and key give, as `mark` tells it.
    let marked = Command::new(env!("CARGO_BIN_EXE_pacebell"))
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")))
        .args(["mark", "lapwing", "--json"])
        .output()
        .unwrap();
    let marked: serde_json::Value = serde_json::from_slice(&marked.stdout).unwrap();
    let own = marked
        .as_array()
        .unwrap()
        .iter()
        .find(|own| own["paper"] == "saltmarsh-b")
        .unwrap();
    let (mark, max) = (
        own["mark"]["in_time"].as_str().unwrap(),
        own["mark"]["max"].as_str().unwrap(),
    );
    assert!(
        said.contains(&format!("{mark} of {max}")),
        "{mark} of {max}\n{said}"
    );
    assert!(said.contains("Question 3"), "{said}");
    let drawn = |c: char| ('\u{2500}'..='\u{259f}').contains(&c);
    assert!(!said.contains(drawn), "nothing drawn is said: {said}");
}

#[test]
fn every_part_of_every_sitting_is_heard() {
    for sitting in 1..=9 {
        let sitting = sitting.to_string();
        let said = heard(
            &["review", "--plain", "sessions"],
            &[&sitting, "1", "2", "3", "4", "25", "back", "leave"],
        );
        assert!(said.lines().count() > 40, "{said}");
    }
}

#[test]
fn figures_are_heard_in_words_and_a_question_that_is_not_there_is_asked_for_again() {
    let paper = std::fs::read_to_string(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-papers/saltmarsh-b.paper.ron"),
    )
    .unwrap();
    // The first question with a figure, counted as the file lists them.
    let (before, from) = paper.split_once("figure_words: \"").unwrap();
    let question = before.matches("stem:").count().to_string();
    let words = from.split_once('"').unwrap().0;
    let said = heard(
        &["review", "--plain", "sessions"],
        &["1", "4", "99", "list", &question, "back", "leave"],
    );
    let whole = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        whole(&said).contains(&whole(&format!("Figure: {words}"))),
        "{words}\n{said}"
    );
    for typed in ["99", "list"] {
        let no = format!("There's no question {typed} in this sitting.");
        assert_eq!(said.matches(&no).count(), 1, "{said}");
    }
    assert!(!said.contains("Question 1\n"), "{said}");
}
