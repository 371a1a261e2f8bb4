//! The group on the same paper: how many got each question right, and how long they took.

use std::collections::BTreeMap;

use crate::analysis::Pacing;
use crate::domain::marking::{Marked, Outcome};
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::stats::{real, summary};

/// What the group did on one question.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Norm {
    /// The share that got it right; a void question has none.
    pub facility: Option<f64>,
    /// The middle of the trusted times of those who opened it.
    pub median: Option<Elapsed>,
    /// Below this an answer is rushed: a tenth of the mean time, at most 10 s (NT10).
    pub rushed_below: Option<Elapsed>,
}

/// One person of a group: a sitting with its marked sheet as it stood in time.
#[derive(Clone, Copy, Debug)]
pub struct Member<'a> {
    /// The pacing.
    pub pacing: &'a Pacing,
    /// The marked sheet, where there is a key.
    pub in_time: Option<&'a Marked>,
}

/// A group on one paper.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Group {
    /// How many people.
    pub people: usize,
    /// By question.
    pub norms: BTreeMap<QuestionNo, Norm>,
}

impl Group {
    /// Puts a group together.
    pub fn of(members: &[Member<'_>]) -> Self {
        let mut times = BTreeMap::<QuestionNo, Vec<f64>>::new();
        let mut outcomes = BTreeMap::<QuestionNo, Vec<Outcome>>::new();
        for member in members {
            let opened = member.pacing.questions.iter();
            for pace in opened.filter(|pace| pace.opened.is_some()) {
                if let Some(time) = member.pacing.time_of(pace.number) {
                    let own = times.entry(pace.number).or_default();
                    own.push(time.as_seconds() * 1000.0);
                }
            }
            let marked = member.in_time.iter().flat_map(|marked| &marked.questions);
            for question in marked.filter(|question| question.outcome != Outcome::Void) {
                let own = outcomes.entry(question.answer.number).or_default();
                own.push(question.outcome);
            }
        }
        let numbers: std::collections::BTreeSet<_> =
            times.keys().chain(outcomes.keys()).copied().collect();
        let norm = |number: QuestionNo| {
            let times = times.get(&number).map(Vec::as_slice).unwrap_or_default();
            let norm = Norm {
                facility: facility(outcomes.get(&number)),
                median: summary::median(times).map(span),
                rushed_below: summary::rapid_threshold_ms(times).map(span),
            };
            (number, norm)
        };
        Self {
            people: members.len(),
            norms: numbers.into_iter().map(norm).collect(),
        }
    }

    /// What the group did on a question.
    pub fn norm(&self, question: QuestionNo) -> Norm {
        self.norms.get(&question).copied().unwrap_or_default()
    }
}

fn facility(outcomes: Option<&Vec<Outcome>>) -> Option<f64> {
    let outcomes = outcomes.filter(|outcomes| !outcomes.is_empty())?;
    let right = outcomes
        .iter()
        .filter(|outcome| **outcome == Outcome::Right);
    Some(real(right.count()) / real(outcomes.len()))
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a time of a sitting in milliseconds, never below zero"
)]
fn span(millis: f64) -> Elapsed {
    Elapsed(millis.round() as u64)
}
