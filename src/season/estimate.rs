//! What a pupil's sittings say of the next paper: a time and a chance for each question.
//!
//! Few sittings say little, so every figure is drawn towards what others did (the group: other pupils' sittings
//! in the same folder), and that towards a stated default. How far is a weight that goes with the figure.
//!
//! - `evidence` what one marked sitting holds.
//! - `ability` where a pupil stands on the scale of difficulties, and how far through a paper they get.
//! - `scale` how hard each question is.
//! - `times` how long each question takes.

pub mod ability;
pub mod scale;
pub mod times;
mod weights;

pub use weights::ShrinkageWeights;

use super::familiarity::{Familiarity, Questions};
use crate::analysis::Trust;
use crate::analysis::evidence::{Done, Evidence};
use crate::domain::header::Alias;
use crate::domain::mark::Mark;
use crate::domain::paper::Paper;
use crate::stats::beta::Beta;
use ability::{Ability, Trait};
use scale::DifficultyScale;
use times::Times;

/// Everything that sittings say of one pupil and one paper.
#[derive(Clone, Debug)]
pub struct Estimates {
    /// Whose.
    pub pupil: Alias,
    /// How many of the pupil's sittings counted.
    pub sittings: usize,
    /// How many of them were of a whole paper.
    pub full_sittings: usize,
    /// Whether at least half of the paper's questions were met in them.
    pub sat_before: bool,
    /// How many other pupils' sittings counted.
    pub group_sittings: usize,
    /// How many sittings of the pupil have times that cannot be trusted.
    pub times_withheld: usize,
    /// The extra time of the pupil's last timed sitting, in percent.
    pub extra_percent: Mark,
    /// How hard the questions are.
    pub scale: DifficultyScale,
    /// Chances of the answers that are worked out.
    pub ability: Ability,
    /// Chances that a question is worked on at all.
    pub attempt_rate: Ability,
    /// How likely it is that what is not worked on is guessed in time.
    pub sweeps: Beta,
    /// Times.
    pub times: Times,
}

impl Estimates {
    /// Draws on all evidence; `None` only where the defaults themselves are unsound.
    pub fn new(pupil: &Alias, paper: &Paper, evidence: &[Evidence]) -> Option<Self> {
        let (own, group): (Vec<_>, Vec<_>) = evidence.iter().partition(|one| one.pupil == *pupil);
        let met: Vec<_> = own.iter().copied().map(Questions::of_evidence).collect();
        let scale = DifficultyScale::new(&own, &group, paper);
        let ability = Ability::new(Trait::Right, &own, &group, &scale)?;
        let attempt_rate = Ability::new(Trait::Worked, &own, &group, &scale)?;
        let full = own.iter().filter(|one| one.full);
        let swept = full.clone().filter_map(|one| one.swept());
        let (swept, chances) =
            swept.fold((0, 0), |(yes, all), own| (yes + usize::from(own), all + 1));
        let timed = own.iter().filter(|one| one.trust != Trust::NoTimes);
        let newest = timed.max_by_key(|one| one.started);
        Some(Self {
            pupil: pupil.clone(),
            sittings: own.len(),
            full_sittings: full.count(),
            sat_before: Familiarity::of(&Questions::of_paper(paper), &met).is_sat_before(),
            group_sittings: group.len(),
            times_withheld: own
                .iter()
                .filter(|one| matches!(one.trust, Trust::Withheld { .. }))
                .count(),
            extra_percent: newest.map_or(Mark::ZERO, |one| one.extra_percent),
            times: Times::new(paper, &own, &group),
            scale,
            ability,
            attempt_rate,
            sweeps: Beta::new(0.5, 0.5)?.after(swept, chances),
        })
    }
}

impl Evidence {
    /// Whether at least half of what was not worked on was guessed in time; `None` where all was worked on.
    pub fn swept(&self) -> Option<bool> {
        let count = |done| self.answers.iter().filter(|seen| seen.done == done).count();
        let (guessed, blank) = (count(Done::Guessed), count(Done::Blank));
        (guessed + blank > 0).then_some(guessed >= blank)
    }
}

#[cfg(test)]
mod tests;
