//! A folder of its own with the old files in it, and the built program run there.

#[path = "memory.rs"]
pub(crate) mod memory;
#[path = "paths.rs"]
pub(crate) mod paths;
#[path = "tree.rs"]
mod tree;
#[path = "user.rs"]
pub(crate) mod user;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use tempfile::TempDir;

/// Where the old files lie.
pub(crate) fn home() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/old")
}

/// A copy of the old files, so that nothing is written among them.
pub(crate) struct OldFiles(TempDir);

/// What the program said; paths in its messages are parted by `/`.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) code: Option<i32>,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl OldFiles {
    pub(crate) fn copied() -> Self {
        let folder = memory::folder();
        tree::copy(&home(), folder.path());
        Self(folder)
    }

    pub(crate) fn path(&self) -> &Path {
        self.0.path()
    }

    /// Runs the program in this folder. A word such as `@marten-a` stands for that pupil's sitting of that
    /// paper, `@a.key` and `@a.paper` for files of the paper.
    pub(crate) fn run(&self, words: &str) -> Answer {
        let words: Vec<_> = words.split(' ').map(|word| self.meant(word)).collect();
        let answer = Command::new(env!("CARGO_BIN_EXE_pacebell"))
            .args(&words)
            .current_dir(self.path())
            .env_clear()
            .envs(user::at_home(self.path()))
            .output()
            .unwrap();
        Answer {
            code: answer.status.code(),
            out: String::from_utf8(answer.stdout).unwrap(),
            err: paths::slashed(&String::from_utf8(answer.stderr).unwrap()),
        }
    }

    pub(crate) fn meant(&self, word: &str) -> String {
        let Some(short) = word.strip_prefix('@') else {
            return word.to_owned();
        };
        if let Some((paper, kind)) = short.split_once('.') {
            return format!("sample-papers/saltmarsh-{paper}.{kind}.ron");
        }
        let (pupil, paper) = short.split_once('-').unwrap();
        self.sitting(pupil, paper)
    }

    /// The pupil's sitting of the paper, from this folder on.
    pub(crate) fn sitting(&self, pupil: &str, paper: &str) -> String {
        let ending = format!("saltmarsh-{paper}.session.ron");
        let names = fs::read_dir(self.path().join("sessions").join(pupil)).unwrap();
        let mut names = names.map(|entry| entry.unwrap().file_name().into_string().unwrap());
        let name = names.find(|name| name.ends_with(&ending)).unwrap();
        format!("sessions/{pupil}/{name}")
    }
}
