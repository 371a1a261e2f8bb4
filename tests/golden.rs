//! What every command says about the old files, to the letter: JSON, pages, tables, feedback.
//!
//! Each case has its files in `tests/golden`, named after it; `PACEBELL_BLESS=1 cargo test --test golden`
//! writes them anew, and each changed one is then a decision. Linux only: figures are at full precision, and
//! their last digits come from the system's own logarithm and exponential.
#![cfg(test)]
#![cfg(target_os = "linux")]

#[path = "golden/cases.rs"]
mod cases;
#[path = "golden/compare.rs"]
mod compare;
#[path = "golden/long_ago.rs"]
mod long_ago;
#[path = "common/old.rs"]
mod old;

use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;

use cases::{CASES, Case, feedback};
use compare::Golden;
use long_ago::check_rule_long_ago;
use old::OldFiles;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/golden")
}

/// The old files and what a group's tutor would give beside them.
fn room() -> OldFiles {
    let files = OldFiles::copied();
    check_rule_long_ago(files.path());
    for given in ["answers.csv", "marks.csv"] {
        fs::copy(folder().join("given").join(given), files.path().join(given)).unwrap();
    }
    let spoilt = files.path().join("spoilt/teasel");
    fs::create_dir_all(&spoilt).unwrap();
    let damaged = "damaged.session.ron";
    fs::copy(folder().join("given").join(damaged), spoilt.join(damaged)).unwrap();
    files
}

/// A page without the style sheet that all share; one page keeps it.
fn plain_of_style(name: &str, text: &str) -> String {
    let cut = text
        .split_once("<style>")
        .and_then(|(before, rest)| Some((before, rest.split_once("</style>")?.1)));
    match cut {
        Some((before, after)) if name != "paper-print.html" => {
            format!("{before}<style></style>{after}")
        }
        _ => text.to_owned(),
    }
}

/// Runs each case in a folder of its own and holds what it said and wrote against its files.
fn check(cases: &[Case]) {
    let mut golden = Golden::new(folder());
    assert!(!cases.is_empty());
    for case in cases {
        let files = room();
        let answer = files.run(&case.words);
        assert_eq!(
            answer.code,
            Some(case.exit),
            "pacebell {}\n{}",
            case.words,
            answer.err
        );
        let mut hold = |ending: &str, text: &str| {
            let name = format!("{}.{ending}", case.name);
            golden.hold(&name, &case.words, &plain_of_style(&name, text));
        };
        hold(case.ending(), &answer.out);
        hold("stderr.txt", &answer.err);
        if let Some(written) = &case.writes {
            let text = fs::read_to_string(files.path().join(written)).unwrap();
            hold(case.written_ending(), &text);
        }
    }
    golden.done();
}

fn check_command(command: &str) {
    let cases: Vec<_> = CASES
        .iter()
        .map(Case::of)
        .filter(|case| case.command() == command)
        .collect();
    check(&cases);
}

#[test]
fn mark_says_what_it_said() {
    check_command("mark");
}

#[test]
fn progress_says_what_it_said() {
    check_command("progress");
}

#[test]
fn group_says_what_it_said() {
    check_command("group");
}

#[test]
fn aim_says_what_it_said() {
    check_command("aim");
}

#[test]
fn luck_says_what_it_said() {
    check_command("luck");
}

#[test]
fn boundary_says_what_it_said() {
    check_command("boundary");
}

#[test]
fn plan_says_what_it_said() {
    check_command("plan");
}

#[test]
fn forecast_says_what_it_said() {
    check_command("forecast");
}

#[test]
fn hindsight_says_what_it_said() {
    check_command("hindsight");
}

#[test]
fn feedback_says_what_it_said() {
    check(&feedback());
}

#[test]
fn what_keeps_a_tutors_files_says_what_it_said() {
    for command in [
        "evidence",
        "set-aside",
        "doctor",
        "repair",
        "rename",
        "gather",
        "export",
    ] {
        check_command(command);
    }
}

#[test]
fn paper_says_what_it_said() {
    check_command("paper");
}

/// A case that no test runs would hold nothing.
#[test]
fn every_case_is_of_a_command_that_is_checked() {
    let checked = [
        "mark",
        "progress",
        "group",
        "aim",
        "luck",
        "boundary",
        "plan",
        "forecast",
        "hindsight",
        "feedback",
        "paper",
        "evidence",
        "set-aside",
        "doctor",
        "repair",
        "rename",
        "gather",
        "export",
    ];
    let mut names = BTreeSet::new();
    for case in CASES.iter().map(Case::of).chain(feedback()) {
        assert!(checked.contains(&case.command()), "{}", case.words);
        assert!(names.insert(case.name.clone()), "{} twice", case.name);
    }
}

/// A file of no case would be kept for nothing.
#[test]
fn every_file_is_of_a_case() {
    let names: BTreeSet<_> = CASES
        .iter()
        .map(Case::of)
        .chain(feedback())
        .map(|case| case.name)
        .collect();
    for entry in fs::read_dir(folder()).unwrap() {
        let file = entry.unwrap().file_name().into_string().unwrap();
        let (name, ending) = file.split_once('.').unwrap_or((&file, "folder"));
        assert!(
            names.contains(name) || ["rs", "folder"].contains(&ending),
            "tests/golden/{file} belongs to no case: delete it"
        );
    }
}
