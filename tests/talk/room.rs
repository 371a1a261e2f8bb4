//! A folder of sittings whose logs are written event by event, and the program run there.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use chrono::{DateTime, FixedOffset, TimeDelta};
use pacebell::domain::event::{Ending, Event, Stamped};
use pacebell::domain::header::{Alias, Header};
use pacebell::domain::labels::Label;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::storage::files;
use serde_json::Value;
use tempfile::TempDir;

use crate::typed::typed;
use crate::{sat, written};

/// When the first sitting was, the talk about it, and the sitting after it.
pub(crate) const FIRST: &str = "2026-09-10T09:00:00+00:00";
pub(crate) const TALK: &str = "2026-09-12T10:00:00+00:00";
pub(crate) const SECOND: &str = "2026-09-20T09:00:00+00:00";

pub(crate) fn moment(text: &str) -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339(text).unwrap()
}

pub(crate) trait ParseAlias {
    fn parse_alias(&self) -> Alias;
}

impl ParseAlias for str {
    fn parse_alias(&self) -> Alias {
        Alias::new(self).unwrap()
    }
}

/// A sitting of otter's, on Saltmarsh A with its 60 minutes, event by event.
#[derive(Clone)]
pub(crate) struct Log {
    pub(crate) header: Header,
    events: Vec<Stamped>,
    at: u64,
}

impl Log {
    pub(crate) fn of(started: &str) -> Self {
        let paper = files::paper::load(&sample("saltmarsh-a.paper.ron")).unwrap();
        let header = Header {
            started: moment(started),
            sitting: started.replace([':', '+'], "-"),
            question_fingerprints: paper.question_fingerprints(),
            ..sat::header("otter", &paper)
        };
        Self {
            header,
            events: Vec::new(),
            at: 0,
        }
    }

    pub(crate) fn event(mut self, event: Event) -> Self {
        let passed = TimeDelta::milliseconds(i64::try_from(self.at).unwrap());
        self.events.push(Stamped {
            at: Elapsed(self.at),
            utc: self.header.started.to_utc() + passed,
            event,
        });
        self
    }

    pub(crate) fn open(self, number: u16) -> Self {
        self.event(Event::Opened(QuestionNo(number)))
    }

    /// The first option is chosen.
    pub(crate) fn choose(self, number: u16) -> Self {
        self.event(Event::Answered(
            QuestionNo(number),
            Label::new('A').unwrap(),
        ))
    }

    /// A question is opened, and answered after so many seconds.
    pub(crate) fn answer(self, number: u16, seconds: u64) -> Self {
        self.open(number).wait(seconds).choose(number)
    }

    pub(crate) fn wait(self, seconds: u64) -> Self {
        self.pass(seconds * 1000)
    }

    pub(crate) fn pass(mut self, millis: u64) -> Self {
        self.at += millis;
        self
    }

    pub(crate) fn until(mut self, at: u64) -> Self {
        assert!(at >= self.at);
        self.at = at;
        self
    }

    pub(crate) fn time_up(mut self) -> Self {
        let due = self.header.allowed;
        self.at = due.0;
        let blank = (1..=25).any(|number| {
            let is_it = |own: &Stamped| {
                matches!(own.event, Event::Answered(question, _) if question == QuestionNo(number))
            };
            !self.events.iter().any(is_it)
        });
        let ending = if blank {
            Ending::GuessRoundDone
        } else {
            Ending::TimeUp
        };
        self.event(Event::TimeUp { due })
            .event(Event::Closed(ending))
    }

    pub(crate) fn finish(self) -> Self {
        self.event(Event::Closed(Ending::FinishedEarly))
    }

    pub(crate) fn text(&self) -> String {
        written::file(&self.header, &self.events)
    }
}

/// The first sitting: fifteen answers, then nothing to the end.
pub(crate) fn first() -> Log {
    let log = (1..=15).fold(Log::of(FIRST), |log, number| log.answer(number, 150));
    log.time_up()
}

fn sample(name: &str) -> PathBuf {
    let own = Path::new(env!("CARGO_MANIFEST_DIR"));
    own.join("sample-papers").join(name)
}

/// A folder with the paper, its key and the sittings that are put there.
pub(crate) struct Room(TempDir);

impl Room {
    pub(crate) fn new() -> Self {
        let room = tempfile::tempdir().unwrap();
        let papers = room.path().join("sample-papers");
        fs::create_dir_all(&papers).unwrap();
        fs::create_dir_all(room.path().join("sessions")).unwrap();
        for name in ["saltmarsh-a.paper.ron", "saltmarsh-a.key.ron"] {
            fs::copy(sample(name), papers.join(name)).unwrap();
        }
        Self(room)
    }

    pub(crate) fn path(&self) -> &Path {
        self.0.path()
    }

    pub(crate) fn file(log: &Log) -> String {
        let header = &log.header;
        let day = header.started.format("%Y-%m-%d-%H%M");
        format!("sessions/{}/{day}-saltmarsh-a.session.ron", header.pupil)
    }

    pub(crate) fn put(&self, log: &Log) {
        let path = self.path().join(Self::file(log));
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, log.text()).unwrap();
    }

    pub(crate) fn notes(&self, log: &Log) -> PathBuf {
        let name = Self::file(log).replace(".session.ron", ".notes.ron");
        self.path().join(name)
    }

    /// Adds a line to the list of steps in the notes file, as a person would.
    fn add(&self, log: &Log, step: &str) {
        let path = self.notes(log);
        let before = fs::read_to_string(&path).unwrap_or_else(|_| {
            format!(
                "(\n    format: 2,\n    sitting: \"{}\",\n    steps: [\n    ],\n)\n",
                log.header.sitting
            )
        });
        let (head, tail) = before.rsplit_once("    ],\n)").unwrap();
        fs::write(path, format!("{head}        {step},\n    ],\n){tail}")).unwrap();
    }

    pub(crate) fn agreed(&self, log: &Log, step: &str, at: &str) {
        self.add(
            log,
            &format!("(at: \"{at}\", step: \"{step}\", by: \"T.M.\")"),
        );
    }

    pub(crate) fn agreed_in_words(&self, log: &Log, text: &str, at: &str) {
        self.add(
            log,
            &format!("(at: \"{at}\", text: {text:?}, by: \"T.M.\")"),
        );
    }

    pub(crate) fn withdrawn(&self, log: &Log, at: &str) {
        self.add(log, &format!("(at: \"{at}\", by: \"T.M.\")"));
    }

    pub(crate) fn set_aside(&self, log: &Log) {
        let file = Self::file(log);
        let said = self.run(&["set-aside", &file, "--because", "a false start"]);
        assert!(said.status.success(), "{said:?}");
    }

    pub(crate) fn run(&self, words: &[&str]) -> Output {
        self.typed(words, "")
    }

    pub(crate) fn typed(&self, words: &[&str], input: &str) -> Output {
        let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
        program.current_dir(self.path()).args(words);
        program.env_clear().envs(crate::user::at_home(self.path()));
        typed(&mut program, input)
    }

    /// What the program prints, which it can.
    #[track_caller]
    pub(crate) fn told(&self, words: &[&str]) -> String {
        let said = self.run(words);
        assert!(said.status.success(), "{words:?}: {said:?}");
        String::from_utf8(said.stdout).unwrap()
    }

    #[track_caller]
    pub(crate) fn json(&self, log: &Log) -> Value {
        let said = self.told(&["talk", &Self::file(log), "--json"]);
        serde_json::from_str(&said).unwrap()
    }

    /// The state of the step agreed about a sitting, and why nobody can tell, where that is so.
    #[track_caller]
    pub(crate) fn state(&self, log: &Log) -> String {
        let step = self.json(log)["step"].clone();
        let state = step["state"].as_str().unwrap();
        match step["why_unknown"].as_str() {
            Some(why) => format!("{state}: {why}"),
            None => state.to_owned(),
        }
    }
}
