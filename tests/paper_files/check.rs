//! `paper check`: papers, keys and plans together.

use std::fs;
use std::path::Path;

use pacebell::commands::Failure;
use pacebell::storage::files::paper;

use crate::good::{KEY, PAPER};
use crate::run;

/// Checks files of one folder by their names; the folder's own path is taken out of what is said.
fn check(dir: &Path, names: &[&str]) -> (String, Result<(), Failure>) {
    let paths: Vec<String> = names
        .iter()
        .map(|name| dir.join(name).display().to_string())
        .collect();
    let words: Vec<&str> = ["check"]
        .into_iter()
        .chain(paths.iter().map(String::as_str))
        .collect();
    let (said, end) = run(&words);
    let prefix = dir.join("").display().to_string();
    (said.replace(&prefix, ""), end)
}

fn fingerprint() -> String {
    let paper = paper::from_bytes(Path::new("p"), PAPER.as_bytes(), None).unwrap();
    paper.value.outline.fingerprint.to_string()
}

fn folder(files: &[(&str, &str)]) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    for (name, text) in files {
        fs::write(dir.path().join(name), text).unwrap();
    }
    dir
}

#[test]
fn files_that_are_fine_get_a_line_each_and_their_notes() {
    let plan = "(format: 1, checkpoints: [(question: 2, minutes: 9)])";
    let dir = folder(&[
        ("dune.paper.ron", PAPER),
        ("dune.key.ron", KEY),
        ("otter.plan.ron", plan),
    ]);
    let print = fingerprint();
    let (said, end) = check(
        dir.path(),
        &["dune.key.ron", "dune.paper.ron", "otter.plan.ron"],
    );
    assert_eq!(
        said,
        format!(
            "dune.key.ron:1:1: note: fingerprint: the key doesn't say which version of the paper it's for; check its answers, then write fingerprint: \"{print}\" in it\n\
             dune.key.ron: fine: 3 answers (B 1, D 1, Y 1) for dune-a; notes on 2 questions\n\
             dune.paper.ron: fine: 3 questions, 15.5 marks, 22 min 30 s; fingerprint {print} (identifies this version of the questions)\n\
             otter.plan.ron: fine: 1 checkpoint\n"
        )
    );
    assert_eq!(end, Ok(()));
}

#[test]
fn a_question_that_is_not_in_sight_as_a_whole_is_noted_where_it_begins() {
    let tall = |rows: usize| {
        let more = "|  |\n".repeat(rows);
        PAPER.replacen("|  |\n", &more, 1)
    };
    let noted = |paper: &str| {
        let dir = folder(&[("dune.paper.ron", paper)]);
        let (said, end) = check(dir.path(), &["dune.paper.ron"]);
        assert_eq!(end, Ok(()));
        let lines = said.lines().map(str::to_owned);
        lines
            .filter(|line| line.contains("note:"))
            .collect::<Vec<_>>()
    };
    assert_eq!(noted(PAPER), [""; 0]);
    assert_eq!(noted(&tall(3)), [""; 0]);
    let row = PAPER
        .lines()
        .position(|line| line.contains("How many corners"));
    let line = format!(
        "dune.paper.ron:{}:9: note: question 2: it doesn't fit in a window of 80 columns by 24 rows, so pupils have to scroll; shorten the words or the figure",
        row.unwrap() + 1
    );
    assert_eq!(noted(&tall(24)), [line]);
}

#[test]
fn a_key_is_held_against_its_paper_given_with_it_or_standing_beside_it() {
    let wrong = KEY.replace("BD Y", "BE Y");
    let line = ":4:16: answers: question 2 has no option 'E'; its options are A to D\n";
    // Beside it under another name, found by its id.
    let dir = folder(&[("other.paper.ron", PAPER), ("dune.key.ron", &wrong)]);
    let (said, end) = check(dir.path(), &["dune.key.ron"]);
    assert!(said.contains(line), "{said}");
    assert!(said.ends_with("dune.key.ron: 1 problem found\n"), "{said}");
    assert_eq!(
        end,
        Err(Failure::CouldNot(
            "there's a problem in the file; see above".into()
        ))
    );
    // Given from another folder.
    fs::create_dir(dir.path().join("keys")).unwrap();
    fs::rename(
        dir.path().join("dune.key.ron"),
        dir.path().join("keys/dune.key.ron"),
    )
    .unwrap();
    let (said, end) = check(dir.path(), &["keys/dune.key.ron", "other.paper.ron"]);
    assert!(said.contains(line), "{said}");
    assert_eq!(
        end,
        Err(Failure::CouldNot(
            "there are problems in 1 of 2 files; see above".into()
        ))
    );
    // Nowhere: only what is wrong with the key itself is seen, and the line says so.
    let (said, end) = check(dir.path(), &["keys/dune.key.ron"]);
    assert_eq!(
        said,
        "keys/dune.key.ron: fine: 3 answers (B 1, E 1, Y 1) for dune-a, which was not found, so the key was not checked against it; name the paper as well, or put it beside the key; notes on 2 questions\n"
    );
    assert_eq!(end, Ok(()));
}

#[test]
fn a_key_of_another_paper_under_the_papers_name_is_told() {
    let dir = folder(&[
        ("dune.paper.ron", PAPER),
        ("dune.key.ron", &KEY.replace("dune-a", "dune-b")),
    ]);
    let (said, _) = check(dir.path(), &["dune.key.ron"]);
    assert_eq!(
        said,
        "dune.key.ron:3:12: paper: the key is for paper \"dune-b\", not for \"dune-a\"; give the key of \"dune-a\", or correct the id\n\
         dune.key.ron: 1 problem found\n"
    );
}

#[test]
fn everything_wrong_in_several_files_is_said_in_one_go() {
    let dir = folder(&[
        (
            "a.paper.ron",
            &PAPER
                .replace("\"45/2\"", "0")
                .replace("\"2026-09-03\"", "\"2026-10-02\""),
        ),
        ("notes.txt", "x"),
    ]);
    let (said, end) = check(dir.path(), &["a.paper.ron", "notes.txt", "gone.key.ron"]);
    let said: Vec<&str> = said.lines().collect();
    assert!(
        said[0].starts_with("a.paper.ron:7:14: minutes: "),
        "{said:?}"
    );
    assert!(
        said[1].starts_with("a.paper.ron:10:24: rule_checked, on: "),
        "{said:?}"
    );
    assert_eq!(
        said[2..],
        [
            "a.paper.ron: 2 problems found",
            "notes.txt: the file name doesn't say what it is; rename it NAME.paper.ron, NAME.key.ron or NAME.plan.ron",
            "notes.txt: 1 problem found",
            "gone.key.ron: there's no such file; check its name and folder",
            "gone.key.ron: 1 problem found",
        ]
    );
    assert_eq!(
        end,
        Err(Failure::CouldNot(
            "there are problems in 3 of 3 files; see above".into()
        ))
    );
}

#[test]
fn a_file_that_is_not_there_is_said_to_be_missing_whatever_its_name() {
    let dir = folder(&[("notes.txt", "a word of mine")]);
    let (said, result) = check(dir.path(), &["nix.ron"]);
    assert!(
        said.contains("nix.ron: there's no such file; check its name and folder"),
        "{said}"
    );
    assert!(result.is_err());
    let (said, result) = check(dir.path(), &["notes.txt"]);
    assert!(
        said.contains("the file name doesn't say what it is"),
        "{said}"
    );
    assert!(result.is_err());
}
