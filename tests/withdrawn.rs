//! A sitting that somebody withdrew counts in no figure, and every figure that leaves it out says so.
#![cfg(test)]

#[path = "common/old.rs"]
mod old;
#[path = "common/written.rs"]
mod written;

use std::fs;

use old::OldFiles;
use pacebell::storage::journal;
use serde_json::Value;

const COMMANDS: [&str; 6] = [
    "forecast marten --paper saltmarsh-b --json",
    "plan marten --paper saltmarsh-b --json",
    "group --paper @a.paper --key @a.key --json sessions",
    "boundary --key @a.key --top 2/5 --ratio 5:3:2 --json sessions",
    "mark marten --json",
    "aim saltmarsh-b --mark 60 --pupil marten --json",
];

/// The files, with a second sheet beside marten's sitting of paper A: the same answers under another id.
fn with_a_second_sheet(replaces: bool) -> (OldFiles, String) {
    let files = OldFiles::copied();
    let first = files.sitting("marten", "a");
    let record = journal::read(&files.path().join(&first)).unwrap();
    let mut header = record.header.clone();
    header.sitting = "20260923-101500-00000000000000ff".into();
    header.format = 2;
    header.replaces = replaces.then(|| record.header.sitting.clone());
    let text = written::file(&header, &record.events);
    let second = files
        .path()
        .join(&first)
        .with_file_name("2026-09-23-1004-second.session.ron");
    fs::write(second, text).unwrap();
    (files, first)
}

fn json(files: &OldFiles, words: &str) -> Value {
    let answer = files.run(words);
    assert_eq!(answer.code, Some(0), "{words}: {}", answer.err);
    serde_json::from_str(&answer.out).unwrap()
}

#[test]
fn a_replaced_sitting_counts_in_no_figure() {
    let (both, first) = with_a_second_sheet(true);
    let (alone, _) = with_a_second_sheet(false);
    fs::remove_file(alone.path().join(&first)).unwrap();
    for words in COMMANDS {
        assert_eq!(json(&both, words), json(&alone, words), "{words}");
    }
    let expected = json(&alone, "progress marten --json");
    let mut found = json(&both, "progress marten --json");
    let apart = |line: &Value| line["apart"] == "replaced";
    let sittings = found["sittings"].as_array_mut().unwrap();
    assert_eq!(sittings.iter().filter(|line| apart(line)).count(), 1);
    sittings.retain(|line| !apart(line));
    assert_eq!(found, expected);
    let page = both.run("progress marten").out.replace('\n', " ");
    assert!(page.contains("replaced by a later answer sheet"), "{page}");
}

/// Without the word in its header the second sheet is one more sitting: the figures above could tell.
#[test]
fn a_second_sheet_that_replaces_nothing_counts_beside_the_first() {
    let (both, first) = with_a_second_sheet(false);
    let (alone, _) = with_a_second_sheet(false);
    fs::remove_file(alone.path().join(&first)).unwrap();
    for words in [
        COMMANDS[0],
        COMMANDS[1],
        COMMANDS[4],
        "progress marten --json",
    ] {
        assert_ne!(json(&both, words), json(&alone, words), "{words}");
    }
}

#[test]
fn every_figure_says_what_it_leaves_out() {
    let (files, first) = with_a_second_sheet(true);
    for words in [
        "forecast marten --paper saltmarsh-b",
        "plan marten --paper saltmarsh-b",
        "progress marten",
        "group --paper @a.paper --key @a.key sessions",
        "boundary --key @a.key --top 2/5 --ratio 5:3:2 sessions",
        "mark marten",
        "mark sessions --json",
        "aim saltmarsh-b --mark 60 --pupil marten",
        "feedback sessions --group pages",
    ] {
        let answer = files.run(words);
        assert_eq!(answer.code, Some(0), "{words}: {}", answer.err);
        let said = format!("{}{}", answer.out, answer.err);
        let said: String = said.split_whitespace().collect();
        assert!(
            said.contains("replacedbyalateranswersheet"),
            "{words}: {said}"
        );
    }
    // Named itself it is shown, with the same word; its own folder tells.
    for words in [format!("mark {first}"), format!("feedback {first}")] {
        let answer = files.run(&words);
        assert_eq!(answer.code, Some(0), "{words}: {}", answer.err);
        let said = format!("{}{}", answer.out, answer.err);
        assert!(said.contains("doesn't count anywhere"), "{words}: {said}");
    }
}
