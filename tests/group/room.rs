//! A folder with a paper, a key and answers, but the most is the command run on them.

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use clap::Parser;
use pacebell::commands::{Args, CommandArgs, Failure, group};
use serde_json::Value;
use tempfile::TempDir;

/// A folder that goes away.
pub(crate) struct Room {
    folder: TempDir,
}

/// What the command said.
#[derive(Debug)]
pub(crate) struct Told {
    pub(crate) result: Result<(), Failure>,
    pub(crate) out: String,
    pub(crate) notes: String,
}

/// A paper as its file has it.
#[derive(Clone)]
pub(crate) struct PaperText {
    pub(crate) options: String,
    /// Questions with labels of their own.
    pub(crate) own: Vec<(usize, String)>,
    pub(crate) questions: usize,
    pub(crate) start: String,
    /// First, last, right, wrong, blank.
    pub(crate) sections: Vec<(usize, usize, &'static str, &'static str, &'static str)>,
    pub(crate) awards: String,
}

impl PaperText {
    /// So many questions at one mark each.
    pub(crate) fn plain(options: &str, questions: usize) -> Self {
        Self {
            options: options.into(),
            own: vec![],
            questions,
            start: "0".into(),
            sections: vec![(1, questions, "1", "0", "0")],
            awards: String::new(),
        }
    }

    fn text(&self) -> String {
        let mut text = format!(
            "(format: 1, id: \"heron\", title: \"Heron paper\", minutes: 60, options: \"{}\",\n\
             rule: (start: {}, sections: [",
            self.options, self.start
        );
        for (first, last, right, wrong, blank) in &self.sections {
            let _ = write!(
                text,
                "(name: \"{first}-{last}\", first: {first}, last: {last}, right: {right}, wrong: {wrong}, blank: {blank}),"
            );
        }
        let _ = write!(text, "]),\nawards: [{}],\nquestions: [", self.awards);
        for number in 1..=self.questions {
            match self.own.iter().find(|(own, _)| *own == number) {
                Some((_, labels)) => {
                    let _ = write!(text, "(labels: \"{labels}\"),");
                }
                None => text.push_str("(),"),
            }
        }
        text + "])\n"
    }
}

impl Room {
    /// A paper and its key; `more` is what stands in the key behind the answers.
    pub(crate) fn new(paper: &PaperText, answers: &str, more: &str) -> Self {
        let room = Self {
            folder: tempfile::tempdir().unwrap(),
        };
        room.file("heron.paper.ron", &paper.text());
        let key = format!("(format: 1, paper: \"heron\", answers: \"{answers}\", {more})\n");
        room.file("heron.key.ron", &key);
        room
    }

    pub(crate) fn path(&self) -> &Path {
        self.folder.path()
    }

    pub(crate) fn file(&self, name: &str, text: &str) -> PathBuf {
        let path = self.folder.path().join(name);
        fs::write(&path, text).unwrap();
        path
    }

    /// Runs `group` on the paper and the key with further words.
    pub(crate) fn group(&self, words: &[&str]) -> Told {
        let path = |name: &str| self.folder.path().join(name).display().to_string();
        let mut typed = vec!["pacebell".to_owned(), "group".to_owned()];
        typed.extend(["--paper".to_owned(), path("heron.paper.ron")]);
        typed.extend(["--key".to_owned(), path("heron.key.ron")]);
        typed.extend(words.iter().map(|word| (*word).to_owned()));
        let args = Args::try_parse_from(typed).unwrap();
        let Some(CommandArgs::Group(words)) = args.command else {
            panic!("the words are of another command");
        };
        let (mut out, mut notes) = (Vec::new(), Vec::new());
        let result = group::run(&words, None, &mut out, &mut notes);
        Told {
            result,
            out: String::from_utf8(out).unwrap(),
            notes: String::from_utf8(notes).unwrap(),
        }
    }

    /// Runs it on a list of answers with further words.
    pub(crate) fn list(&self, text: &str, words: &[&str]) -> Told {
        let path = self.file("answers.csv", text).display().to_string();
        let mut all = vec!["--answers", &path];
        all.extend(words);
        self.group(&all)
    }

    /// The JSON object of a list of answers.
    pub(crate) fn json(&self, text: &str, words: &[&str]) -> Value {
        let mut all = words.to_vec();
        all.push("--json");
        self.list(text, &all).json()
    }
}

impl Told {
    /// What was printed, as JSON; fails with what went wrong.
    pub(crate) fn json(&self) -> Value {
        assert_eq!(self.result, Ok(()));
        serde_json::from_str(&self.out).unwrap()
    }

    /// The sentence of what went wrong.
    pub(crate) fn sentence(&self) -> String {
        assert_eq!(self.out, "");
        self.result.as_ref().unwrap_err().to_string()
    }
}

/// A list of answer sheets, a letter a question and `-` for a blank.
pub(crate) fn sheets(rows: &[&str]) -> String {
    let questions = rows.first().map_or(0, |row| row.len());
    let numbers: Vec<String> = (1..=questions).map(|number| number.to_string()).collect();
    let mut text = format!("pupil,{}\n", numbers.join(","));
    for (index, row) in rows.iter().enumerate() {
        let cells: Vec<String> = row.chars().map(String::from).collect();
        let _ = writeln!(text, "p{index},{}", cells.join(","));
    }
    text
}

/// Fails unless a JSON number is there and near.
pub(crate) fn near(found: &Value, expected: f64, tolerance: f64, what: &str) {
    let number = found.as_f64();
    assert!(
        number.is_some_and(|number| (number - expected).abs() <= tolerance),
        "{what}: found {found}, expected {expected}"
    );
}
