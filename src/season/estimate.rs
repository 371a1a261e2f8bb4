//! What a pupil's sittings say of the next paper, and what that rests on.
//!
//! Few sittings say little, so every figure is drawn towards what others did (the group: other pupils' sittings
//! in the same folder), and that towards a stated default. How far is a weight that goes with the figure.
//!
//! - `scale` how hard each question is.
//! - `times` how long each question takes.
//! - `people` what the others' levels are like.
//! - [`super::model`] how good the pupil is, how far they get, what they do with blanks.

mod people;
pub mod scale;
pub mod times;
mod weights;

pub use weights::ShrinkageWeights;

use super::familiarity::{Familiarity, MetInPractice, MetSoFar, Questions};
use super::model::{Priors, PupilModel, Response, by_time, in_order, responses};
use crate::analysis::Trust;
use crate::analysis::evidence::Evidence;
use crate::cohort::prior_means;
use crate::cohort::scale::{Indexed, ItemIndex, LatestCalibrations};
use crate::domain::header::Alias;
use crate::domain::mark::Mark;
use crate::domain::paper::Paper;
use crate::domain::standing::Exclusion;
use crate::stats::ability::fit_prior;
use crate::stats::shrink;
use crate::stats::summary::mean;
use people::People;
use scale::DifficultyScale;
use times::Times;

/// Fewer whole sittings of different questions say too little of the next one.
pub const FEWEST_SITTINGS: usize = 2;

/// Fewer answers worked out than this, in all sittings together, hardly move the default (common practice, no source).
const FEW_WORKED: usize = 20;

/// Everything that sittings say of one pupil and one paper.
#[derive(Clone, Debug)]
pub struct Estimates {
    /// Whose.
    pub pupil: Alias,
    /// The pupil's sittings that a key has marked.
    pub counted: Counted,
    /// How many of the paper's questions were met in them or in practice.
    pub familiarity: Familiarity,
    /// How many other pupils' sittings counted, and of how many pupils.
    pub group_sittings: usize,
    /// See [`Estimates::group_sittings`].
    pub group_pupils: usize,
    /// The extra time of the pupil's last timed sitting, in percent.
    pub extra_percent: Mark,
    /// How hard the questions are.
    pub scale: DifficultyScale,
    /// What the pupil is like.
    pub model: PupilModel,
    /// How much of what is known of the pupil's level comes from where.
    pub weights: ShrinkageWeights,
    /// Times.
    pub times: Times,
}

/// Which of a pupil's marked sittings an estimate rests on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Counted {
    /// How many were marked.
    pub marked: usize,
    /// How many of them are whole: these count.
    pub whole: usize,
    /// How many of those have questions that were mostly new.
    pub fresh: usize,
    /// Why the others do not count.
    pub left_out: Vec<Exclusion>,
    /// How many questions were worked out in those that count.
    pub worked: usize,
    /// How many of those that count have times that cannot be trusted.
    pub times_withheld: usize,
    /// Their marks in time, each with the most there was.
    pub marks: Vec<(Mark, Mark)>,
    /// Whether time was left over in the last one.
    pub time_left: bool,
}

impl Estimates {
    /// Draws on all evidence; `None` only where the defaults themselves are unsound.
    pub fn new(
        pupil: &Alias,
        paper: &Paper,
        evidence: &[Evidence],
        practised: &MetInPractice,
    ) -> Option<Self> {
        Self::with(&Priors::default(), pupil, paper, evidence, practised)
    }

    /// The same with other things taken for granted.
    pub fn with(
        priors: &Priors,
        pupil: &Alias,
        paper: &Paper,
        evidence: &[Evidence],
        practised: &MetInPractice,
    ) -> Option<Self> {
        let index = ItemIndex::new(evidence);
        let sittings = index.sittings().iter();
        let (own, group): (Vec<_>, Vec<_>) = sittings.partition(|one| one.evidence.pupil == *pupil);
        let met = practised.met_by(pupil);
        let counted = Counted::of(&in_order(&evidence_of(&own)), met.clone());
        let mut known = WorkedOut::of(&index);
        let (scale, model) = known.of_pupil(&own, &group, met, paper, priors)?;
        let group_pupils = known.people.likelihoods().len();
        let (own, group) = (in_order(&evidence_of(&own)), evidence_of(&group));
        let mut timed = own
            .iter()
            .rev()
            .filter(|one| one.timing.trust != Trust::NoTimes);
        Some(Self {
            pupil: pupil.clone(),
            counted,
            familiarity: Familiarity::among(&Questions::of_paper(paper), model.met()),
            group_sittings: group.len(),
            group_pupils,
            extra_percent: timed
                .next()
                .map_or(Mark::ZERO, |one| one.timing.extra_percent),
            times: Times::new(paper, &own, &group),
            weights: weights(&model, group_pupils),
            scale,
            model,
        })
    }

    /// Whether there is enough to say anything of the next mark.
    pub const fn are_enough(&self) -> bool {
        self.counted.are_enough()
    }

    /// Whether so few answers were worked out that this has to be said before everything else.
    pub const fn rest_on_few(&self) -> bool {
        self.counted.worked < FEW_WORKED
    }
}

/// What was worked out of a group for one pupil, kept for what is worked out next for the same one.
pub(super) struct WorkedOut<'i, 'a> {
    index: &'i ItemIndex<'a>,
    latest: LatestCalibrations,
    people: People<'a>,
}

impl<'i, 'a> WorkedOut<'i, 'a> {
    /// Nothing yet.
    pub(super) fn of(index: &'i ItemIndex<'a>) -> Self {
        Self {
            index,
            latest: LatestCalibrations::default(),
            people: People::default(),
        }
    }

    /// The questions on one scale and the pupil on it, from the pupil's own sittings and the others'.
    pub(super) fn of_pupil(
        &mut self,
        own: &[&Indexed<'a>],
        group: &[&Indexed<'a>],
        met: MetSoFar<'_>,
        paper: &Paper,
        priors: &Priors,
    ) -> Option<(DifficultyScale, PupilModel)> {
        let mut in_order = own.to_vec();
        in_order.sort_by(|one, other| by_time(one.evidence, other.evidence));
        let scale = DifficultyScale::new(self.index, &in_order, group, paper, &mut self.latest);
        self.people.take_in(group, &scale, priors);
        let people = self.people.likelihoods();
        let level = fit_prior(people, priors.level, prior_means::PUPILS_STRENGTH);
        let priors = Priors {
            level,
            ..priors.clone()
        };
        let model = PupilModel::new(&evidence_of(&in_order), met, &scale, &priors)?;
        Some((scale, model))
    }
}

/// What these sittings say.
pub(super) fn evidence_of<'a>(those: &[&Indexed<'a>]) -> Vec<&'a Evidence> {
    those.iter().map(|one| one.evidence).collect()
}

impl Counted {
    /// Whether there is enough to say anything of the next mark.
    pub const fn are_enough(&self) -> bool {
        self.fresh >= FEWEST_SITTINGS && self.worked > 0
    }

    /// The plain average of the marks in time, on a paper of this most.
    pub fn average_of(&self, max: Mark) -> Option<f64> {
        let own = self.marks.iter().filter(|(_, most)| *most > Mark::ZERO);
        let shares: Vec<f64> = own
            .map(|(mark, most)| mark.to_f64() / most.to_f64())
            .collect();
        Some(mean(&shares)? * max.to_f64())
    }

    /// Of a pupil's sittings, in order of time.
    pub(super) fn of(own: &[&Evidence], mut met: MetSoFar<'_>) -> Self {
        let mut counted = Self {
            marked: own.len(),
            ..Self::default()
        };
        for one in own {
            let asked = Questions::of_evidence(one);
            if let Some(reason) = one.not_whole {
                counted.left_out.push(reason);
            } else {
                let again = Familiarity::among(&asked, met.before(one.started)).is_sat_before();
                counted.whole += 1;
                counted.fresh += usize::from(!again);
                let worked = |own: &Response| matches!(own, Response::Right | Response::Wrong);
                counted.worked += responses(one).into_iter().filter(worked).count();
                counted.times_withheld +=
                    usize::from(matches!(one.timing.trust, Trust::Withheld { .. }));
                counted.marks.push((one.totals.in_time, one.totals.max));
                counted.time_left = one.timing.early;
            }
            met.sat(&asked);
        }
        counted
    }
}

/// What the variance has shrunk by is what the pupil's own answers say.
fn weights(model: &PupilModel, group_pupils: usize) -> ShrinkageWeights {
    let (_, sd) = model.level.mean_and_sd();
    let own = (1.0 - (sd / model.level.sd_before()).powi(2)).clamp(0.0, 1.0);
    let of_group = shrink::weight(group_pupils, prior_means::PUPILS_STRENGTH);
    ShrinkageWeights {
        own,
        group: (1.0 - own) * of_group,
        default: (1.0 - own) * (1.0 - of_group),
    }
}

#[cfg(test)]
mod tests;
