//! Whatever an editor, a mail program or a checkout has made of line ends, a file says the same.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

use pacebell::analysis::Marks;
use pacebell::storage::files::{key, notes, paper, plan, thresholds};
use pacebell::storage::journal;

/// The files of the repository below `folder` whose names end so, at any depth.
fn files(folder: &str, ending: &str) -> Vec<PathBuf> {
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)];
    let mut found = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.to_string_lossy().ends_with(ending) {
                found.push(path);
            }
        }
    }
    found.sort();
    assert!(!found.is_empty(), "no {ending}");
    found
}

/// The text with CRLF, and with a byte order mark before it.
fn turned(text: &str) -> [String; 3] {
    let crlf = text.replace('\n', "\r\n");
    assert_ne!(crlf, text);
    [format!("\u{feff}{text}"), format!("\u{feff}{crlf}"), crlf]
}

#[test]
fn sample_papers_and_keys_say_the_same_with_other_line_ends() {
    for path in files("sample-papers", ".paper.ron") {
        let text = fs::read_to_string(&path).unwrap();
        let plain = paper::from_bytes(&path, text.as_bytes(), None).unwrap();
        for other in turned(&text) {
            let read = paper::from_bytes(&path, other.as_bytes(), None).unwrap();
            assert_eq!(read, plain, "{}", path.display());
        }
    }
    for path in files("sample-papers", ".key.ron") {
        let text = fs::read_to_string(&path).unwrap();
        let plain = key::from_bytes(&path, text.as_bytes(), None).unwrap();
        for other in turned(&text) {
            let read = key::from_bytes(&path, other.as_bytes(), None).unwrap();
            assert_eq!(read, plain, "{}", path.display());
        }
    }
}

#[test]
fn sessions_say_the_same_and_bring_the_same_marks_with_other_line_ends() {
    let dir = tempfile::tempdir().unwrap();
    let keys: Vec<_> = files("sample-papers", ".key.ron")
        .iter()
        .map(|path| key::load(path).unwrap())
        .collect();
    for path in files("sessions", ".session.ron") {
        let plain = journal::read(&path).unwrap();
        let outline = &plain.header.paper;
        let own = keys.iter().find(|key| key.fits(outline).is_ok()).unwrap();
        let marked = Marks::of(&plain.sitting(), own, outline).unwrap();
        for other in turned(&fs::read_to_string(&path).unwrap()) {
            let place = dir.path().join("a.session.ron");
            fs::write(&place, other).unwrap();
            let read = journal::read(&place).unwrap();
            assert_eq!((&read.header, &read.events), (&plain.header, &plain.events));
            assert_eq!((read.sealed, read.torn), (plain.sealed, None));
            assert_eq!(Marks::of(&read.sitting(), own, outline).unwrap(), marked);
        }
    }
}

#[test]
fn plans_notes_and_thresholds_say_the_same_with_other_line_ends() {
    let place = Path::new("f.ron");
    let text = "// A plan\n(\n    format: 2,\n    checkpoints: [\n        (question: 10, minutes: 18),\n    ],\n    leave: \"21-25\",\n    stay_minutes: 4.5,\n)\n";
    let plain = plan::from_bytes(place, text.as_bytes()).unwrap();
    for other in turned(text) {
        assert_eq!(plan::from_bytes(place, other.as_bytes()).unwrap(), plain);
    }
    // A note may run over several lines.
    let text = "(\n    format: 1,\n    sitting: \"s\",\n    questions: {\n        8: (text: \"stayed\ntoo long\", by: \"P.B.\", at: \"2026-11-25T16:05:00+00:00\"),\n    },\n)\n";
    let plain = notes::from_bytes(place, text.as_bytes()).unwrap();
    for other in turned(text) {
        assert_eq!(notes::from_bytes(place, other.as_bytes()).unwrap(), plain);
    }
    let text = "(\n    format: 1,\n    thresholds: {\n    },\n)\n";
    let plain = thresholds::from_bytes(place, text.as_bytes()).unwrap();
    for other in turned(text) {
        assert_eq!(
            thresholds::from_bytes(place, other.as_bytes()).unwrap(),
            plain
        );
    }
}

fn git(folder: &Path, words: &[&str]) -> String {
    let run = Command::new("git")
        .current_dir(folder)
        .env("GIT_CONFIG_GLOBAL", "none")
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .args(["-c", "user.name=x", "-c", "user.email=x@example.org"])
        .args(words)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(run.status.success(), "{words:?}: {said}");
    String::from_utf8_lossy(&run.stdout).into_owned()
}

/// A copy of the papers and keys under git, with the attributes of this repository or without, and
/// a clone of it as a machine makes it that turns line ends.
fn clone(attributes: bool) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    let (own, root) = (
        dir.path().join("own"),
        Path::new(env!("CARGO_MANIFEST_DIR")),
    );
    fs::create_dir(&own).unwrap();
    for path in files("sample-papers", ".ron") {
        fs::copy(&path, own.join(path.file_name().unwrap())).unwrap();
    }
    if attributes {
        fs::copy(root.join(".gitattributes"), own.join(".gitattributes")).unwrap();
    }
    git(&own, &["-c", "init.defaultBranch=main", "init", "-q"]);
    git(&own, &["-c", "core.autocrlf=false", "add", "."]);
    git(&own, &["commit", "-q", "-m", "papers"]);
    git(
        dir.path(),
        &["clone", "-q", "-c", "core.autocrlf=true", "own", "copy"],
    );
    dir
}

#[test]
fn a_checkout_that_turns_line_ends_passes_the_check_and_this_one_does_not_turn_them() {
    if Command::new("git").arg("--version").output().is_err() {
        writeln!(std::io::stderr(), "skipped: there is no git here").unwrap();
        return;
    }
    for attributes in [false, true] {
        let dir = clone(attributes);
        let copy = dir.path().join("copy");
        let names: Vec<_> = files("sample-papers", ".ron")
            .iter()
            .map(|path| copy.join(path.file_name().unwrap()))
            .collect();
        assert_eq!(names.len(), 12);
        for path in &names {
            let turned = fs::read_to_string(path).unwrap().contains("\r\n");
            assert_eq!(turned, !attributes, "{}", path.display());
        }
        let check = Command::new(env!("CARGO_BIN_EXE_pacebell"))
            .args(["paper", "check"])
            .args(&names)
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&check.stdout);
        assert!(check.status.success(), "{said}");
        assert_eq!(said.matches(": fine: ").count(), names.len(), "{said}");
    }
}
