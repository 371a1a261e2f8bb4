//! A sitting that counts, as the model takes it in.

use super::priors::{HabitPriors, Priors};
use super::response::{Response, responses};
use crate::analysis::evidence::Evidence;
use crate::season::estimate::scale::DifficultyScale;
use crate::season::familiarity::{MetQuestions, Questions};
use crate::stats::ability::Try;
use crate::stats::real;

/// A sitting that counts.
#[derive(Clone, Debug)]
pub(super) struct Past {
    /// The questions got to, and whether each was solved.
    pub(super) tries: Vec<Try>,
    /// How far it may lie from the pupil's level for other reasons than the day (SD).
    pub(super) apart: f64,
    /// How many questions it had, and how many of them were not got to.
    pub(super) questions: usize,
    pub(super) unreached: usize,
    habits: HabitCounts,
}

/// What became of the questions that were not solved.
#[derive(Clone, Copy, Debug, Default)]
struct HabitCounts {
    unreached_filled: usize,
    wrong: usize,
    left: usize,
    left_filled: usize,
}

/// How likely it is what becomes of a question that is not solved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Habits {
    /// That all that was not got to is filled in.
    pub fill: f64,
    /// That what was left is filled in.
    pub left: f64,
    /// That what was got to and not solved is answered rather than left.
    pub wrong: f64,
}

impl Past {
    pub(super) fn of(
        one: &Evidence,
        scale: &DifficultyScale,
        met: &MetQuestions,
        priors: &Priors,
    ) -> Self {
        let became = responses(one);
        let asked = Questions::of_evidence(one);
        let met: Vec<bool> = met.hold(&asked).collect();
        let (mut tries, mut again) = (Vec::new(), 0);
        let mut habits = HabitCounts::default();
        for ((seen, became), met) in one.answers.iter().zip(&became).zip(met) {
            match became {
                Response::Right => {}
                Response::Wrong => habits.wrong += 1,
                Response::Left { filled } => {
                    habits.left += 1;
                    habits.left_filled += usize::from(*filled);
                }
                Response::Unreached { filled } => {
                    habits.unreached_filled += usize::from(*filled);
                    continue;
                }
            }
            again += usize::from(met);
            let found = scale.measured(&one.paper, seen.number);
            let found = found.unwrap_or_else(|| priors.difficulty.at(seen.place));
            tries.push(Try {
                difficulty: priors.eased(found, met),
                success: *became == Response::Right,
            });
        }
        let share = real(again) / real(tries.len().max(1));
        let paper = if scale.holds(&one.paper) {
            0.0
        } else {
            priors.paper
        };
        Self {
            apart: paper.hypot(priors.met.1 * share),
            questions: became.len(),
            unreached: became.len() - tries.len(),
            tries,
            habits,
        }
    }

    /// One of these tries, all questions got to.
    #[cfg(test)]
    pub(super) fn made_up(tries: Vec<Try>, apart: f64) -> Self {
        Self {
            apart,
            questions: tries.len(),
            unreached: 0,
            tries,
            habits: HabitCounts::default(),
        }
    }

    /// How far the pupil got, as a share of the paper.
    pub(super) fn reach(&self) -> f64 {
        real(self.tries.len()) / real(self.questions.max(1))
    }
}

impl Habits {
    /// After these sittings.
    pub(super) fn after(past: &[Past], priors: HabitPriors) -> Self {
        let (mut fill, mut left, mut wrong) = (priors.fill, priors.left, priors.wrong);
        for own in past {
            let HabitCounts {
                unreached_filled,
                wrong: answered,
                left: skipped,
                left_filled,
            } = own.habits;
            if own.unreached > 0 {
                // A day's habit: all are filled, or none.
                let yes = 2 * unreached_filled >= own.unreached;
                fill.0 += f64::from(u8::from(yes));
                fill.1 += f64::from(u8::from(!yes));
            }
            left.0 += real(left_filled);
            left.1 += real(skipped - left_filled);
            wrong.0 += real(answered);
            wrong.1 += real(skipped);
        }
        let mean = |(yes, no): (f64, f64)| yes / (yes + no);
        Self {
            fill: mean(fill),
            left: mean(left),
            wrong: mean(wrong),
        }
    }
}
