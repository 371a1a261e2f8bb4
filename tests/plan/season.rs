//! Made-up pupils who sit papers: as evidence for the estimates, or as session files.

use std::fs;
use std::path::Path;

use chrono::{DateTime, TimeDelta, Utc};
use pacebell::analysis::evidence::{Done, Evidence, Seen, Timing, place};
use pacebell::analysis::{Totals, Trust};
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

/// How far a single time is off the pupil's usual one: SD of its logarithm.
const TIME_SPREAD: f64 = 0.45;

/// A made-up pupil: a logistic curve for getting a question right, and another one for getting to it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pupil {
    pub(crate) level: f64,
    pub(crate) reach: f64,
    /// How many times as long as there is time for they take.
    pub(crate) pace: f64,
    /// How often they guess what is left.
    pub(crate) sweeps: f64,
}

impl Pupil {
    /// One of the population that the defaults describe.
    pub(crate) fn drawn(random: &mut impl Rng) -> Self {
        Self {
            level: deviate(random),
            reach: 1.2 * deviate(random),
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
        let level = self.level + 0.42 * deviate(random);
        let reach = self.reach + 0.5 * deviate(random);
        let sweeps = happens(random, self.sweeps);
        let seen = |number: u16| {
            let number = pacebell::domain::rule::QuestionNo(number);
            let place = place(number, questions);
            let far_off = -4.0 + 5.0 * place + 0.8 * deviate(random);
            let works = happens(random, curve(reach - far_off));
            let how_hard = -2.4 + 3.9 * place + 0.7 * deviate(random);
            let knows = happens(random, curve(level - how_hard));
            let lucky = happens(random, 0.2);
            let done = match (works, knows, sweeps) {
                (true, true, _) => Done::Right,
                (true, false, _) => Done::Wrong,
                (false, _, true) => Done::Guessed,
                (false, _, false) => Done::Blank,
            };
            let off = TIME_SPREAD * deviate(random) - TIME_SPREAD * TIME_SPREAD / 2.0;
            let time = share * (0.2 + 1.6 * place) * self.pace * off.exp();
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
    let rule = &paper.outline.rule;
    let marks = sitting.iter().map(|(seen, lucky)| {
        let section = rule.section(seen.number).unwrap();
        match (seen.done, lucky) {
            (Done::Right, _) | (Done::Guessed, true) => section.right,
            (Done::Wrong, _) | (Done::Guessed, false) => section.wrong,
            (Done::Blank, _) => section.blank,
        }
    });
    let best = sitting
        .iter()
        .map(|(seen, _)| rule.section(seen.number).unwrap().best());
    Evidence {
        sitting: String::new(),
        texts: std::collections::BTreeMap::new(),
        pupil: Alias::new(pupil).unwrap(),
        paper: PaperId::of(&paper.outline),
        started: started(0),
        not_whole: None,
        timing: Timing {
            share: share(paper),
            extra_percent: Mark::ZERO,
            trust: Trust::Own,
            glance: 10.0,
            early: false,
        },
        totals: Totals {
            in_time: rule.start + marks.sum(),
            with_guess_round: None,
            max: rule.start + best.sum(),
        },
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
    // What is left of the time goes by on the last page.
    events.push((end, Event::Closed(Ending::FinishedEarly)));
    events
}
