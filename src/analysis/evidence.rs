//! What one marked sitting says: how each question was taken, and how long it took.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use super::fold::Analysis;
use super::keyed::Studied;
use super::marks::Totals;
use super::trust::Trust;
use crate::domain::event::How;
use crate::domain::header::Alias;
use crate::domain::mark::Mark;
use crate::domain::marking::{Outcome, QuestionMark};
use crate::domain::paper::{Fingerprint, PaperId};
use crate::domain::rule::QuestionNo;
use crate::domain::standing::{Exclusion, Use, is_short, is_whole};
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
    /// How long it was open in time, where that can be trusted; waiting after its answer is no part of it.
    pub seconds: Option<f64>,
}

/// The time of a sitting.
#[derive(Clone, Debug, PartialEq)]
pub struct Timing {
    /// An even share of the time before extra time, in seconds.
    pub share: f64,
    /// The extra time, in percent.
    pub extra_percent: Mark,
    /// Whether its times can be used.
    pub trust: Trust,
    /// The shortest time, in seconds, in which a question is worked on (a threshold).
    pub glance: f64,
    /// Whether it was finished well before time was up (a threshold).
    pub early: bool,
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
    /// Why it is no whole sitting of its paper, where it is none.
    pub not_whole: Option<Exclusion>,
    /// Its time, and what its times are worth.
    pub timing: Timing,
    /// The marks.
    pub totals: Totals,
    /// Its questions; void ones are left out.
    pub answers: Vec<Seen>,
    /// The fingerprints of the questions' words, where the log or the paper at hand has any: what makes a question
    /// the same one on another paper.
    pub texts: BTreeMap<QuestionNo, Fingerprint>,
}

impl Evidence {
    /// Whether it is a whole sitting of its paper, in the paper's own time.
    pub const fn is_whole(&self) -> bool {
        self.not_whole.is_none()
    }

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
        let short = paper.is_some_and(|paper| is_short(header, paper));
        let short = short.then_some(Exclusion::ShortTime);
        let standard = paper.map_or(header.standard, |paper| paper.allowed);
        let answers = marks.in_time.questions.iter();
        let text = |number: QuestionNo| {
            let own = header.question_fingerprints.get(&number).cloned();
            let own = own.or_else(|| paper?.question(number)?.text_fingerprint())?;
            Some((number, own))
        };
        let limits = analysis.limits();
        let spare = analysis.unused();
        Some(Self {
            sitting: header.sitting.clone(),
            pupil: header.pupil.clone(),
            paper: PaperId::of(&header.paper),
            started: header.started,
            not_whole: (!is_whole(header)).then_some(Exclusion::Part).or(short),
            timing: Timing {
                share: standard.as_seconds() / f64::from(questions.max(1)),
                extra_percent: header.arrangements.extra_percent,
                trust: analysis.trust().clone(),
                glance: limits.span(Limit::RushedFloorSeconds).as_seconds(),
                early: spare.is_some_and(|left| left >= limits.span(Limit::EarlySeconds)),
            },
            totals: marks.totals(),
            answers: answers.filter_map(|own| seen(analysis, own)).collect(),
            texts: header.paper.numbers().filter_map(text).collect(),
        })
    }
}

impl Seen {
    /// Whether an answer was given that nobody called a guess.
    pub const fn is_answered(&self) -> bool {
        matches!(self.done, Done::Right | Done::Wrong)
    }
}

/// Where a question stands in a paper of so many, from 0 to 1.
pub fn place(number: QuestionNo, questions: u16) -> f64 {
    (real(number.index()) + 0.5) / f64::from(questions.max(1))
}

fn seen(analysis: &Analysis, question: &QuestionMark) -> Option<Seen> {
    let number = question.answer.number;
    Some(Seen {
        number,
        place: place(number, analysis.header().paper.questions),
        done: done(question)?,
        seconds: analysis.time_on(number).map(Elapsed::as_seconds),
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
