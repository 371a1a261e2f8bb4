//! What one marked sitting says: how each question was taken, and how long it took.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use super::fold::Analysis;
use super::keyed::Studied;
use super::trust::Trust;
use crate::domain::event::How;
use crate::domain::header::Alias;
use crate::domain::mark::Mark;
use crate::domain::marking::{Outcome, QuestionMark};
use crate::domain::paper::{Fingerprint, Paper, PaperId};
use crate::domain::rule::QuestionNo;
use crate::domain::standing::Use;
use crate::domain::thresholds::Limit;
use crate::domain::time::Elapsed;
use crate::stats::real;

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
    /// What a sitting says; `None` where it is still open, was given up or withdrawn, or has no key.
    ///
    /// Where the paper is at hand, its own time says whether the sitting was given all of it.
    pub fn of(studied: &Studied) -> Option<Self> {
        let Studied {
            analysis, paper, ..
        } = studied;
        let marks = studied
            .marks()
            .filter(|_| analysis.standing().bars(Use::Evidence).is_none())?;
        let header = analysis.header();
        let (paper, questions) = (paper.as_deref(), header.paper.questions);
        let given_all = paper.is_none_or(|paper| header.standard >= paper.allowed);
        let standard = paper.map_or(header.standard, |paper| paper.allowed);
        let answers = marks.in_time.questions.iter();
        let texts = |paper: &Paper| {
            let numbers = paper.outline.numbers();
            let text = |number| Some((number, paper.question(number)?.text_fingerprint()?));
            numbers.filter_map(text).collect()
        };
        Some(Self {
            sitting: header.sitting.clone(),
            pupil: header.pupil.clone(),
            paper: PaperId::of(&header.paper),
            started: header.started,
            full: header.arrangements.only.is_none() && given_all,
            share: standard.as_seconds() / f64::from(questions.max(1)),
            extra_percent: header.arrangements.extra_percent,
            trust: analysis.trust().clone(),
            answers: answers.filter_map(|own| seen(analysis, own)).collect(),
            texts: paper.map_or_else(BTreeMap::new, texts),
        })
    }
}

/// Where a question stands in a paper of so many, from 0 to 1.
pub fn place(number: QuestionNo, questions: u16) -> f64 {
    (real(number.index()) + 0.5) / f64::from(questions.max(1))
}

fn seen(analysis: &Analysis, question: &QuestionMark) -> Option<Seen> {
    let number = question.answer.number;
    let done = done(question)?;
    let worked = matches!(done, Done::Right | Done::Wrong);
    // Whoever waits for the bell is not working, nor is whoever answers at a glance.
    let spent = analysis.time_on(number).filter(|_| worked);
    let shortest = analysis.limits().span(Limit::RushedFloorSeconds);
    Some(Seen {
        number,
        place: place(number, analysis.header().paper.questions),
        done,
        seconds: spent
            .filter(|spent| *spent >= shortest)
            .map(Elapsed::as_seconds),
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

#[cfg(test)]
mod tests;
