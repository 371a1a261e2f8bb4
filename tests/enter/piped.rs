//! The answers as a word or from a pipe.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use pacebell::domain::event::{Ending, Event};
use pacebell::domain::header::Mode;
use pacebell::domain::sitting::Phase;
use pacebell::domain::time::Elapsed;
use pacebell::storage::journal;
use serde_json::Value;
use tempfile::TempDir;

use crate::typed::typed;

const PAPER: &str = r#"(
    format: 1,
    id: "heron",
    title: "Heron paper",
    minutes: 10,
    options: "ABCDE",
    rule: (sections: [
        (name: "1-3", first: 1, last: 3, right: 4),
        (name: "4-6", first: 4, last: 6, right: 7),
    ]),
    questions: [(), (), (), (), (), ()],
)"#;

fn folder() -> TempDir {
    let dir = TempDir::new().unwrap();
    fs::write(dir.path().join("heron.paper.ron"), PAPER).unwrap();
    fs::write(
        dir.path().join("heron.key.ron"),
        r#"(format: 1, paper: "heron", answers: "ABCDEA")"#,
    )
    .unwrap();
    dir
}

fn pacebell(dir: &Path, words: &[&str], input: &str) -> Output {
    let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
    typed(program.current_dir(dir).args(words), input)
}

fn enter(dir: &Path, words: &[&str], input: &str) -> Output {
    let all = [
        "enter",
        "heron.paper.ron",
        "--pupil",
        "otter",
        "--sessions",
        "kept",
    ];
    pacebell(dir, &[&all[..], words].concat(), input)
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn saved(dir: &Path, output: &Output) -> PathBuf {
    assert_eq!(output.status.code(), Some(0), "{}", err(output));
    let path = String::from_utf8(output.stdout.clone()).unwrap();
    dir.join(path.trim_end())
}

/// A refusal: its code and words; nothing is kept.
fn refused(dir: &Path, output: &Output) -> (Option<i32>, String) {
    assert!(output.stdout.is_empty() && !dir.join("kept").exists());
    (output.status.code(), err(output))
}

#[test]
fn answers_given_as_a_word_are_saved_without_times_and_can_be_marked() {
    let dir = folder();
    let words = ["--answers", "ab?? -D-A", "--date", "2025-11-20"];
    let output = enter(dir.path(), &words, "");
    let path = saved(dir.path(), &output);
    let sheet = "   1 A     2 B??   3 -     4 D     5 -     6 A\n";
    // The path is what a program reads; it isn't said a second time.
    assert_eq!(err(&output), format!("{sheet}Saved 1 answer sheet.\n"));
    assert!(path.starts_with(dir.path().join("kept/otter")), "{path:?}");
    let record = journal::read(&path).unwrap();
    assert_eq!(record.header.mode, Mode::Entered);
    assert_eq!(record.header.started.date_naive().to_string(), "2025-11-20");
    assert_eq!(record.sitting().phase(), Phase::Closed(Ending::Entered));
    assert!(
        record
            .events
            .iter()
            .all(|stamped| stamped.at == Elapsed::ZERO)
    );
    let opened = |event: &Event| matches!(event, Event::Opened(_));
    assert!(!record.events.iter().any(|stamped| opened(&stamped.event)));

    let mark = [
        "mark",
        path.to_str().unwrap(),
        "--key",
        "heron.key.ron",
        "--json",
    ];
    let output = pacebell(dir.path(), &mark, "");
    let json: Value = serde_json::from_slice(&output.stdout).unwrap();
    // 4 + 4 + 7 + 7 = 22, of which 4 were guessed; three of them worked out.
    assert_eq!(json["mark"]["in_time"], "22");
    assert_eq!(json["mark"]["worked"], "18");
    assert_eq!(json["luck"]["guesses"], 1);
    assert!(
        json["questions"]
            .as_array()
            .unwrap()
            .iter()
            .all(|q| q["seconds"].is_null())
    );
}

#[test]
fn a_second_sheet_of_one_day_is_the_first_or_is_refused_or_replaces_it() {
    let dir = folder();
    let typed = |answers: &str, more: &[&str]| {
        let words = ["--answers", answers, "--date", "2025-11-20"];
        enter(dir.path(), &[&words[..], more].concat(), "")
    };
    let first = saved(dir.path(), &typed("------", &[]));
    assert_eq!(journal::read(&first).unwrap().sitting().blanks().count(), 6);
    // The same once more is the same sheet.
    let again = typed("------", &[]);
    assert!(
        err(&again).contains("Saved already, with the same answers"),
        "{}",
        err(&again)
    );
    assert_eq!(saved(dir.path(), &again), first);
    // Another one is refused, until it is said to replace it.
    let other = typed("A-----", &[]);
    assert_eq!(other.status.code(), Some(1));
    let said = err(&other);
    assert!(
        said.contains("otter already has an answer sheet of `heron` for 20 Nov 2025"),
        "{said}"
    );
    assert!(said.contains("add --again"), "{said}");
    let corrected = typed("A-----", &["--again"]);
    assert!(
        err(&corrected).contains("Saved 1 answer sheet. It replaces an earlier one.\n"),
        "{}",
        err(&corrected)
    );
    let second = saved(dir.path(), &corrected);
    let replaces = |path: &Path| journal::read(path).unwrap().header.replaces;
    let id = |path: &Path| journal::read(path).unwrap().header.sitting;
    assert_eq!(replaces(&second), Some(id(&first)));
    let third = saved(dir.path(), &typed("AB----", &["--again"]));
    assert_eq!(
        replaces(&third),
        Some(id(&second)),
        "the one that counts is replaced"
    );
    // Another day, or another pupil, has nothing to replace.
    let words = ["--answers", "A-----", "--date", "2025-11-21", "--again"];
    assert_eq!(
        replaces(&saved(dir.path(), &enter(dir.path(), &words, ""))),
        None
    );
}

#[test]
fn two_keyings_that_differ_are_told_by_number_and_nothing_is_kept() {
    let dir = folder();
    let words = [
        "--answers",
        "ABC?DEA",
        "--twice=ABCDE-",
        "--date",
        "2025-11-20",
    ];
    let (code, said) = refused(dir.path(), &enter(dir.path(), &words, ""));
    assert_eq!(code, Some(1));
    let differing =
        "pacebell: question 3: first C?, then C\npacebell: question 6: first A, then -\n";
    assert!(
        said.starts_with(differing) && said.lines().count() == 3,
        "{said}"
    );
    let (code, said) = refused(
        dir.path(),
        &enter(dir.path(), &["--twice"], "ABC\nDEA\nABCD\nEB\n"),
    );
    assert_eq!(code, Some(1));
    assert!(
        said.starts_with("pacebell: question 6: first A, then B\n"),
        "{said}"
    );
    // Half a second keying is no keying.
    assert_eq!(
        refused(dir.path(), &enter(dir.path(), &["--twice"], "ABCDEA\n")).0,
        Some(1)
    );
    saved(
        dir.path(),
        &enter(dir.path(), &["--twice"], "ABC\nDEA\n?\n\nABCD\nEA?\n"),
    );
}

#[test]
fn extra_time_is_what_was_said_or_what_the_register_has() {
    let dir = folder();
    fs::create_dir(dir.path().join("kept")).unwrap();
    let register = "(format: 1, pupils: [(alias: \"otter\", extra_time: 50)])";
    fs::write(dir.path().join("kept/register.ron"), register).unwrap();
    for (words, percent, minutes) in [
        (&["--extra-time", "25%"][..], "25", "12.5"),
        (&[], "50", "15"),
    ] {
        let all = [
            &["--answers", "ABCDEA", "--date", "2025-11-20", "--again"],
            words,
        ]
        .concat();
        let record = journal::read(&saved(dir.path(), &enter(dir.path(), &all, ""))).unwrap();
        assert_eq!(
            record.header.arrangements.extra_percent.to_string(),
            percent
        );
        // 10 minutes and a quarter, 10 minutes and a half.
        let seconds: f64 = minutes.parse::<f64>().unwrap() * 60.0;
        assert!((record.header.allowed.as_seconds() - seconds).abs() < 1e-9);
    }
}

#[test]
fn answers_may_be_piped_in_several_lines() {
    let dir = folder();
    let output = enter(dir.path(), &[], "AB\n? C\n\nDEA\n");
    let record = journal::read(&saved(dir.path(), &output)).unwrap();
    assert_eq!(record.events.len(), 8);
    assert!(
        err(&output)
            .starts_with("   1 A     2 B?    3 C     4 D     5 E     6 A\nSaved 1 answer sheet.\n")
    );
}

#[test]
fn what_does_not_fit_is_told_with_its_place_and_nothing_is_kept() {
    let dir = folder();
    let piped = |input| refused(dir.path(), &enter(dir.path(), &[], input));
    let (code, said) = piped("AB\nCDF A");
    assert_eq!(code, Some(1));
    assert!(
        said.starts_with("pacebell: line 2, column 3: 'F' isn't an answer to question 5"),
        "{said}"
    );
    let (code, said) = piped("ABC");
    assert_eq!(code, Some(1));
    assert!(
        said.starts_with("pacebell: there are 3 answers for 6 questions"),
        "{said}"
    );
    let (code, said) = piped("ABCDEAA");
    assert_eq!(code, Some(1));
    assert!(
        said.starts_with("pacebell: line 1, column 7: one answer too many (7 for 6 questions)"),
        "{said}"
    );
    let typed = |words: &[&str]| refused(dir.path(), &enter(dir.path(), words, ""));
    let (code, said) = typed(&["--answers", "ABCDEF"]);
    assert_eq!(code, Some(2));
    assert!(
        said.starts_with("pacebell: --answers: column 6: 'F' isn't an answer"),
        "{said}"
    );
    let (code, said) = typed(&["--answers", "ABCDEA", "--date", "2999-01-01"]);
    assert_eq!(code, Some(2));
    assert!(said.contains("is after today"), "{said}");
    let (code, said) = typed(&["--answers", "ABCDEA", "--date", "25.11.2026"]);
    assert_eq!(code, Some(2));
    assert!(
        said.contains("that isn't a date; write year-month-day, such as 2026-11-25"),
        "{said}"
    );
}

#[test]
fn a_pupil_needs_an_alias() {
    let dir = folder();
    let words = [
        "enter",
        "heron.paper.ron",
        "--pupil",
        "../otter",
        "--answers",
        "ABCDEA",
    ];
    let output = pacebell(dir.path(), &words, "");
    assert_eq!(output.status.code(), Some(2));
    assert!(
        err(&output).contains("can't be used as an alias"),
        "{}",
        err(&output)
    );
}
