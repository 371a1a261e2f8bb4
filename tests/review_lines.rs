//! The review line by line: sittings by number, and what a tutor would hear of one.

#![cfg(test)]
#![expect(
    clippy::string_slice,
    reason = "a test cuts its own text at places that it found"
)]

#[path = "common/typed.rs"]
mod typed;

use std::path::Path;
use std::process::Command;
use typed::typed;

fn heard(words: &[&str], lines: &[&str]) -> String {
    let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
    let program = program.current_dir(env!("CARGO_MANIFEST_DIR")).args(words);
    program.env("XDG_CACHE_HOME", env!("CARGO_TARGET_TMPDIR"));
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

/// What the parts of a sitting say: no table, no sign, no column, nothing twice, one thing a line.
#[test]
fn every_part_of_every_sitting_is_heard_in_sentences() {
    for sitting in 1..=9 {
        let sitting = sitting.to_string();
        let mut parts = Vec::new();
        for part in [&["1"][..], &["2"], &["3"], &["4", "25"]] {
            let mut lines = vec![sitting.as_str()];
            lines.extend(part);
            lines.push("leave");
            let said = heard(&["review", "--plain", "sessions"], &lines);
            let (_, said) = said.split_once("that are due\n").unwrap();
            let said = said.split_once('\n').unwrap().1;
            let end = said.rfind("What would you like to hear?").unwrap();
            let said = said[..end].to_owned();
            parts.push(said.replace(
                "Which question?\nType it, then Enter. Enter alone goes back.\n",
                "",
            ));
        }
        for said in &parts {
            for line in said.lines() {
                assert!(line.ends_with(['.', ':', '?', '!', ')']), "{line}");
                assert!(
                    !line.contains("  ") && !line.contains(['<', '>', '[', '|', '│']),
                    "{line}"
                );
                assert!(line.split_whitespace().count() > 1, "{line}");
            }
        }
        // A question's own words may have signs of its own.
        for line in parts[..3].iter().flat_map(|said| said.lines()) {
            let alone = |sign: &str| line.split_whitespace().any(|word| word == sign);
            for sign in ["+", "x", "-", "~", "o", "F", "Q"] {
                assert!(!alone(sign), "{line}");
            }
        }
        let mut all: Vec<&str> = parts[..3].iter().flat_map(|said| said.lines()).collect();
        let many = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), many, "said twice: {parts:?}");
        for question in 1..=25 {
            let head = format!("Question {question},");
            let own = parts[2].lines().filter(|line| line.starts_with(&head));
            assert_eq!(own.count(), 1, "{head} {}", parts[2]);
        }
    }
}

/// Right, wrong and blank by number are those of `mark --json`.
#[test]
fn which_were_right_is_heard_as_mark_tells_it() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let marked = Command::new(env!("CARGO_BIN_EXE_pacebell"))
        .current_dir(root)
        .args(["mark", "lapwing", "--json"])
        .output()
        .unwrap();
    let marked: serde_json::Value = serde_json::from_slice(&marked.stdout).unwrap();
    let all = marked.as_array().unwrap();
    let own = all
        .iter()
        .find(|own| own["paper"] == "saltmarsh-b")
        .unwrap();
    let said = heard(&["review", "--plain", "sessions"], &["1", "2", "leave"]);
    let questions = own["questions"].as_array().unwrap();
    for word in ["right", "wrong"] {
        let with = questions.iter().filter(|one| one["outcome"] == word);
        let expected: Vec<u64> = with.map(|one| one["number"].as_u64().unwrap()).collect();
        let head = format!("{}{}: ", word[..1].to_uppercase(), &word[1..]);
        let line = said.lines().find(|line| line.starts_with(&head)).unwrap();
        let mut told = Vec::new();
        for part in line[head.len()..]
            .trim_end_matches('.')
            .replace(" and ", ", ")
            .split(", ")
        {
            let (from, to) = part.split_once(" to ").unwrap_or((part, part));
            told.extend(from.parse::<u64>().unwrap()..=to.parse().unwrap());
        }
        assert_eq!(told, expected, "{line}");
    }
}

#[test]
fn a_sitting_that_still_goes_on_or_is_set_aside_says_so_and_shows_no_mark() {
    let dir = tempfile::tempdir().unwrap();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let sessions = dir.path().to_str().unwrap();
    let program = |words: &[&str], lines: &str| {
        let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
        program.env("XDG_CACHE_HOME", env!("CARGO_TARGET_TMPDIR"));
        let done = typed(program.current_dir(root).args(words), lines);
        assert!(done.status.success(), "{done:?}");
        String::from_utf8(done.stdout).unwrap()
    };
    let sit = [
        "sit",
        "saltmarsh-first",
        "--plain",
        "--sessions",
        sessions,
        "--pupil",
    ];
    program(&[&sit[..], &["otter"]].concat(), "start\nb\n");
    program(&[&sit[..], &["wren"]].concat(), "start\nb\nfinish\ny\n");
    let review = ["review", "--plain", sessions];
    let listed = program(&review, "leave\n");
    let row = |pupil: &str, said: &str| {
        let line = said.lines().find(|line| line.contains(pupil)).unwrap();
        line.to_owned()
    };
    assert!(
        row("otter", &listed).ends_with("12 blanks, still open")
            || row("otter", &listed).ends_with("11 blanks, still open"),
        "{listed}"
    );
    assert!(
        row("wren", &listed).contains(" of 40 in time, 11 blanks, "),
        "{listed}"
    );
    for part in ["1", "2", "3", "4\n1"] {
        let open = program(&review, &format!("otter\n{part}\nleave\n"));
        let said = open.split_once("4 One question\n").unwrap().1;
        for marked in [" of 40", "right.", "wrong", "dunlin", "It brought"] {
            assert!(!said.contains(marked), "{marked}: {said}");
        }
        assert!(
            part == "3" || said.contains("This sitting isn't finished"),
            "{said}"
        );
    }
    let file = |pupil: &str| {
        let mut all = std::fs::read_dir(dir.path().join(pupil)).unwrap();
        let mut files = all.by_ref().map(|entry| entry.unwrap().path());
        files
            .find(|path| path.to_string_lossy().ends_with(".session.ron"))
            .unwrap()
    };
    let wren = file("wren");
    program(
        &[
            "set-aside",
            wren.to_str().unwrap(),
            "--because",
            "false start",
        ],
        "",
    );
    let listed = program(&review, "leave\n");
    let wren = row("wren", &listed);
    assert!(
        wren.contains("set aside: not counted") && !wren.contains("of 40"),
        "{wren}"
    );
    // The tutor's own list of sittings says the same.
    let tutor = ["tutor", "--plain", "--sessions", sessions];
    let said = program(&tutor, "Leave a sitting out\nwren\nleave\n");
    assert!(said.contains("11 blanks, set aside: not counted"), "{said}");
}

#[test]
fn an_empty_folder_says_so() {
    let dir = tempfile::tempdir().unwrap();
    let said = heard(&["review", "--plain", dir.path().to_str().unwrap()], &["1"]);
    assert!(said.starts_with("No sittings here yet."), "{said}");
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

/// The last row of the list is the group's term: one thing a line, no table, no sign, and every pupil in it.
#[test]
fn the_groups_term_is_heard_in_sentences() {
    let said = heard(&["review", "--plain", "sessions"], &["10", "leave"]);
    assert!(said.contains("10 The group's term, and who needs a word"));
    let (_, term) = said.split_once("The group's term: 3 pupils").unwrap();
    let end = term.rfind("Which sitting?").unwrap();
    let term = &term[..end];
    for line in term.lines().skip(1) {
        assert!(line.ends_with(['.', ':', ')']), "{line}");
        assert!(
            !line.contains("  ") && !line.contains(['<', '[', '|']),
            "{line}"
        );
        for sign in ["+", "x", "-", "~", "o", "F", "Q"] {
            assert!(!line.split_whitespace().any(|word| word == sign), "{line}");
        }
    }
    let pupils = term
        .lines()
        .filter(|line| ["lapwing:", "marten:", "teasel:"].contains(line));
    assert!(pupils.count() >= 3, "{term}");
    assert!(term.contains("\nQuestion 25: "), "{term}");
}
