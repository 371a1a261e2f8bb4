//! Where a pupil stands: in getting questions right, and in how far through a paper they get.

use std::collections::BTreeMap;

use super::scale::DifficultyScale;
use super::weights::ShrinkageWeights;
use crate::analysis::evidence::{Done, Evidence, Seen};
use crate::cohort::prior_means;
use crate::domain::header::Alias;
use crate::domain::paper::PaperId;
use crate::domain::rule::QuestionNo;
use crate::stats::ability::{Difficulty, Likelihood, Posterior, Try, fit_prior};
use crate::stats::shrink;

/// What is asked of each question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trait {
    /// Is it right, where it is worked out?
    Right,
    /// Is it worked on at all? (Whole sittings only.)
    Worked,
}

/// What is known of a pupil, and from what.
#[derive(Clone, Debug, PartialEq)]
pub struct Ability {
    kind: Trait,
    /// What is known after all sittings.
    pub posterior: Posterior,
    /// How many of the pupil's answers went into it.
    pub answers: usize,
    /// How many other pupils stand behind the prior.
    pub group_pupils: usize,
    /// Mean and SD of the prior, before the pupil's own sittings.
    pub before: (f64, f64),
    /// Where it comes from.
    pub weights: ShrinkageWeights,
}

impl Trait {
    fn outcome(self, seen: &Seen) -> Option<bool> {
        match (self, seen.done) {
            (Self::Right, Done::Right) | (Self::Worked, Done::Right | Done::Wrong) => Some(true),
            (Self::Right, Done::Wrong) | (Self::Worked, Done::Guessed | Done::Blank) => Some(false),
            (Self::Right, Done::Guessed | Done::Blank) => None,
        }
    }

    fn difficulty(
        self,
        scale: &DifficultyScale,
        paper: &PaperId,
        number: QuestionNo,
        place: f64,
    ) -> Difficulty {
        match self {
            Self::Right => scale.difficulty(paper, number, place),
            Self::Worked => prior_means::attempt(place),
        }
    }

    /// How far a sitting's own value lies from the pupil's: the day, and the paper where it is not on the scale.
    fn day(self, scale: &DifficultyScale, paper: &PaperId) -> f64 {
        match self {
            Self::Right if scale.holds(paper) => prior_means::DAY,
            Self::Right => prior_means::DAY.hypot(prior_means::PAPER),
            Self::Worked => prior_means::ATTEMPT_RATE_DAY,
        }
    }

    const fn pupils(self) -> (f64, f64) {
        match self {
            Self::Right => prior_means::PUPILS,
            Self::Worked => prior_means::ATTEMPT_RATES,
        }
    }

    fn tries(self, one: &Evidence, scale: &DifficultyScale) -> Vec<Try> {
        let counts = self == Self::Right || one.full;
        let of = |seen: &Seen| {
            let success = self.outcome(seen)?;
            Some(Try {
                difficulty: self.difficulty(scale, &one.paper, seen.number, seen.place),
                success,
            })
        };
        one.answers
            .iter()
            .filter(|_| counts)
            .filter_map(of)
            .collect()
    }
}

impl Ability {
    /// The posterior after the pupil's sittings, beginning from the group and the default.
    pub fn new(
        kind: Trait,
        own: &[&Evidence],
        group: &[&Evidence],
        scale: &DifficultyScale,
    ) -> Option<Self> {
        let likely = |one: &Evidence| {
            let tries = kind.tries(one, scale);
            (!tries.is_empty()).then(|| {
                (
                    tries.len(),
                    Likelihood::of(&tries, kind.day(scale, &one.paper)),
                )
            })
        };
        let mut people = BTreeMap::<&Alias, Likelihood>::new();
        for one in group {
            let Some((_, likely)) = likely(one) else {
                continue;
            };
            let both = people
                .get(&one.pupil)
                .map_or_else(|| likely.clone(), |known| known.and(&likely));
            people.insert(&one.pupil, both);
        }
        let group_pupils = people.len();
        let people: Vec<_> = people.into_values().collect();
        let before = fit_prior(&people, kind.pupils(), prior_means::PUPILS_STRENGTH);
        let start = Posterior::normal(before.0, before.1)?;
        let found: Vec<_> = own.iter().filter_map(|one| likely(one)).collect();
        let posterior = found.iter().fold(start.clone(), |posterior, (_, likely)| {
            posterior.after(likely)
        });
        // What the variance has shrunk by is what the pupil's own answers say.
        let own_weight = (1.0 - (posterior.sd() / start.sd()).powi(2)).clamp(0.0, 1.0);
        let of_group = shrink::weight(group_pupils, prior_means::PUPILS_STRENGTH);
        Some(Self {
            kind,
            posterior,
            answers: found.iter().map(|(count, _)| count).sum(),
            group_pupils,
            before,
            weights: ShrinkageWeights {
                own: own_weight,
                group: (1.0 - own_weight) * of_group,
                default: (1.0 - own_weight) * (1.0 - of_group),
            },
        })
    }

    /// How hard a question is for this.
    pub fn difficulty(
        &self,
        scale: &DifficultyScale,
        paper: &PaperId,
        number: QuestionNo,
        place: f64,
    ) -> Difficulty {
        self.kind.difficulty(scale, paper, number, place)
    }

    /// How far the next sitting's value may lie from the pupil's.
    pub fn day(&self, scale: &DifficultyScale, paper: &PaperId) -> f64 {
        self.kind.day(scale, paper)
    }
}
