//! Papers on one scale: questions of several papers calibrated together, as far as common pupils or common
//! questions link them.
//!
//! A question is the same one wherever its words, figure and options are; one without words is its paper's alone.
//! Forecasts use the difficulties, and so does progress, which counts otherwise: see [`Counting`].
//!
//! - `item` what makes a question the same one, and which answers count.
//! - `rows` what each pupil did, and which papers hang together.
//! - `equating` how much harder a paper is, where nothing can be calibrated.

pub mod equating;
mod item;
mod rows;

pub use item::{Counting, ItemId};

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use crate::analysis::evidence::Evidence;
use crate::cohort::prior_means;
use crate::domain::paper::PaperId;
use crate::domain::rule::QuestionNo;
use crate::stats::rasch::{Answers, Calibration, ItemMeasure, Shortage, Unmeasured, calibrate};
use crate::stats::summary::mean;

/// Fewer people who count say nothing of a question (a calibration of a handful is mostly its errors).
pub const FEWEST_PEOPLE: usize = 5;

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
    Measured(ItemMeasure),
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
    found: Calibration,
    /// From the scale of the calibration, whose middle is 0, to that of the defaults.
    shift: f64,
    /// How many pupils the difficulties rest on: those with some right and some not.
    pub people: usize,
    /// The papers on the scale.
    pub papers: BTreeSet<PaperId>,
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
        let mut evidence = rows::together(evidence, wanted);
        evidence.sort_by_key(|one| one.started);
        let mut items = BTreeMap::<ItemId, (usize, f64)>::new();
        for one in &evidence {
            for seen in one
                .answers
                .iter()
                .filter(|seen| counting.right(seen).is_some())
            {
                let item = ItemId::of(one, seen.number);
                let next = items.len();
                items.entry(item).or_insert((next, seen.place));
            }
        }
        let pupils = rows::pupils(&evidence, counting);
        if pupils.len() < FEWEST_PEOPLE {
            return Err(Lack::FewPupils {
                found: pupils.len(),
            });
        }
        let between = pupils.values().filter(|own| rows::is_between(own)).count();
        if between < FEWEST_PEOPLE {
            return Err(Lack::FewBetween { found: between });
        }
        let mut answers = Answers::new(items.len());
        for part in pupils.values().flat_map(rows::parts) {
            let mut row = vec![None; items.len()];
            for (item, right) in part {
                let slot = items.get(item).and_then(|(at, _)| row.get_mut(*at));
                if let Some(slot) = slot {
                    *slot = Some(right);
                }
            }
            // Every row has the length that the counting was made for.
            let _counted = answers.add(&row);
        }
        let found = calibrate(&answers).map_err(Lack::Answers)?;
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
            papers: evidence.iter().map(|one| one.paper.clone()).collect(),
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
            Ok(measured) => Some(ItemDifficulty::Measured(ItemMeasure {
                difficulty: measured.difficulty + self.shift,
                ..*measured
            })),
            Err(Unmeasured::AllRight) => Some(ItemDifficulty::AllRight(self.people)),
            Err(Unmeasured::NoneRight) => Some(ItemDifficulty::NoneRight(self.people)),
            Err(_) => None,
        }
    }

    /// Every measured question of every paper, with its place where it first stood.
    pub fn measured(&self) -> impl Iterator<Item = (&ItemId, f64, ItemMeasure)> {
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

#[cfg(test)]
mod tests;
