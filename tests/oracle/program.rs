//! What the program claims.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use num_rational::Rational64;
use serde::Deserialize;

use crate::raw::exact;

/// Runs the program in a folder.
pub(crate) fn run(folder: &Path, words: &[&str]) -> Output {
    let output = Command::new(env!("CARGO_BIN_EXE_pacebell"))
        .args(words)
        .current_dir(folder)
        .envs(crate::user::at_home(folder))
        .env_remove("XDG_DATA_HOME")
        .output()
        .unwrap();
    let trouble = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{words:?}: {trouble}");
    output
}

/// A finding of `mark --json`.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Finding {
    pub(crate) kind: String,
    pub(crate) questions: Vec<u16>,
    pub(crate) seconds: Option<f64>,
    pub(crate) marks: Option<String>,
    pub(crate) text: String,
}

#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Marks {
    in_time: String,
    with_guess_round: String,
    worked: String,
    max: String,
}

impl Marks {
    pub(crate) fn all(&self) -> [Rational64; 4] {
        let all = [
            &self.in_time,
            &self.with_guess_round,
            &self.worked,
            &self.max,
        ];
        all.map(|text| exact(text))
    }
}

#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Question {
    pub(crate) number: u16,
    pub(crate) given: Option<char>,
    pub(crate) outcome: String,
    pub(crate) how: Option<String>,
    pub(crate) after_time: bool,
    pub(crate) marks: String,
    pub(crate) seconds: Option<f64>,
    pub(crate) visits: Option<usize>,
    pub(crate) changes: Option<usize>,
}

#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Section {
    pub(crate) name: String,
    pub(crate) right: usize,
    pub(crate) wrong: usize,
    pub(crate) blank: usize,
    pub(crate) marks: String,
}

#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Award {
    pub(crate) name: String,
    pub(crate) reached_in_time: bool,
    pub(crate) reached_with_guess_round: bool,
    pub(crate) short_by: String,
}

/// What `mark --json` says of one sitting.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Marked {
    pub(crate) sitting: String,
    pub(crate) mark: Marks,
    pub(crate) sections: Vec<Section>,
    pub(crate) questions: Vec<Question>,
    pub(crate) awards: Vec<Award>,
    pub(crate) findings: Vec<Finding>,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum OneOrMore {
    More(Vec<Marked>),
    One(Box<Marked>),
}

/// What `mark --json` says of these sittings of one paper.
pub(crate) fn marked(folder: &Path, key: &Path, sittings: &[PathBuf]) -> Vec<Marked> {
    let mut words = vec!["mark", "--json", "--key", key.to_str().unwrap()];
    words.extend(sittings.iter().map(|path| path.to_str().unwrap()));
    let output = run(folder, &words);
    match serde_json::from_slice(&output.stdout).unwrap() {
        OneOrMore::One(one) => vec![*one],
        OneOrMore::More(all) => all,
    }
}

/// Every session file below a folder, sorted.
pub(crate) fn sessions(folder: &Path) -> Vec<PathBuf> {
    let mut found = vec![];
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(sessions(&path));
        } else if path.to_string_lossy().ends_with(".session.ron") {
            found.push(path);
        }
    }
    found.sort();
    found
}
