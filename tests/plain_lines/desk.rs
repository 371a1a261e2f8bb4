//! A small paper, and a shell that does as the line-by-line sitting asks.

use std::fmt::Write as _;
use std::sync::Arc;

use pacebell::dialogue::{Act, Scene};
use pacebell::domain::event::Event;
use pacebell::domain::header::{Checkpoint, Header, PacePlan};
use pacebell::domain::labels::{Label, Labels};
use pacebell::domain::mark::Mark;
use pacebell::domain::paper::{Paper, Question, RuleChecked};
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::sitting::{Command, Sitting};
use pacebell::domain::time::Elapsed;
use pacebell::plain::{Plain, Spoken};

use crate::{papers, sat};

/// Five questions in ten minutes: the reminder comes after nine.
pub(crate) fn paper(labels: &str) -> Paper {
    let question = |n: usize| Question {
        topics: vec![],
        stem: Some(format!("What is {n} + {n}?")),
        figure: (n == 2).then(|| "* *\n* *".into()),
        figure_words: None,
        options: (0..labels.len()).map(|k| (n + k).to_string()).collect(),
    };
    let section = papers::section(1, 5, ["4", "0", "0"]);
    let mut paper = papers::paper("Five", 10, [section]);
    paper.outline.rule_checked = Some(RuleChecked {
        on: "2026-09-03".parse().unwrap(),
        by: "T.M.".into(),
    });
    paper.outline.options = Labels::new(labels).unwrap();
    paper.questions = (1..=5).map(question).collect();
    paper
}

pub(crate) fn header(paper: &Paper) -> Header {
    let mut header = sat::header("otter", paper);
    header.arrangements.rest_breaks = true;
    header.plan = Some(PacePlan {
        checkpoints: vec![Checkpoint {
            question: QuestionNo(2),
            minutes: Mark::whole(4),
        }],
        ..PacePlan::default()
    });
    header
}

/// How things stand at a moment.
pub(crate) const fn scene<'a>(sitting: &'a Sitting, paper: &'a Paper, at: Elapsed) -> Scene<'a> {
    Scene {
        sitting,
        paper: Some(paper),
        at,
    }
}

/// A shell that does as it is asked, and writes down what was typed and said.
pub(crate) struct Desk {
    pub(crate) paper: Paper,
    pub(crate) sitting: Sitting,
    pub(crate) plain: Plain,
    pub(crate) heard: String,
    pub(crate) log: Vec<(Elapsed, Event)>,
    pub(crate) left: bool,
}

impl Desk {
    pub(crate) fn new(labels: &str) -> Self {
        Self::with(labels, |_| {})
    }

    pub(crate) fn with(labels: &str, change: impl FnOnce(&mut Header)) -> Self {
        let paper = paper(labels);
        let mut header = header(&paper);
        change(&mut header);
        let sitting = Sitting::new(Arc::new(header));
        let scene = scene(&sitting, &paper, Elapsed::ZERO);
        let mut plain = Plain::new(&scene);
        let reply = plain.opening(&scene);
        let mut desk = Self {
            paper,
            sitting,
            plain,
            heard: String::new(),
            log: Vec::new(),
            left: false,
        };
        desk.take(reply, Elapsed::ZERO);
        desk
    }

    pub(crate) fn take(&mut self, reply: Spoken, at: Elapsed) {
        for line in reply.said {
            writeln!(self.heard, "{line}").unwrap();
        }
        for act in reply.acts {
            match act {
                Act::Wish(command) => self.wish(command, at),
                Act::FillBlanks(blanks) => {
                    let label = Label::new('A').unwrap();
                    let answers = blanks.iter().map(|blank| (*blank, label)).collect();
                    self.wish(Command::Fill { seed: 7, answers }, at);
                    let filled = Plain::filled(&self.sitting);
                    self.take(
                        Spoken {
                            said: filled,
                            acts: vec![],
                        },
                        at,
                    );
                }
                Act::Leave => self.left = true,
            }
        }
    }

    /// Whatever is asked is granted: what was said is what happens.
    pub(crate) fn wish(&mut self, command: Command, at: Elapsed) {
        if let Some(event) = self.sitting.decide(command, at).unwrap() {
            self.sitting.apply(at, &event);
            self.log.push((at, event));
        }
    }

    /// Time passes and the shell wakes.
    pub(crate) fn wakes(&mut self, seconds: u64) {
        let at = Elapsed::seconds(seconds);
        if self.sitting.is_closed() {
            return;
        }
        while let Some(line) = self.plain.passing(&scene(&self.sitting, &self.paper, at)) {
            writeln!(self.heard, "{line}").unwrap();
        }
        self.wish(Command::Tick, at);
    }

    pub(crate) fn types(&mut self, seconds: u64, line: &str) -> String {
        let at = Elapsed::seconds(seconds);
        writeln!(self.heard, "] {line}").unwrap();
        let before = self.heard.len();
        let scene = scene(&self.sitting, &self.paper, at);
        let reply = self.plain.line(&scene, &format!("{line}\n"));
        self.take(reply, at);
        self.heard.get(before..).unwrap().to_owned()
    }

    pub(crate) fn answers(&self) -> String {
        let shown = |row: &pacebell::domain::sitting::Row| {
            row.standing().map_or('-', |given| given.option.as_char())
        };
        self.sitting.rows().iter().map(shown).collect()
    }
}
