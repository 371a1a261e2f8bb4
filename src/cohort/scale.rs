//! Papers on one scale: questions of several papers calibrated together, as far as common pupils or common
//! questions link them.
//!
//! A question is the same one wherever its words, figure and options are; one without words is its paper's alone.
//! Forecasts use the difficulties, and so does progress, which counts otherwise: see [`Counting`].
//!
//! - `item` what makes a question the same one, and which answers count.
//! - `index` a group's sittings with their questions by number.
//! - `rows` what each pupil did, and which papers hang together.
//! - `equating` how much harder a paper is, where nothing can be calibrated.

pub mod equating;
mod index;
mod item;
mod rows;

pub use index::{Indexed, ItemIndex};
pub use item::{Counting, ItemId};

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::sync::Arc;

use crate::analysis::evidence::Evidence;
use crate::cohort::prior_means;
use crate::domain::paper::PaperId;
use crate::domain::rule::QuestionNo;
use crate::stats::rasch::{Answers, Difficulties, Placed, Shortage, Unmeasured, difficulties};
use crate::stats::summary::mean;

/// Fewer people who count say nothing of a question (a calibration of a handful is mostly its errors).
pub const FEWEST_PEOPLE: usize = 5;

/// How many calibrations are remembered: that of all papers that hang together, and that of one alone.
const LATEST: usize = 2;

/// Why papers have no common scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Lack {
    /// Too few pupils have sat papers that hang together.
    FewPupils {
        /// How many.
        found: usize,
    },
    /// Too few of them got some right and some wrong.
    FewBetween {
        /// How many.
        found: usize,
    },
    /// The answers do not allow it.
    Answers(Shortage),
}

impl fmt::Display for Lack {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let only = |found: &usize| match found {
            0 => "no other pupil".to_owned(),
            1 => "only 1 other pupil".to_owned(),
            found => format!("only {found} other pupils"),
        };
        match self {
            Self::FewPupils { found } => write!(
                f,
                "{} with marked sittings can be set side by side, and it takes {FEWEST_PEOPLE}",
                only(found)
            ),
            Self::FewBetween { found } => write!(
                f,
                "{} got some questions right and some not, and it takes {FEWEST_PEOPLE}",
                only(found)
            ),
            Self::Answers(why) => why.fmt(f),
        }
    }
}

impl std::error::Error for Lack {}

/// How hard a question was found to be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ItemDifficulty {
    /// So hard.
    Measured(Placed),
    /// All of so many people had it right: very easy, and no more can be said.
    AllRight(usize),
    /// None of so many people had it right: very hard, and no more can be said.
    NoneRight(usize),
}

/// The questions of the papers that hang together, with their difficulties.
#[derive(Clone, Debug)]
pub struct ScaleCalibration {
    /// Which question is which of the calibration, with its place in the paper where it first stood.
    items: BTreeMap<ItemId, (usize, f64)>,
    found: Arc<Difficulties>,
    /// From the scale of the calibration, whose middle is 0, to that of the defaults.
    shift: f64,
    /// How many pupils the difficulties rest on: those with some right and some not.
    pub people: usize,
    /// The papers on the scale.
    pub papers: BTreeSet<PaperId>,
}

/// Calibrations that were made a moment ago: one group looked at day by day often gives the same answers again.
#[derive(Debug, Default)]
pub struct LatestCalibrations(Vec<(Answers, Result<Arc<Difficulties>, Shortage>)>);

impl LatestCalibrations {
    /// The calibration of these answers, the same as ever.
    fn of(&mut self, answers: Answers) -> Result<Arc<Difficulties>, Shortage> {
        if let Some((_, known)) = self.0.iter().find(|(own, _)| *own == answers) {
            return known.clone();
        }
        let found = difficulties(&answers).map(Arc::new);
        self.0.truncate(LATEST - 1);
        self.0.insert(0, (answers, found.clone()));
        found
    }
}

impl ScaleCalibration {
    /// Calibrates by conditional maximum likelihood all papers that hang together with the first of `wanted` that
    /// anybody has sat.
    ///
    /// # Errors
    /// Too few pupils, or answers that cannot be calibrated.
    pub fn new(
        evidence: &[&Evidence],
        wanted: &[&PaperId],
        counting: Counting,
    ) -> Result<Self, Lack> {
        let index = ItemIndex::new(evidence.iter().copied());
        let all: Vec<_> = index.sittings().iter().collect();
        Self::among(
            &index,
            &all,
            wanted,
            counting,
            &mut LatestCalibrations::default(),
        )
    }

    /// The same of some of an index's sittings.
    ///
    /// # Errors
    /// The same.
    pub fn among(
        index: &ItemIndex<'_>,
        those: &[&Indexed<'_>],
        wanted: &[&PaperId],
        counting: Counting,
        latest: &mut LatestCalibrations,
    ) -> Result<Self, Lack> {
        let mut those = rows::together(those, wanted, index.items());
        those.sort_by_key(|one| one.evidence.started);
        // Which question is which of the calibration, with its place in the paper where it first stood.
        let mut slots: Vec<Option<(usize, f64)>> = vec![None; index.items()];
        let mut count = 0;
        for one in &those {
            let answers = one.items.iter().zip(&one.evidence.answers);
            for (item, seen) in answers.filter(|(_, seen)| counting.right(seen).is_some()) {
                if let Some(slot) = slots.get_mut(*item).filter(|slot| slot.is_none()) {
                    *slot = Some((count, seen.place));
                    count += 1;
                }
            }
        }
        let pupils = rows::pupils(&those, counting, index.items());
        if pupils.len() < FEWEST_PEOPLE {
            return Err(Lack::FewPupils {
                found: pupils.len(),
            });
        }
        let between = pupils.values().filter(|own| rows::is_between(own)).count();
        if between < FEWEST_PEOPLE {
            return Err(Lack::FewBetween { found: between });
        }
        let mut answers = Answers::new(count);
        for part in pupils.values().flat_map(rows::parts) {
            let mut row = vec![None; count];
            for (item, right) in part {
                let at = slots.get(item).copied().flatten().map(|(at, _)| at);
                if let Some(slot) = at.and_then(|at| row.get_mut(at)) {
                    *slot = Some(right);
                }
            }
            // Every row has the length that the counting was made for.
            let _counted = answers.add(&row);
        }
        let found = latest.of(answers).map_err(Lack::Answers)?;
        let items = slots.iter().enumerate();
        let items = items.filter_map(|(item, slot)| Some((index.id(item)?.clone(), (*slot)?)));
        let items: BTreeMap<ItemId, (usize, f64)> = items.collect();
        let gaps = items.values().filter_map(|(at, place)| {
            let measured = found.items.get(*at)?.as_ref().ok()?;
            Some(prior_means::difficulty(*place).mean - measured.difficulty)
        });
        let shift = mean(&gaps.collect::<Vec<_>>()).unwrap_or(0.0);
        Ok(Self {
            items,
            found,
            shift,
            people: between,
            papers: papers(&those),
        })
    }

    /// How hard a question of a sitting is, on the scale of the defaults.
    pub fn difficulty(&self, one: &Evidence, number: QuestionNo) -> Option<ItemDifficulty> {
        self.difficulty_of(&ItemId::of(one, number))
    }

    /// Whether at least half of a sitting's questions have their place on the scale.
    pub fn holds(&self, one: &Evidence) -> bool {
        self.places(one).len() * 2 >= one.answers.len().max(1)
    }

    /// Where a sitting's questions stand in the calibration.
    fn places(&self, one: &Evidence) -> Vec<usize> {
        let items = one.answers.iter().map(|seen| ItemId::of(one, seen.number));
        items
            .filter_map(|item| self.items.get(&item).map(|(at, _)| *at))
            .collect()
    }

    fn difficulty_of(&self, item: &ItemId) -> Option<ItemDifficulty> {
        let (at, _) = self.items.get(item)?;
        match self.found.items.get(*at)? {
            Ok(measured) => Some(ItemDifficulty::Measured(Placed {
                difficulty: measured.difficulty + self.shift,
                ..*measured
            })),
            Err(Unmeasured::AllRight) => Some(ItemDifficulty::AllRight(self.people)),
            Err(Unmeasured::NoneRight) => Some(ItemDifficulty::NoneRight(self.people)),
            Err(_) => None,
        }
    }

    /// Every measured question of every paper, with its place where it first stood.
    pub fn measured(&self) -> impl Iterator<Item = (&ItemId, f64, Placed)> {
        self.items
            .iter()
            .filter_map(|(item, (_, place))| match self.difficulty_of(item)? {
                ItemDifficulty::Measured(found) => Some((item, *place, found)),
                ItemDifficulty::AllRight(_) | ItemDifficulty::NoneRight(_) => None,
            })
    }

    /// The standard error of the distance between the mean difficulties of two sittings' papers; 0 for the same
    /// questions.
    pub fn link_error(&self, one: &Evidence, other: &Evidence) -> Option<f64> {
        self.found
            .distance_error(&self.places(one), &self.places(other))
    }
}

/// The papers of these sittings.
fn papers(those: &[&Indexed<'_>]) -> BTreeSet<PaperId> {
    let mut papers: Vec<_> = those
        .iter()
        .map(|one| (one.paper, &one.evidence.paper))
        .collect();
    papers.sort_unstable_by_key(|(number, _)| *number);
    papers.dedup_by_key(|(number, _)| *number);
    papers.into_iter().map(|(_, paper)| paper.clone()).collect()
}

#[cfg(test)]
mod tests;
