//! Reads the sample papers and keys as they stand on disk, with shapes of this test's own, so
//! that a fault in the program's loader cannot hide a fault in a paper.

use std::collections::BTreeMap;
use std::path::Path;

use crate::tools::Exact;
use serde::Deserialize;
use serde::de::DeserializeOwned;

/// The ids of the sample papers.
pub(crate) const PAPERS: [&str; 6] = [
    "saltmarsh-a",
    "saltmarsh-b",
    "saltmarsh-first",
    "saltmarsh-long",
    "saltmarsh-old",
    "saltmarsh-short",
];

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Paper {
    pub(crate) format: u32,
    pub(crate) id: String,
    pub(crate) title: String,
    pub(crate) minutes: u32,
    pub(crate) options: String,
    pub(crate) conditions: Vec<String>,
    pub(crate) rule_checked: Checked,
    pub(crate) rule: Rule,
    pub(crate) awards: Vec<Award>,
    #[serde(default)]
    pub(crate) past: Vec<Past>,
    pub(crate) shares: Shares,
    pub(crate) source: String,
    pub(crate) right_to_use: String,
    pub(crate) questions: Vec<Question>,
}

#[derive(Deserialize, PartialEq, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct Shares {
    pub(crate) top: String,
    pub(crate) ratio: String,
    pub(crate) tie: Tie,
}

#[derive(Deserialize, PartialEq, Debug)]
pub(crate) enum Tie {
    #[serde(rename = "nearest")]
    Nearest,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Checked {
    pub(crate) on: String,
    pub(crate) by: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Rule {
    #[serde(default)]
    pub(crate) start: i64,
    pub(crate) sections: Vec<Section>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Section {
    pub(crate) name: String,
    pub(crate) first: usize,
    pub(crate) last: usize,
    pub(crate) right: i64,
    pub(crate) wrong: Loss,
    pub(crate) blank: i64,
}

/// Marks as a paper file writes them: a whole number, or a fraction in quotes.
#[derive(Deserialize)]
#[serde(untagged)]
pub(crate) enum Loss {
    Whole(i64),
    Fraction(String),
}

impl Loss {
    pub(crate) fn exact(&self) -> Exact {
        match self {
            Self::Whole(marks) => Exact::from(*marks),
            Self::Fraction(text) => text.parse().unwrap(),
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Award {
    pub(crate) name: String,
    pub(crate) boundary: i64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Past {
    pub(crate) year: i32,
    pub(crate) boundaries: BTreeMap<String, i64>,
}

#[derive(Deserialize, PartialEq, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct Question {
    pub(crate) topics: Vec<String>,
    pub(crate) stem: String,
    pub(crate) figure: Option<String>,
    pub(crate) figure_words: Option<String>,
    pub(crate) options: Vec<String>,
}

impl Question {
    /// Gives the figure's characters, line by line; empty where there is no figure.
    pub(crate) fn picture(&self) -> Vec<Vec<char>> {
        let text = self.figure.as_deref().unwrap_or_default();
        text.lines().map(|line| line.chars().collect()).collect()
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Key {
    pub(crate) format: u32,
    pub(crate) paper: String,
    pub(crate) answers: String,
    pub(crate) fingerprint: Option<String>,
    pub(crate) notes: BTreeMap<usize, Note>,
}

impl Key {
    pub(crate) fn letters(&self) -> Vec<char> {
        let solid = self
            .answers
            .chars()
            .filter(|letter| !letter.is_whitespace());
        solid.collect()
    }
}

#[derive(Deserialize, PartialEq, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct Note {
    pub(crate) hint: String,
    pub(crate) working: String,
    pub(crate) distractors: BTreeMap<String, String>,
}

/// Reads a sample paper by its id.
pub(crate) fn paper(id: &str) -> Paper {
    read(&format!("{id}.paper.ron"))
}

/// Reads the key of a sample paper by the paper's id.
pub(crate) fn key(id: &str) -> Key {
    read(&format!("{id}.key.ron"))
}

fn read<T: DeserializeOwned>(name: &str) -> T {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("sample-papers")
        .join(name);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{name}: {e}"));
    ron::Options::default()
        .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
        .from_str(&text)
        .unwrap_or_else(|e| panic!("{name}: {e}"))
}
