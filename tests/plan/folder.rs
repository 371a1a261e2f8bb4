//! A folder with papers, keys and a season of made-up sittings, and the program run in it.

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output};

use pacebell::domain::paper::Paper;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use tempfile::TempDir;

use crate::season::{Pupil, sample, share, write};

pub(crate) struct Folder {
    dir: TempDir,
}

impl Folder {
    /// Papers and keys, no sitting.
    pub(crate) fn new() -> Self {
        let made = Self {
            dir: TempDir::new().unwrap(),
        };
        let samples = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-papers");
        fs::create_dir(made.path("sample-papers")).unwrap();
        for entry in fs::read_dir(samples).unwrap() {
            let entry = entry.unwrap();
            fs::copy(
                entry.path(),
                made.path("sample-papers").join(entry.file_name()),
            )
            .unwrap();
        }
        fs::create_dir(made.path("sessions")).unwrap();
        made
    }

    /// With `own` sittings of otter, each on questions of its own, and one of each of `others` more pupils.
    pub(crate) fn with(own: i64, others: usize) -> Self {
        let made = Self::new();
        let paper = sample("saltmarsh-a.paper.ron");
        let mut random = ChaCha8Rng::seed_from_u64(5);
        let otter = Pupil {
            level: 0.3,
            reach: 0.2,
            pace: 1.35,
            sweeps: 0.5,
        };
        let sessions = made.path("sessions");
        for day in 0..own {
            let paper = made.paper_of(day);
            write(
                &sessions,
                "otter",
                day,
                &paper,
                &key(),
                &otter.sits(25, share(&paper), &mut random),
            );
        }
        for other in 0..others {
            let sitting = Pupil::drawn(&mut random).sits(25, share(&paper), &mut random);
            write(
                &sessions,
                &format!("pupil-{other}"),
                0,
                &paper,
                &key(),
                &sitting,
            );
        }
        made
    }

    /// The first sample paper, or one like it with other questions and the same right answers.
    pub(crate) fn paper_of(&self, day: i64) -> Paper {
        if day == 0 {
            return sample("saltmarsh-a.paper.ron");
        }
        let id = format!("heath-{day}");
        let read = |name: &str| fs::read_to_string(self.path("sample-papers").join(name)).unwrap();
        let paper = read("saltmarsh-a.paper.ron")
            .replace("\"saltmarsh-a\"", &format!("\"{id}\""))
            .replace("stem: \"", &format!("stem: \"Number {day}. "));
        let key = read("saltmarsh-a.key.ron").replace("\"saltmarsh-a\"", &format!("\"{id}\""));
        let key: Vec<_> = key
            .lines()
            .filter(|line| !line.contains("fingerprint"))
            .collect();
        let path = self.path(&format!("sample-papers/{id}.paper.ron"));
        fs::write(&path, paper).unwrap();
        fs::write(
            self.path(&format!("sample-papers/{id}.key.ron")),
            key.join("\n"),
        )
        .unwrap();
        pacebell::storage::files::paper::load(&path).unwrap()
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    /// Runs the program in the folder.
    pub(crate) fn run(&self, words: &[&str]) -> Output {
        let mut command = Command::new(env!("CARGO_BIN_EXE_pacebell"));
        command
            .current_dir(self.dir.path())
            .envs(crate::user::at_home(self.dir.path()))
            .env("NO_COLOR", "1");
        command.args(words).output().unwrap()
    }
}

/// The right answers of the sample paper A.
pub(crate) fn key() -> String {
    let path =
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-papers/saltmarsh-a.key.ron");
    let key = pacebell::storage::files::key::load(&path).unwrap();
    key.answers.iter().map(ToString::to_string).collect()
}

pub(crate) fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

pub(crate) fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// No line is wider than a terminal.
pub(crate) fn fits(text: &str) {
    for line in text.lines() {
        assert!(unicode_width::UnicodeWidthStr::width(line) <= 80, "{line}");
    }
}
