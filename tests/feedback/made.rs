//! A sitting written out question by question, its page, and its file.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::{DateTime, NaiveDate, TimeDelta};
use pacebell::analysis::{Analysis, Studied};
use pacebell::domain::event::{Ending, Event, How, Stamped};
use pacebell::domain::header::Header;
use pacebell::domain::key::Key;
use pacebell::domain::labels::Label;
use pacebell::domain::paper::Paper;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::reports::feedback::content::{Asked, EarlierSitting, Feedback, feedback};
use pacebell::reports::feedback::{PageReader, page};
use pacebell::storage::files;

use crate::{sat, written};

/// A file of the repository's sample papers.
pub(crate) fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("sample-papers")
        .join(name)
}

/// A sitting that is being written out.
#[derive(Clone)]
pub(crate) struct Made {
    pub(crate) paper: Paper,
    pub(crate) key: Key,
    pub(crate) header: Header,
    events: Vec<Stamped>,
    at: u64,
    pub(crate) before: Vec<EarlierSitting>,
    pub(crate) with_working: bool,
}

impl Made {
    /// A sitting of a sample paper, 60 minutes, on 25 November 2026.
    pub(crate) fn of(name: &str, pupil: &str) -> Self {
        let paper = files::paper::load(&sample(&format!("{name}.paper.ron"))).unwrap();
        let key = files::key::load(&sample(&format!("{name}.key.ron"))).unwrap();
        let header = Header {
            question_fingerprints: paper.question_fingerprints(),
            ..sat::header(pupil, &paper)
        };
        Self {
            paper,
            key,
            header,
            events: vec![],
            at: 0,
            before: vec![],
            with_working: false,
        }
    }

    /// The key's answer, or the first option that is wrong.
    pub(crate) fn option(&self, number: u16, right: bool) -> Label {
        let question = QuestionNo(number);
        let labels = self.header.paper.labels(question);
        let mut same = labels
            .iter()
            .filter(|label| self.key.accepts(question, *label) == right);
        same.next().unwrap()
    }

    fn push(&mut self, event: Event) {
        let utc =
            self.header.started.to_utc() + TimeDelta::milliseconds(i64::try_from(self.at).unwrap());
        self.events.push(Stamped {
            at: Elapsed(self.at),
            utc,
            event,
        });
    }

    /// Opens a question, works on it for so many seconds, and answers: `r` right, `w` wrong, `-` not.
    pub(crate) fn work(mut self, number: u16, seconds: u64, answer: char) -> Self {
        self.push(Event::Opened(QuestionNo(number)));
        self.at += seconds * 1000;
        if answer != '-' {
            let option = self.option(number, answer == 'r');
            self.push(Event::Answered(QuestionNo(number), option));
        }
        self
    }

    /// The questions one after another.
    pub(crate) fn straight(mut self, from: u16, seconds: u64, answers: &str) -> Self {
        for (number, answer) in (from..).zip(answers.chars()) {
            self = self.work(number, seconds, answer);
        }
        self
    }

    /// The pupil calls an answer a guess.
    pub(crate) fn guess(mut self, number: u16) -> Self {
        self.push(Event::Said(QuestionNo(number), How::Guessed));
        self
    }

    /// Time is up; then these questions are guessed right or wrong.
    pub(crate) fn time_up(mut self, guesses: &[(u16, char)]) -> Self {
        let due = self.header.allowed;
        self.at = due.0;
        self.push(Event::TimeUp { due });
        if guesses.is_empty() {
            return self.close(Ending::TimeUp);
        }
        self.push(Event::GuessRoundStarted);
        for (number, answer) in guesses {
            self = self.work(*number, 2, *answer);
        }
        self.close(Ending::GuessRoundDone)
    }

    /// The time is over, and no guess round is begun.
    pub(crate) fn time_up_without_guesses(mut self) -> Self {
        let due = self.header.allowed;
        self.at = due.0;
        self.push(Event::TimeUp { due });
        self.close(Ending::GuessRoundDone)
    }

    /// Ends the sitting.
    pub(crate) fn close(mut self, ending: Ending) -> Self {
        self.push(Event::Closed(ending));
        self
    }

    /// What the page says.
    pub(crate) fn told(&self) -> Feedback {
        self.asked().unwrap()
    }

    /// What the page says, where there is one.
    pub(crate) fn asked(&self) -> Option<Feedback> {
        let log = self.events.as_slice().into();
        let analysis = Analysis::of(Arc::new(self.header.clone()), log, Arc::default());
        let studied = Studied {
            paper: Some(Arc::new(self.paper.clone())),
            ..Studied::new(analysis, Some(Arc::new(self.key.clone())))
        };
        feedback(&Asked {
            studied: &studied,
            before: &self.before,
            practised: None,
            steps: &[],
            with_working: self.with_working,
            today: today(),
        })
    }

    /// The page.
    pub(crate) fn page(&self) -> String {
        page(&self.told(), PageReader::Pupil)
    }

    /// An earlier sitting's blanks.
    pub(crate) fn after(mut self, day: &str, blanks: usize) -> Self {
        self.before.push(EarlierSitting {
            started: DateTime::parse_from_rfc3339(&format!("{day}T09:00:00+00:00")).unwrap(),
            blanks,
            questions: 25,
        });
        self
    }

    /// Its file below a folder.
    pub(crate) fn save(&self, sessions: &Path) -> PathBuf {
        let path = pacebell::storage::journal::path_for(sessions, &self.header);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, written::file(&self.header, &self.events)).unwrap();
        path
    }
}

/// The day on which the pages are made.
pub(crate) fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, 26).unwrap()
}
