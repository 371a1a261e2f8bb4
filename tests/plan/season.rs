//! Made-up pupils who sit papers: as evidence for the estimates, or as session files.

use std::fs;
use std::path::Path;

use chrono::{DateTime, TimeDelta, Utc};
use pacebell::analysis::Trust;
use pacebell::analysis::evidence::{Done, Evidence, Seen, place};
use pacebell::cohort::prior_means;
use pacebell::domain::event::{Ending, Event, How, Stamped};
use pacebell::domain::header::{Alias, Header};
use pacebell::domain::labels::Label;
use pacebell::domain::mark::Mark;
use pacebell::domain::paper::Paper;
use pacebell::domain::paper::PaperId;
use pacebell::domain::time::Elapsed;
use rand::{Rng, RngExt};

use crate::{sat, written};

/// A normal deviate: the sum of twelve uniform ones less six (common practice, no source); its tails end at 6.
pub(crate) fn deviate(random: &mut impl Rng) -> f64 {
    (0..12).map(|_| random.random::<f64>()).sum::<f64>() - 6.0
}

pub(crate) fn happens(random: &mut impl Rng, chance: f64) -> bool {
    random.random::<f64>() < chance
}

pub(crate) fn curve(distance: f64) -> f64 {
    1.0 / (1.0 + (-distance).exp())
}

/// A pupil as the model has them.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pupil {
    pub(crate) level: f64,
    pub(crate) reach: f64,
    /// How many times as long as the default they take.
    pub(crate) pace: f64,
    /// How often they guess what is left.
    pub(crate) sweeps: f64,
}

impl Pupil {
    /// One of the population that the defaults describe.
    pub(crate) fn drawn(random: &mut impl Rng) -> Self {
        Self {
            level: prior_means::PUPILS.0 + prior_means::PUPILS.1 * deviate(random),
            reach: prior_means::ATTEMPT_RATES.0 + prior_means::ATTEMPT_RATES.1 * deviate(random),
            pace: (0.25 * deviate(random)).exp(),
            sweeps: if happens(random, 0.5) { 0.85 } else { 0.15 },
        }
    }

    /// One sitting: each question with how it was taken, whether a guess was right, and the seconds it took.
    pub(crate) fn sits(
        self,
        questions: u16,
        share: f64,
        random: &mut impl Rng,
    ) -> Vec<(Seen, bool)> {
        let level = self.level + prior_means::DAY.hypot(prior_means::PAPER) * deviate(random);
        let reach = self.reach + prior_means::ATTEMPT_RATE_DAY * deviate(random);
        let sweeps = happens(random, self.sweeps);
        let seen = |number: u16| {
            let number = pacebell::domain::rule::QuestionNo(number);
            let place = place(number, questions);
            let (hard, far) = (prior_means::difficulty(place), prior_means::attempt(place));
            let far_off = far.mean + far.sd * deviate(random);
            let works = happens(random, curve(reach - far_off));
            let how_hard = hard.mean + hard.sd * deviate(random);
            let knows = happens(random, curve(level - how_hard));
            let lucky = happens(random, 0.2);
            let done = match (works, knows, sweeps) {
                (true, true, _) => Done::Right,
                (true, false, _) => Done::Wrong,
                (false, _, true) => Done::Guessed,
                (false, _, false) => Done::Blank,
            };
            let spread = prior_means::TIME_SPREAD;
            let time = share
                * prior_means::time_factor(place)
                * self.pace
                * (spread * deviate(random) - spread * spread / 2.0).exp();
            (
                Seen {
                    number,
                    place,
                    done,
                    seconds: works.then_some(time.max(10.0)),
                },
                lucky,
            )
        };
        (1..=questions).map(seen).collect()
    }
}

/// A sitting as evidence.
pub(crate) fn evidence(pupil: &str, paper: &Paper, sitting: &[(Seen, bool)]) -> Evidence {
    Evidence {
        sitting: String::new(),
        texts: std::collections::BTreeMap::new(),
        pupil: Alias::new(pupil).unwrap(),
        paper: PaperId::of(&paper.outline),
        started: started(0),
        full: true,
        share: share(paper),
        extra_percent: Mark::ZERO,
        trust: Trust::Own,
        answers: sitting.iter().map(|(seen, _)| *seen).collect(),
    }
}

pub(crate) fn share(paper: &Paper) -> f64 {
    paper.allowed.as_seconds() / f64::from(paper.outline.questions)
}

/// A paper of the samples.
pub(crate) fn sample(name: &str) -> Paper {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("sample-papers")
        .join(name);
    pacebell::storage::files::paper::load(&path).unwrap()
}

fn started(day: i64) -> DateTime<chrono::FixedOffset> {
    DateTime::parse_from_rfc3339("2026-09-05T09:00:00+00:00").unwrap() + TimeDelta::days(7 * day)
}

/// Writes a sitting as a session file, answers as the key has them or beside it.
pub(crate) fn write(
    folder: &Path,
    pupil: &str,
    day: i64,
    paper: &Paper,
    key: &str,
    sitting: &[(Seen, bool)],
) {
    let header = header(pupil, day, paper);
    let stamp = |(at, event): (u64, Event)| Stamped {
        at: Elapsed::seconds(at),
        utc: DateTime::<Utc>::UNIX_EPOCH,
        event,
    };
    let log: Vec<_> = script(&header, key, sitting)
        .into_iter()
        .map(stamp)
        .collect();
    let folder = folder.join(pupil);
    fs::create_dir_all(&folder).unwrap();
    fs::write(
        folder.join(format!("{day}-{}.session.ron", paper.outline.id)),
        written::file(&header, &log),
    )
    .unwrap();
}

fn header(pupil: &str, day: i64, paper: &Paper) -> Header {
    Header {
        sitting: format!("{pupil}-{day}"),
        started: started(day),
        ..sat::header(pupil, paper)
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "seconds of a few minutes"
)]
fn script(header: &Header, key: &str, sitting: &[(Seen, bool)]) -> Vec<(u64, Event)> {
    let mut events = Vec::new();
    let mut at = 0_u64;
    let end = header.allowed.as_millis() / 1000 - 30;
    let right = |index: usize| Label::new(key.chars().nth(index).unwrap()).unwrap();
    let wrong = |index: usize| {
        if right(index) == Label::new('A').unwrap() {
            Label::new('B').unwrap()
        } else {
            Label::new('A').unwrap()
        }
    };
    for (seen, lucky) in sitting {
        let number = seen.number;
        let index = number.index();
        let answer = match (seen.done, lucky) {
            (Done::Blank, _) => continue,
            (Done::Right, _) | (Done::Guessed, true) => right(index),
            _ => wrong(index),
        };
        events.push((at.min(end), Event::Opened(number)));
        at += seen.seconds.map_or(2, |seconds| seconds as u64);
        events.push((at.min(end), Event::Answered(number, answer)));
        if seen.done == Done::Guessed {
            events.push((at.min(end), Event::Said(number, How::Guessed)));
        }
    }
    events.push(((at + 5).min(end), Event::Closed(Ending::FinishedEarly)));
    events
}
