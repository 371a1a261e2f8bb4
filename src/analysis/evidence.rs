//! What one marked sitting says: how each question was taken, and how long it took.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, FixedOffset};

use crate::domain::event::{Ending, Event, How, Stamped};
use crate::domain::header::{Alias, Mode};
use crate::domain::key::Key;
use crate::domain::mark::Mark;
use crate::domain::marking::{Outcome, QuestionMark, Take, answers, mark};
use crate::domain::paper::{Fingerprint, Paper, PaperId};
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Phase, Sitting};
use crate::domain::time::Elapsed;
use crate::stats::real;

/// First answers closer than this, three and more in a row, were keyed in a batch (common practice, no source).
const BATCH_GAP: Elapsed = Elapsed::seconds(10);
/// Where more than a quarter of a sitting's answers were, none of its times is used.
const BATCH_SHARE: f64 = 0.25;
/// A shorter time is no time spent on working something out (common practice, no source).
const SHORTEST: Elapsed = Elapsed::seconds(10);

/// How a question was taken, in time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Done {
    /// Worked out (or unsure), and right.
    Right,
    /// Worked out (or unsure), and not right.
    Wrong,
    /// Guessed or filled.
    Guessed,
    /// Left blank.
    Blank,
}

/// One question of a sitting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// The question.
    pub number: QuestionNo,
    /// Where it stands in its paper, from 0 to 1.
    pub place: f64,
    /// How it was taken.
    pub done: Done,
    /// How long it took, where it was worked out and the time can be trusted.
    pub seconds: Option<f64>,
}

/// Whether a sitting's times can be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trust {
    /// They can.
    Trusted,
    /// Typed in from paper: there are none.
    Entered,
    /// Too many answers were keyed in a batch.
    Batched,
}

/// What one marked sitting says.
#[derive(Clone, Debug, PartialEq)]
pub struct Evidence {
    /// The sitting's id.
    pub sitting: String,
    /// Whose.
    pub pupil: Alias,
    /// Of which paper.
    pub paper: PaperId,
    /// When it was begun.
    pub started: DateTime<FixedOffset>,
    /// Whether the whole paper was sat.
    pub full: bool,
    /// An even share of the time before extra time, in seconds.
    pub share: f64,
    /// The extra time, in percent.
    pub extra_percent: Mark,
    /// Whether its times can be used.
    pub trust: Trust,
    /// Its questions; void ones are left out.
    pub answers: Vec<Seen>,
    /// The fingerprints of the questions' words, where the paper is at hand and has any: what makes a question the
    /// same one on another paper.
    pub texts: BTreeMap<QuestionNo, Fingerprint>,
}

impl Evidence {
    /// Adds what only the paper itself says: the words of its questions, and what time is an even share of its own.
    pub fn know_paper(&mut self, paper: &Paper) {
        self.share = paper.allowed.as_seconds() / f64::from(paper.outline.questions.max(1));
        let texts = paper.outline.numbers().filter_map(|number| {
            let text = paper.question(number)?.text_fingerprint()?;
            Some((number, text))
        });
        self.texts = texts.collect();
    }
}

/// Where a question stands in a paper of so many, from 0 to 1.
pub fn place(number: QuestionNo, questions: u16) -> f64 {
    (real(number.index()) + 0.5) / f64::from(questions.max(1))
}

/// Reads a sitting; `None` where it is still open or was given up, or its key does not fit.
pub fn read(sitting: &Sitting, events: &[Stamped], key: &Key) -> Option<Evidence> {
    let header = sitting.header();
    let counts = matches!(sitting.phase(), Phase::Closed(ending) if ending != Ending::Abandoned);
    if !counts || key.fits(&header.paper).is_err() {
        return None;
    }
    let marked = mark(&answers(sitting, Take::InTime), key, &header.paper.rule);
    let batched = if header.paper.on_screen {
        BTreeSet::new()
    } else {
        batched(events)
    };
    let given = marked
        .questions
        .iter()
        .filter(|question| question.answer.given.is_some())
        .count();
    let trust = match header.mode {
        Mode::Entered => Trust::Entered,
        Mode::Timed if real(batched.len()) > BATCH_SHARE * real(given) => Trust::Batched,
        Mode::Timed => Trust::Trusted,
    };
    let seen = |question: &QuestionMark| {
        let number = question.answer.number;
        let done = done(question)?;
        let spent = sitting
            .time_on(number, sitting.latest())
            .since(idle(sitting, events, number));
        let worked = matches!(done, Done::Right | Done::Wrong);
        let timed =
            worked && trust == Trust::Trusted && !batched.contains(&number) && spent >= SHORTEST;
        Some(Seen {
            number,
            place: place(number, header.paper.questions),
            done,
            seconds: timed.then(|| spent.as_seconds()),
        })
    };
    Some(Evidence {
        sitting: header.sitting.clone(),
        texts: BTreeMap::new(),
        pupil: header.pupil.clone(),
        paper: PaperId::of(&header.paper),
        started: header.started,
        full: header.arrangements.only.is_none(),
        share: header.standard.as_seconds() / f64::from(header.paper.questions.max(1)),
        extra_percent: header.arrangements.extra_percent,
        trust,
        answers: marked.questions.iter().filter_map(seen).collect(),
    })
}

fn done(question: &QuestionMark) -> Option<Done> {
    let luck = question.answer.how.is_some_and(How::is_luck);
    match question.outcome {
        Outcome::Void => None,
        Outcome::Blank => Some(Done::Blank),
        Outcome::Right | Outcome::Wrong if luck => Some(Done::Guessed),
        Outcome::Right => Some(Done::Right),
        Outcome::Wrong => Some(Done::Wrong),
    }
}

/// How long the question that was open at the end stayed so after its last answer: waiting, not working.
fn idle(sitting: &Sitting, events: &[Stamped], number: QuestionNo) -> Elapsed {
    let answered = events
        .iter()
        .rev()
        .find(|stamped| matches!(&stamped.event, Event::Answered(own, _) if *own == number));
    let last = sitting
        .visits()
        .last()
        .filter(|visit| visit.question == number);
    let (Some(answered), Some(last)) = (answered, last) else {
        return Elapsed::ZERO;
    };
    let after = crate::domain::sitting::Visit {
        from: last.from.max(answered.at),
        ..*last
    };
    sitting.length(&after, sitting.latest())
}

/// The questions whose first answers came in a batch: worked on paper first, then keyed.
fn batched(events: &[Stamped]) -> BTreeSet<QuestionNo> {
    let mut seen = BTreeSet::new();
    let mut firsts: Vec<(Elapsed, QuestionNo)> = Vec::new();
    for stamped in events {
        match &stamped.event {
            Event::TimeUp { .. } => break,
            Event::Answered(question, _) if seen.insert(*question) => {
                firsts.push((stamped.at, *question));
            }
            _ => {}
        }
    }
    firsts
        .chunk_by(|one, next| next.0.since(one.0) < BATCH_GAP)
        .filter(|run| run.len() >= 3)
        .flatten()
        .map(|(_, question)| *question)
        .collect()
}

#[cfg(test)]
mod tests;
