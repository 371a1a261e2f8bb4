//! The group on the same paper: how many got each question right, and how long they took.

use std::collections::BTreeMap;

use super::keyed::Studied;
use crate::domain::marking::Outcome;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::stats::{real, summary};

/// What the group did on one question.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Norm {
    /// How many got it right.
    pub right: usize,
    /// Of how many whose sheet was marked; none for a void question.
    pub marked: usize,
    /// The middle of the trusted times of those who opened it.
    pub median: Option<Elapsed>,
    /// Below this an answer is rushed: a tenth of the mean time, at most 10 s (NT10).
    pub rushed_below: Option<Elapsed>,
}

impl Norm {
    /// The share that got it right; a void question has none.
    pub fn facility(&self) -> Option<f64> {
        (self.marked > 0).then(|| real(self.right) / real(self.marked))
    }
}

/// A group on one paper.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Norms {
    /// How many people.
    pub people: usize,
    /// By question.
    pub questions: BTreeMap<QuestionNo, Norm>,
}

impl Norms {
    /// Puts a group together from one sitting a person.
    pub fn of<'a>(members: impl IntoIterator<Item = &'a Studied>) -> Self {
        let mut people = 0;
        let mut times = BTreeMap::<QuestionNo, Vec<f64>>::new();
        let mut outcomes = BTreeMap::<QuestionNo, Vec<Outcome>>::new();
        for member in members {
            people += 1;
            let opened = member.analysis.questions().iter();
            for pace in opened.filter(|pace| pace.opened.is_some()) {
                if let Some(time) = member.analysis.time_on(pace.number) {
                    let own = times.entry(pace.number).or_default();
                    own.push(time.as_seconds() * 1000.0);
                }
            }
            let marked = member.marks().into_iter();
            let marked = marked.flat_map(|marks| &marks.in_time.questions);
            for question in marked.filter(|question| question.outcome != Outcome::Void) {
                let own = outcomes.entry(question.answer.number).or_default();
                own.push(question.outcome);
            }
        }
        let numbers: std::collections::BTreeSet<_> =
            times.keys().chain(outcomes.keys()).copied().collect();
        let norm = |number: QuestionNo| {
            let times = times.get(&number).map(Vec::as_slice).unwrap_or_default();
            let outcomes = outcomes.get(&number).map(Vec::as_slice).unwrap_or_default();
            let right = outcomes.iter().filter(|own| **own == Outcome::Right);
            let norm = Norm {
                right: right.count(),
                marked: outcomes.len(),
                median: summary::median(times).map(span),
                rushed_below: summary::rapid_threshold_ms(times).map(span),
            };
            (number, norm)
        };
        Self {
            people,
            questions: numbers.into_iter().map(norm).collect(),
        }
    }

    /// What the group did on a question.
    pub fn norm(&self, question: QuestionNo) -> Norm {
        self.questions.get(&question).copied().unwrap_or_default()
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a time of a sitting in milliseconds, never below zero"
)]
fn span(millis: f64) -> Elapsed {
    Elapsed(millis.round() as u64)
}
