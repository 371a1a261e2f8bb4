//! One model of a pupil, behind every forecast, plan and chance.
//!
//! Each question has a difficulty, from its place or from the group's answers, and the pupil a level; together they
//! give the chance that a question that is got to is solved (Rasch's model, the difficulty averaged over). The level
//! is read from all sittings: it moves by practice and a small steady growth, and each sitting lies off it by a day
//! whose size is learnt from the pupil's own jumps. How far the pupil gets and what they do with blanks come from
//! the sittings too; questions met before count as easier. The mark of the next paper is averaged over everything
//! that is not known, exactly up to the slices in which that is laid out.
//!
//! - [`Priors`] what is taken for granted.
//! - [`Response`] what became of each question, as the model counts it.
//! - [`Level`], [`Reach`], [`Habits`] what the sittings say of the pupil.
//! - [`PaperAhead`] a paper before the pupil, and its mark.

mod level;
pub(super) mod paper;
mod past;
pub(super) mod priors;
mod reach;
mod response;

pub use level::Level;
pub use paper::{ExpectedGain, Filling, PaperAhead, QuestionAhead, Way, reached};
pub use past::Habits;
pub use priors::{HabitPriors, Priors, QUESTIONS_A_LOGIT};
pub use reach::Reach;
pub use response::{Response, responses};

use std::cmp::Ordering;

use past::Past;

use super::estimate::scale::DifficultyScale;
use super::familiarity::{MetQuestions, MetSoFar, Questions};
use super::hindsight::held::Widening;
use crate::analysis::evidence::Evidence;
use crate::domain::paper::{Paper, PaperId};
use crate::stats::real;

/// In how many equally likely slices level and reach are laid out.
const LEVELS: usize = 15;
const REACHES: usize = 5;

/// A pupil, as far as their sittings tell.
#[derive(Clone, Debug)]
pub struct PupilModel {
    priors: Priors,
    /// How good they are.
    pub level: Level,
    /// How far they get.
    pub reach: Reach,
    /// What they do with what they do not solve.
    pub habits: Habits,
    met: MetQuestions,
    /// By how much the marks said are widened, since too few of this group's forecasts held.
    pub widening: Option<Widening>,
}

impl PupilModel {
    /// Takes in a pupil's own sittings, whatever their order; those that are not whole only say which questions were
    /// met, as does practice, which is in `met` from the first. `None` where the priors are unsound.
    pub fn new(
        own: &[&Evidence],
        mut met: MetSoFar<'_>,
        scale: &DifficultyScale,
        priors: &Priors,
    ) -> Option<Self> {
        let mut past = Vec::new();
        for one in in_order(own) {
            if one.is_whole() {
                let earlier = met.before(one.started);
                past.push(Past::of(one, scale, earlier, priors));
            }
            met.sat(&Questions::of_evidence(one));
        }
        Some(Self {
            level: Level::after(&past, priors)?,
            reach: Reach::after(&past, priors),
            habits: Habits::after(&past, priors.habits),
            priors: priors.clone(),
            met: met.all(),
            widening: None,
        })
    }

    /// The questions met so far.
    pub const fn met(&self) -> &MetQuestions {
        &self.met
    }

    /// A paper before this pupil, with the questions met before taken as easier, or all taken as new. `None` only
    /// where the rule's marks are too fine to compute with.
    pub fn before(
        &self,
        paper: &Paper,
        scale: &DifficultyScale,
        as_new: bool,
    ) -> Option<PaperAhead> {
        let asked = Questions::of_paper(paper);
        let met: Vec<bool> = self.met.hold(&asked).map(|met| met && !as_new).collect();
        let share = real(met.iter().filter(|met| **met).count()) / real(met.len().max(1));
        let linked = scale.holds(&PaperId::of(&paper.outline));
        let paper_sd = if linked { 0.0 } else { self.priors.paper };
        let apart = paper_sd.hypot(self.priors.met.1 * share);
        let levels = self.level.on_the_day(apart, LEVELS);
        let reaches = self.reach.slices(REACHES);
        let of_pupil = (levels, reaches, self.habits);
        let ahead = PaperAhead::new(&paper.outline, scale, &self.priors, &met, of_pupil)?;
        let wider = self.widening.map_or(1.0, |widening| widening.factor);
        Some(PaperAhead { wider, ..ahead })
    }
}

/// Which of two sittings was sat first.
pub fn by_time(one: &Evidence, other: &Evidence) -> Ordering {
    (one.started, &one.sitting).cmp(&(other.started, &other.sitting))
}

/// Sittings as they were sat.
pub fn in_order<'a>(own: &[&'a Evidence]) -> Vec<&'a Evidence> {
    let mut own = own.to_vec();
    own.sort_by(|one, other| by_time(one, other));
    own
}
