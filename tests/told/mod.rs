//! The program run as a person would, and papers made for one check.

use std::fmt::Write as _;
use std::path::PathBuf;
use std::process::Command;

use serde_json::Value;

/// A folder for one test's files.
pub(crate) struct Folder(tempfile::TempDir);

/// Questions from the first to the last: marks for right, wrong and blank.
pub(crate) type Section<'a> = (u16, u16, &'a str, &'a str, &'a str);

impl Folder {
    pub(crate) fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    /// Writes a file and gives its path.
    pub(crate) fn file(&self, name: &str, text: &str) -> PathBuf {
        let path = self.0.path().join(name);
        std::fs::write(&path, text).unwrap();
        path
    }

    /// Writes a paper with options A to E; `more` is further fields, each with its comma.
    pub(crate) fn paper(&self, start: &str, sections: &[Section<'_>], more: &str) -> PathBuf {
        let mut text = format!(
            "(\n    format: 1, id: \"made\", title: \"Made up\", minutes: 60, options: \"ABCDE\",\n    rule: (start: \"{start}\", sections: [\n"
        );
        for (first, last, right, wrong, blank) in sections {
            writeln!(text, "        (first: {first}, last: {last}, right: \"{right}\", wrong: \"{wrong}\", blank: \"{blank}\"),").unwrap();
        }
        let questions = sections.last().map_or(0, |section| section.1);
        let list = "(), ".repeat(usize::from(questions));
        write!(text, "    ]),\n{more}    questions: [{list}],\n)\n").unwrap();
        self.file("made.paper.ron", &text)
    }

    /// Runs the program in the folder; words are split at blanks.
    pub(crate) fn run(&self, words: &str) -> Told {
        let mut command = Command::new(env!("CARGO_BIN_EXE_pacebell"));
        let done = command
            .args(words.split_whitespace())
            .current_dir(self.0.path())
            .output()
            .unwrap();
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        Told {
            code: done.status.code().unwrap(),
            out: text(done.stdout),
            err: text(done.stderr),
        }
    }

    /// What the program prints; it must end well, with no line over 80 columns.
    pub(crate) fn page(&self, words: &str) -> String {
        let told = self.run(words);
        assert_eq!(told.code, 0, "{words}: {}", told.err);
        for line in told.out.lines() {
            assert!(line.chars().count() <= 80, "{words}: too wide: {line}");
            assert_eq!(line, line.trim_end(), "{words}: blanks at the end");
        }
        told.out
    }

    /// The JSON object that the program prints.
    pub(crate) fn json(&self, words: &str) -> Value {
        let told = self.run(&format!("{words} --json"));
        assert_eq!(told.code, 0, "{words}: {}", told.err);
        serde_json::from_str(&told.out).unwrap()
    }

    /// What the program says when it ends with `code` and prints nothing.
    pub(crate) fn refused(&self, words: &str, code: i32) -> String {
        let told = self.run(words);
        assert_eq!(
            (told.code, told.out.as_str()),
            (code, ""),
            "{words}: {}",
            told.err
        );
        told.err
    }
}

/// How the program ended and what it wrote.
pub(crate) struct Told {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// Fails unless two numbers differ by no more than the tolerance.
pub(crate) fn close(found: f64, expected: f64, tolerance: f64, what: &str) {
    let gap = (found - expected).abs();
    assert!(
        gap <= tolerance,
        "{what}: found {found}, expected {expected}"
    );
}
