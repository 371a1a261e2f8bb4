//! Sittings written by a script: visits, answers, changes, rubbings out, guesses, sweeps, breaks,
//! absences, time up and guess rounds, as the lines of session files.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use chrono::{DateTime, TimeDelta};
use pacebell::domain::event::{AwayClock, Ending, Event, How, Stamped};
use pacebell::domain::header::{Arrangements, Boot, Checkpoint, Header, PacePlan};
use pacebell::domain::labels::Label;
use pacebell::domain::mark::Mark;
use pacebell::domain::questions::QuestionList;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::storage::files;
use pacebell::storage::journal::line::{Chain, write_event, write_header};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::raw::Key;
use crate::sat;

pub(crate) const SAMPLES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/sample-papers");
pub(crate) const PAPERS: [&str; 3] = ["saltmarsh-a", "saltmarsh-b", "saltmarsh-old"];

/// Checkpoints: questions, and the minutes by which they are to be done.
pub(crate) const PLAN: [(u16, i64); 4] = [(5, 8), (10, 18), (15, 31), (20, 46)];

pub(crate) fn key_path(paper: &str) -> PathBuf {
    Path::new(SAMPLES).join(format!("{paper}.key.ron"))
}

/// A sitting being written.
pub(crate) struct Script {
    pub(crate) header: Header,
    pub(crate) events: Vec<(u64, Event)>,
    pub(crate) at: u64,
    /// How much of it did not count as time used.
    stopped: u64,
    on_screen: Option<u16>,
    is_up: bool,
}

impl Script {
    pub(crate) fn new(paper: &str, pupil: &str, day: i64) -> Self {
        let path = Path::new(SAMPLES).join(format!("{paper}.paper.ron"));
        let paper = files::paper::load(&path).unwrap();
        let first = DateTime::parse_from_rfc3339("2026-01-05T16:30:00+00:00").unwrap();
        let header = Header {
            sitting: format!("{pupil}-{day}"),
            question_fingerprints: paper.question_fingerprints(),
            arrangements: Arrangements {
                rest_breaks: true,
                ..Arrangements::usual(paper.allowed)
            },
            started: first + TimeDelta::days(day),
            boot: boot(),
            ..sat::header(pupil, &paper)
        };
        Self {
            header,
            events: vec![],
            at: 0,
            stopped: 0,
            on_screen: None,
            is_up: false,
        }
    }

    /// The same with the usual checkpoints, scaled to the time allowed.
    pub(crate) fn planned(mut self) -> Self {
        let point = |(question, minutes)| Checkpoint {
            question: QuestionNo(question),
            minutes: Mark::whole(minutes),
        };
        self.header.plan = Some(PacePlan {
            checkpoints: PLAN.map(point).into(),
            ..PacePlan::default()
        });
        self
    }

    /// The moment at which time is up as things stand.
    pub(crate) fn due(&self) -> u64 {
        self.header.allowed.0 + self.stopped
    }

    /// How much of the time allowed is left.
    pub(crate) fn left(&self) -> u64 {
        self.due().saturating_sub(self.at)
    }

    /// Whether there is time to do anything.
    pub(crate) fn goes_on(&self) -> bool {
        self.at < self.due()
    }

    pub(crate) fn wait(&mut self, millis: u64) {
        self.at += millis;
    }

    /// Writes what is done, unless time is up by then.
    pub(crate) fn does(&mut self, event: Event) -> bool {
        let fits = self.goes_on() || self.is_up;
        if fits {
            self.events.push((self.at, event));
        }
        fits
    }

    pub(crate) fn open(&mut self, question: u16) {
        if self.on_screen != Some(question) && self.does(Event::Opened(QuestionNo(question))) {
            self.on_screen = Some(question);
        }
    }

    pub(crate) fn answer(&mut self, question: u16, option: char) -> bool {
        self.does(Event::Answered(
            QuestionNo(question),
            Label::new(option).unwrap(),
        ))
    }

    pub(crate) fn say(&mut self, question: u16, how: How) {
        self.does(Event::Said(QuestionNo(question), how));
    }

    pub(crate) fn rub_out(&mut self, question: u16) {
        self.does(Event::RubbedOut(QuestionNo(question)));
    }

    pub(crate) fn flag(&mut self, question: u16) {
        self.does(Event::Flagged(QuestionNo(question)));
    }

    /// A rest break, where it ends before anything else.
    pub(crate) fn rest(&mut self, millis: u64) {
        if self.does(Event::BreakStarted) {
            self.wait(millis);
            self.stopped += millis;
            self.does(Event::BreakEnded);
        }
    }

    /// The machine sleeps, and that time counts.
    pub(crate) fn sleep(&mut self, millis: u64) {
        if self.at + millis < self.due() {
            self.wait(millis);
            let span = Elapsed(millis);
            self.does(Event::Slept { span, counts: true });
        }
    }

    /// The program is gone for a while, and that time does not count.
    pub(crate) fn away(&mut self, millis: u64) {
        if self.goes_on() {
            let since = Elapsed(self.at);
            self.wait(millis);
            self.stopped += millis;
            self.does(Event::Resumed {
                since,
                counts: false,
                clock: AwayClock::Exact,
                boot: boot(),
                left: None,
            });
        }
    }

    pub(crate) fn time_up(&mut self) {
        self.at = self.due();
        self.is_up = true;
        let due = Elapsed(self.at);
        self.does(Event::TimeUp { due });
    }

    pub(crate) fn close(&mut self, ending: Ending) {
        self.does(Event::Closed(ending));
    }

    /// Writes the session file below a folder of sittings.
    pub(crate) fn write(&self, sessions: &Path) -> PathBuf {
        let header = &self.header;
        let mut chain = Chain::default();
        let mut text = write_header(header, &mut chain).unwrap();
        for (at, event) in &self.events {
            let utc =
                header.started.to_utc() + TimeDelta::milliseconds(i64::try_from(*at).unwrap());
            let stamped = Stamped {
                at: Elapsed(*at),
                utc,
                event: event.clone(),
            };
            text += &write_event(&stamped, &mut chain).unwrap();
        }
        let folder = sessions.join(header.pupil.as_str());
        fs::create_dir_all(&folder).unwrap();
        let path = folder.join(format!("{}.session.ron", header.sitting));
        fs::write(&path, text).unwrap();
        path
    }
}

fn boot() -> Boot {
    Boot {
        id: "boot".into(),
        zero: 0,
    }
}

/// A sitting in which everything may happen.
pub(crate) fn random(seed: u64) -> Script {
    let mut chance = ChaCha8Rng::seed_from_u64(seed);
    let paper = PAPERS[chance.random_range(0..PAPERS.len())];
    let key = Key::read(&key_path(paper));
    let mut script = Script::new(paper, "otter", i64::try_from(seed).unwrap());
    if chance.random_bool(0.5) {
        script = script.planned();
    }
    if chance.random_bool(0.2) {
        script.header.paper.on_screen = false;
    }
    if chance.random_bool(0.15) && script.header.plan.is_none() {
        script.header.arrangements.only = Some(QuestionList::read("1-10,13,21-24").unwrap());
    }
    let asked: Vec<u16> = match &script.header.arrangements.only {
        Some(_) => (1..=10).chain([13]).chain(21..=24).collect(),
        None => (1..=25).collect(),
    };
    let mut pupil = Pupil {
        key,
        pace: chance.random_range(0.4..1.6),
        skill: chance.random_range(0.3..0.95),
        asked,
        chance,
    };
    pupil.sits(&mut script);
    script
}

/// A sitting beside a printed paper, its first answers keyed in a batch of so many; without one the first
/// checkpoint is done half a minute late.
pub(crate) fn keyed(batch: u16) -> Script {
    let mut script = Script::new(PAPERS[0], "keyed", 400 + i64::from(batch));
    if batch == 0 {
        script = script.planned();
    }
    script.header.paper.on_screen = false;
    for question in 1..=25 {
        script.open(question);
        script.wait(if question <= batch { 5_000 } else { 102_000 });
        script.answer(question, 'A');
    }
    script.close(Ending::FinishedEarly);
    script
}

/// Somebody who does everything now and then.
struct Pupil {
    key: Key,
    pace: f64,
    skill: f64,
    asked: Vec<u16>,
    chance: ChaCha8Rng,
}

impl Pupil {
    fn maybe(&mut self, share: f64) -> bool {
        self.chance.random_bool(share)
    }

    fn millis(&mut self, from: u64, to: u64) -> u64 {
        self.chance.random_range(from * 1000..to * 1000)
    }

    fn option(&mut self, question: u16) -> char {
        if self.chance.random_bool(self.skill) {
            return self.key.right(question);
        }
        ['A', 'B', 'C', 'D', 'E'][self.chance.random_range(0..5)]
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "some minutes in milliseconds"
    )]
    fn thinks(&mut self) -> u64 {
        let usual = match self.chance.random_range(0..20) {
            0 => self.millis(1, 10),
            1 | 2 => self.millis(10, 40),
            3 => self.millis(250, 700),
            _ => self.millis(40, 220),
        };
        (usual as f64 * self.pace) as u64
    }

    fn sits(&mut self, script: &mut Script) {
        script.wait(self.chance.random_range(0..3000));
        for question in self.asked.clone() {
            if self.maybe(0.04) {
                continue;
            }
            self.visits(script, question);
            self.pauses(script);
        }
        for _ in 0..self.chance.random_range(0..8_u8) {
            let question = self.asked[self.chance.random_range(0..self.asked.len())];
            self.visits(script, question);
        }
        if self.maybe(0.5) {
            self.sweeps(script);
        }
        self.ends(script);
    }

    fn visits(&mut self, script: &mut Script, question: u16) {
        script.open(question);
        let thought = self.thinks();
        script.wait(thought);
        let stands = script
            .goes_on()
            .then(|| standing(script, question))
            .flatten();
        match (stands, self.chance.random_range(0..20)) {
            (None, 0..=2) => {
                if self.maybe(0.5) && script.goes_on() {
                    script.does(Event::Skipped(QuestionNo(question)));
                }
            }
            (None, number) => {
                let option = self.option(question);
                script.answer(question, option);
                let pause = self.chance.random_range(200..2000);
                script.wait(pause);
                match number {
                    3 | 4 => script.say(question, How::Unsure),
                    5 => script.say(question, How::Guessed),
                    6 => script.flag(question),
                    _ => {}
                }
            }
            (Some(_), 0..=4) => {
                let option = self.option(question);
                if standing(script, question) != Some(option) {
                    script.answer(question, option);
                }
            }
            (Some(old), 5..=7) => {
                script.rub_out(question);
                let pause = self.millis(1, 30);
                script.wait(pause);
                let option = self.option(question);
                match self.chance.random_range(0..3) {
                    0 => {}
                    1 => {
                        script.answer(question, old);
                    }
                    _ => {
                        script.answer(question, option);
                    }
                }
            }
            (Some(_), _) => {}
        }
        // An answer and the next opening may share a millisecond.
        if self.maybe(0.7) {
            let pause = self.chance.random_range(1..2500);
            script.wait(pause);
        }
    }

    fn pauses(&mut self, script: &mut Script) {
        let millis = self.millis(5, 240);
        match self.chance.random_range(0..60) {
            0 => script.rest(millis),
            1 => script.sleep(millis),
            2 => script.away(millis),
            _ => {}
        }
    }

    fn sweeps(&mut self, script: &mut Script) {
        if self.maybe(0.6) && script.left() > 240_000 {
            let until = self.millis(20, 240);
            script.at = script.due() - until;
        }
        for question in self.asked.clone() {
            if standing(script, question).is_none() {
                script.open(question);
                let pause = self.millis(1, 25);
                script.wait(pause);
                let option = self.option(question);
                if script.answer(question, option) && self.maybe(0.4) {
                    script.say(question, How::Guessed);
                }
            }
        }
    }

    fn ends(&mut self, script: &mut Script) {
        if script.goes_on() && self.maybe(0.5) {
            let pause = self.millis(0, 20);
            script.wait(pause);
            if script.goes_on() {
                script.close(Ending::FinishedEarly);
                return;
            }
        }
        script.time_up();
        script.wait(4000);
        let blanks: Vec<u16> = self.asked.clone();
        let blanks: Vec<u16> = blanks
            .into_iter()
            .filter(|question| standing(script, *question).is_none())
            .collect();
        if blanks.is_empty() {
            script.close(Ending::TimeUp);
            return;
        }
        script.does(Event::GuessRoundStarted);
        for question in blanks {
            let pause = self.millis(1, 6);
            script.wait(pause);
            if self.maybe(0.8) {
                script.does(Event::Opened(QuestionNo(question)));
                let option = self.option(question);
                script.answer(question, option);
            }
        }
        script.wait(1000);
        script.close(Ending::GuessRoundDone);
    }
}

/// The answer that stands, by what is written so far.
pub(crate) fn standing(script: &Script, question: u16) -> Option<char> {
    let mut answers: BTreeMap<u16, char> = BTreeMap::new();
    for (_, event) in &script.events {
        match event {
            Event::Answered(own, option) => {
                answers.insert(own.0, option.to_string().chars().next().unwrap());
            }
            Event::RubbedOut(own) => {
                answers.remove(&own.0);
            }
            _ => {}
        }
    }
    answers.get(&question).copied()
}
