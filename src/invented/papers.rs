//! The sample papers and their keys, carried inside the program.

use std::path::Path;

use crate::domain::key::Key;
use crate::domain::paper::Paper;
use crate::storage::files::FileTrouble;
use crate::storage::files::{key, paper};

/// A sample paper with its key, as text.
pub struct Sample {
    /// The paper's id, which is also what its files are called.
    pub(super) name: &'static str,
    /// `NAME.paper.ron`.
    pub(super) paper: &'static str,
    /// `NAME.key.ron`.
    pub(super) key: &'static str,
}

macro_rules! sample {
    ($name:literal) => {
        Sample {
            name: $name,
            paper: include_str!(concat!("../../sample-papers/", $name, ".paper.ron")),
            key: include_str!(concat!("../../sample-papers/", $name, ".key.ron")),
        }
    };
}

/// The paper under the rule of now.
pub const A: Sample = sample!("saltmarsh-a");
/// Another paper under the rule of now.
pub const B: Sample = sample!("saltmarsh-b");
/// The first paper under an older rule.
pub const OLD: Sample = sample!("saltmarsh-old");
/// A short one.
const SHORT: Sample = sample!("saltmarsh-short");
/// A long one.
const LONG: Sample = sample!("saltmarsh-long");
/// One for a first sitting.
const FIRST: Sample = sample!("saltmarsh-first");

impl Sample {
    /// Those that the invented season is sat on.
    pub const SEASON: [Self; 3] = [A, B, OLD];
    /// All of them.
    pub const ALL: [Self; 6] = [A, B, OLD, SHORT, LONG, FIRST];

    /// Its files: name and text.
    pub fn files(&self) -> [(String, &'static str); 2] {
        [
            (format!("{}.paper.ron", self.name), self.paper),
            (format!("{}.key.ron", self.name), self.key),
        ]
    }

    /// The paper and its key, checked as any other.
    pub(super) fn load(&self) -> Result<(Paper, Key), FileTrouble> {
        let [(paper_name, paper_text), (key_name, key_text)] = self.files();
        let paper = paper::from_bytes(Path::new(&paper_name), paper_text.as_bytes(), None)?.value;
        let outline = Some(&paper.outline);
        let key = key::from_bytes(Path::new(&key_name), key_text.as_bytes(), outline)?.value;
        Ok((paper, key))
    }
}
