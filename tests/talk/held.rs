//! What the sheet holds of a season's sittings, against `mark --json` of each: three findings at most, praise first and one
//! kept where some is earned, six lines of the log below each, and what a question cost.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::thread;

use pacebell::domain::rule::QuestionNo;
use pacebell::storage::journal;
use serde_json::Value;

/// What is to be tried otherwise, by its kind.
const NEXT: [&str; 11] = [
    "sink",
    "long_stay",
    "rushed",
    "left_easy",
    "changed_to_wrong",
    "blanks",
    "to_and_fro",
    "slow_start",
    "ended_early",
    "unused_time",
    "checkpoint_late",
];

fn said(folder: &Path, words: &[&str]) -> String {
    let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
    let done = program.current_dir(folder).args(words).output().unwrap();
    assert!(done.status.success(), "{words:?}: {done:?}");
    String::from_utf8(done.stdout).unwrap()
}

fn json(folder: &Path, words: &[&str]) -> Value {
    serde_json::from_str(&said(folder, words)).unwrap()
}

/// Every finished sitting of a demo season.
fn sittings(folder: &Path) -> Vec<PathBuf> {
    said(folder, &["demo", ".", "--pupils", "9"]);
    let pupils = std::fs::read_dir(folder.join("sessions")).unwrap();
    let pupils = pupils.map(|entry| entry.unwrap().path());
    let files = pupils.filter(|path| path.is_dir()).flat_map(|path| {
        let files = std::fs::read_dir(path).unwrap();
        files.map(|entry| entry.unwrap().path())
    });
    let is_session = |path: &PathBuf| path.to_string_lossy().ends_with(".session.ron");
    let mut files: Vec<_> = files.filter(is_session).collect();
    files.sort();
    let ended = |path: &PathBuf| {
        let text = std::fs::read_to_string(path).unwrap();
        text.contains("event:Closed(") && !text.contains("Closed(abandoned)")
    };
    files.retain(ended);
    files
}

/// The kinds and texts of the findings of `mark` or `talk`.
fn findings(of: &Value) -> Vec<(String, String)> {
    let all = of["findings"].as_array().unwrap().iter();
    let text = |own: &Value, name: &str| own[name].as_str().unwrap().to_owned();
    all.map(|own| (text(own, "kind"), text(own, "text")))
        .collect()
}

/// Blanks that an early end speaks of already, and an early end that unused time does, are not said again.
fn without_what_is_said(mut all: Vec<(String, String)>) -> Vec<(String, String)> {
    let kinds: BTreeSet<String> = all.iter().map(|(kind, _)| kind.clone()).collect();
    let again = |kind: &str| match kind {
        "blanks" => kinds.contains("ended_early"),
        "ended_early" => kinds.contains("unused_time"),
        _ => false,
    };
    all.retain(|(kind, _)| !again(kind));
    all
}

#[test]
fn three_findings_and_praise_first_with_six_lines_each() {
    let dir = tempfile::tempdir().unwrap();
    let all = sittings(dir.path());
    let (first, second) = all.split_at(all.len() / 2);
    let seen = |files: &[PathBuf]| seen_on_sheets(dir.path(), files);
    let (first, second) = thread::scope(|scope| {
        let first = scope.spawn(|| seen(first));
        let second = seen(second);
        (first.join().unwrap(), second)
    });
    let seen = first.iter().zip(second).map(|(one, other)| one + other);
    let seen: Vec<usize> = seen.collect();
    assert!(seen.iter().all(|count| *count > 0), "{seen:?}");
}

/// Looks at the sheets for a talk about these sittings; counts those with more findings than are talked about, with
/// praise that had to be kept, with something said twice, and findings with more lines than are shown.
fn seen_on_sheets(dir: &Path, files: &[PathBuf]) -> [usize; 4] {
    let (mut full, mut kept, mut dropped, mut many) = (0, 0, 0, 0);
    for file in files {
        let file = file.display().to_string();
        let all = findings(&json(dir, &["mark", &file, "--json"]));
        let new = without_what_is_said(all.clone());
        let sheet = json(dir, &["talk", &file, "--json"]);
        let own = findings(&sheet);
        assert_eq!(own.len(), new.len().min(3), "{file}");
        assert!(own.iter().all(|one| new.contains(one)), "{file}: {own:?}");
        full += usize::from(new.len() > 3);
        dropped += usize::from(new.len() < all.len());
        let text = said(dir, &["talk", &file]);
        // The first words of each finding, and the lines below it.
        let mut tones: Vec<&str> = vec![];
        let mut below: Vec<Vec<&str>> = vec![];
        for line in text.lines() {
            let number = format!("{}. ", tones.len() + 1);
            if let Some(words) = line.strip_prefix(number.as_str()) {
                tones.push(words.split(": ").next().unwrap());
                below.push(vec![]);
            } else if let Some(words) = line.strip_prefix("   - ") {
                below.last_mut().unwrap().push(words);
            }
        }
        assert_eq!(tones.len(), own.len(), "{text}");
        assert!(
            tones.is_sorted_by_key(|tone| *tone != "Went well"),
            "{tones:?}"
        );
        let praise = tones.iter().filter(|tone| **tone == "Went well").count();
        let next = new.iter().filter(|(kind, _)| NEXT.contains(&kind.as_str()));
        let next = next.count();
        if new.iter().any(|(kind, _)| kind == "second_pass") {
            assert!(praise >= 1, "{file}");
            kept += usize::from(next >= 3);
        }
        // Praise takes no more room than one, where there is as much to try.
        assert!(praise <= 1.max(3_usize.saturating_sub(next)), "{file}");
        for (finding, lines) in sheet["findings"].as_array().unwrap().iter().zip(&below) {
            let log = finding["log"].as_array().unwrap().len();
            if log == 0 {
                assert_eq!(lines.len(), 1, "{text}");
                continue;
            }
            let shown = lines.iter().filter(|own| own.starts_with("line ")).count();
            assert_eq!(shown, log.min(6), "{text}");
            let more = match log.saturating_sub(6) {
                0 => None,
                1 => Some("and 1 more line".to_owned()),
                more => Some(format!("and {more} more lines")),
            };
            many += usize::from(more.is_some());
            assert_eq!(
                lines.get(shown).map(|own| (*own).to_owned()),
                more,
                "{text}"
            );
        }
    }
    [full, kept, dropped, many]
}

/// Under a rule that takes marks away a wrong answer cost what right would have brought and what was taken.
#[test]
fn a_lost_mark_is_what_right_brings_over_what_the_answer_brought() {
    let dir = tempfile::tempdir().unwrap();
    let exact = |value: &Value| -> pacebell::domain::mark::Mark {
        value.as_str().unwrap().parse().unwrap()
    };
    let mut taken = 0;
    for file in sittings(dir.path()) {
        let name = file.display().to_string();
        if !name.contains("saltmarsh-old") {
            continue;
        }
        let record = journal::read(&file).unwrap();
        let sections = record.header.paper.rule.clone();
        let marked = json(dir.path(), &["mark", &name, "--json"]);
        let sheet = json(dir.path(), &["talk", &name, "--json"]);
        for lost in sheet["lost"].as_array().unwrap() {
            let number = lost["number"].as_u64().unwrap();
            let mut questions = marked["questions"].as_array().unwrap().iter();
            let own = questions.find(|own| own["number"] == number).unwrap();
            // What came after time brings nothing here.
            if own["after_time"] == true {
                continue;
            }
            let right = sections.section(QuestionNo(u16::try_from(number).unwrap()));
            let right = right.unwrap().right;
            assert_eq!(
                exact(&lost["marks"]),
                right - exact(&own["marks"]),
                "{name}"
            );
            taken += usize::from(exact(&lost["marks"]) > right);
        }
    }
    assert!(taken > 10, "{taken}");
}
