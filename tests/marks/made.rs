//! A made-up paper, its key and sittings of it, in a folder of their own.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use chrono::{DateTime, Utc};
use pacebell::domain::event::{Ending, Event, How, Stamped};
use pacebell::domain::header::Header;
use pacebell::domain::labels::Label;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::storage::journal::line::{Chain, write_event, write_header};
use tempfile::TempDir;

use crate::paths::slashed;
use crate::sat;

/// Six questions: three at 4, three at 7.
pub(crate) const PAPER: &str = r#"(
    format: 1,
    id: "heron",
    title: "Heron paper",
    minutes: 10,
    options: "ABCDE",
    rule: (sections: [
        (name: "1-3", first: 1, last: 3, right: 4),
        (name: "4-6", first: 4, last: 6, right: 7),
    ]),
    awards: [(name: "dunlin", boundary: 8), (name: "curlew", boundary: 18)],
    questions: [(), (), (), (), (), ()],
)"#;

pub(crate) const KEY: &str = r#"(format: 1, paper: "heron", answers: "ABCDEA")"#;

/// The same questions under a rule that takes marks away.
pub(crate) const STRICTER: &str = r#"(
    format: 1,
    id: "heron-old",
    title: "Heron paper, last decade",
    minutes: 10,
    options: "ABCDE",
    rule: (start: 3, sections: [
        (name: "1-3", first: 1, last: 3, right: 4, wrong: "-1/4"),
        (name: "4-6", first: 4, last: 6, right: 7, wrong: -2),
    ]),
    questions: [(), (), (), (), (), ()],
)"#;

/// A folder with the paper and its key.
pub(crate) struct Made {
    dir: TempDir,
}

impl Made {
    pub(crate) fn new() -> Self {
        let made = Self {
            dir: TempDir::new().unwrap(),
        };
        made.write("heron.paper.ron", PAPER);
        made.write("heron.key.ron", KEY);
        made
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    pub(crate) fn write(&self, name: &str, text: &str) -> PathBuf {
        fs::write(self.path(name), text).unwrap();
        self.path(name)
    }

    pub(crate) fn header(&self, sitting: &str, pupil: &str) -> Header {
        let paper = pacebell::storage::files::paper::load(&self.path("heron.paper.ron")).unwrap();
        Header {
            sitting: sitting.into(),
            started: DateTime::parse_from_rfc3339("2026-11-20T09:00:00+00:00").unwrap(),
            ..sat::header(pupil, &paper)
        }
    }

    /// A sitting's lines.
    pub(crate) fn lines(&self, pupil: &str, script: &[(u64, Event)]) -> Vec<String> {
        self.lines_as(&format!("sitting-of-{pupil}"), pupil, script)
    }

    /// The lines of a sitting of that id.
    pub(crate) fn lines_as(
        &self,
        sitting: &str,
        pupil: &str,
        script: &[(u64, Event)],
    ) -> Vec<String> {
        let mut chain = Chain::default();
        let mut lines = vec![write_header(&self.header(sitting, pupil), &mut chain).unwrap()];
        for (seconds, event) in script {
            let stamped = Stamped {
                at: Elapsed::seconds(*seconds),
                utc: DateTime::<Utc>::UNIX_EPOCH,
                event: event.clone(),
            };
            lines.push(write_event(&stamped, &mut chain).unwrap());
        }
        lines
    }

    /// A whole sitting's file.
    pub(crate) fn session(&self, pupil: &str) -> PathBuf {
        let name = format!("{pupil}.session.ron");
        self.write(&name, &self.lines(pupil, &script()).concat())
    }

    /// `pacebell mark` with the key, in this folder.
    pub(crate) fn mark(&self, words: &[&str]) -> Output {
        self.mark_with("heron.key.ron", words)
    }

    pub(crate) fn mark_with(&self, key: &str, words: &[&str]) -> Output {
        self.command(key, words).output().unwrap()
    }

    pub(crate) fn command(&self, key: &str, words: &[&str]) -> Command {
        let mut command = Command::new(Path::new(env!("CARGO_BIN_EXE_pacebell")));
        command.current_dir(self.dir.path()).arg("mark").args(words);
        command.args(["--key", key]);
        command
    }
}

pub(crate) fn q(number: u16) -> QuestionNo {
    QuestionNo(number)
}

fn label(c: char) -> Label {
    Label::new(c).unwrap()
}

/// 1 right, 2 wrong, 3 guessed right, 4 right, 5 and 6 blank: 15 marks, 11 worked out.
pub(crate) fn script() -> Vec<(u64, Event)> {
    vec![
        (0, Event::Opened(q(1))),
        (60, Event::Answered(q(1), label('A'))),
        (65, Event::Opened(q(2))),
        (90, Event::Answered(q(2), label('C'))),
        (125, Event::Opened(q(3))),
        (130, Event::Answered(q(3), label('C'))),
        (131, Event::Said(q(3), How::Guessed)),
        (140, Event::Opened(q(4))),
        (400, Event::Answered(q(4), label('D'))),
        (430, Event::Closed(Ending::FinishedEarly)),
    ]
}

pub(crate) fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

pub(crate) fn err(output: &Output) -> String {
    slashed(&String::from_utf8(output.stderr.clone()).unwrap())
}

pub(crate) fn code(output: &Output) -> Option<i32> {
    output.status.code()
}
