//! The mark that a pupil may get on the next paper, and the chance of each award.
//!
//! The distribution is the model's ([`super::model`]), going through the paper in order; where the boundaries will lie
//! is not known either: each past year's is as likely as the next. What is forecast is the mark in time; a guess round
//! after time up is no part of it.

use std::collections::BTreeSet;

use serde::Serialize;

use super::estimate::Estimates;
use super::estimate::scale::DifficultyScale;
use super::mark_range::middle;
use super::model::{Filling, PaperAhead, PupilModel};
use crate::domain::mark::Mark;
use crate::domain::paper::Paper;
use crate::domain::rule::{QuestionNo, Section};
use crate::stats::beta::reach_any;
use crate::stats::luck::Distribution;

/// Where an award's boundaries come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum BoundarySource {
    /// Past years'.
    Past,
    /// The paper's own, since there are no past ones.
    Own,
}

/// The chance of one award or a better one.
#[derive(Clone, Debug, PartialEq)]
pub struct AwardChance {
    /// The award.
    pub name: String,
    /// The chance.
    pub chance: f64,
    /// The boundaries averaged over.
    pub boundaries: Vec<Mark>,
    /// Where they come from.
    pub lines: BoundarySource,
}

/// What the next paper may bring.
#[derive(Clone, Debug, PartialEq)]
pub struct Forecast {
    /// The distribution of the mark, in grid steps.
    pub marks: Distribution,
    /// Steps to the mark.
    pub grid: i64,
    /// The most that the paper can give.
    pub max: Mark,
    /// The awards, lowest boundary first.
    pub awards: Vec<AwardChance>,
    /// The mark to expect with the questions met before taken as easier, where at least half of the paper was met: the
    /// forecast then takes all of them as new.
    pub met_expected: Option<f64>,
}

impl Forecast {
    /// Forecasts a paper for a pupil, however little is known; whether that is enough to tell anybody is for
    /// [`Estimates::are_enough`] to say. `None` only where the rule's marks are too fine to compute with.
    pub fn new(paper: &Paper, estimates: &Estimates) -> Option<Self> {
        let as_new = ahead(paper, estimates)?;
        let met_expected = if estimates.familiarity.is_sat_before() {
            let met = estimates.model.before(paper, &estimates.scale, false)?;
            let marks = met.marks(&met.in_order(), Filling::Usual, None)?;
            Some(marks.mean() / crate::stats::steps(met.grid))
        } else {
            None
        };
        Some(Self {
            met_expected,
            ..Self::with_sure(paper, &as_new, None)?
        })
    }

    /// The same with the questions met before taken as easier, however many they are.
    pub fn with_met(paper: &Paper, model: &PupilModel, scale: &DifficultyScale) -> Option<Self> {
        let met = model.before(paper, scale, false)?;
        Self::with_sure(paper, &met, None)
    }

    /// The same of a paper that is laid out already, when one question is sure to be right.
    pub(super) fn with_sure(
        paper: &Paper,
        ahead: &PaperAhead,
        sure: Option<QuestionNo>,
    ) -> Option<Self> {
        let rule = &paper.outline.rule;
        let marks = ahead.marks(&ahead.in_order(), Filling::Usual, sure)?;
        let best = |section: &Section| {
            section.best() * (i64::from(section.last.0) - i64::from(section.first.0) + 1)
        };
        Some(Self {
            grid: ahead.grid,
            max: rule.start + rule.sections.iter().map(best).sum(),
            awards: awards(paper, &marks, ahead.grid),
            marks,
            met_expected: None,
        })
    }

    /// The expected mark and its standard deviation.
    pub fn expected(&self) -> (f64, f64) {
        let grid = crate::stats::steps(self.grid);
        (self.marks.mean() / grid, self.marks.sd() / grid)
    }

    /// The chance of a mark or more.
    pub fn chance_of(&self, mark: Mark) -> f64 {
        self.marks.at_least(steps_to_reach(mark, self.grid))
    }

    /// The marks between which the next one lies in 80 of 100 cases.
    pub fn range(&self) -> Option<(Mark, Mark)> {
        middle(&self.marks, self.grid)
    }
}

/// The paper before the pupil: with at least half of it met, all questions count as new, since a mark on them would say
/// little of the next paper; else those that were met count as easier.
pub fn ahead(paper: &Paper, estimates: &Estimates) -> Option<PaperAhead> {
    let as_new = estimates.familiarity.is_sat_before();
    estimates.model.before(paper, &estimates.scale, as_new)
}

/// The fewest steps that reach a mark.
pub(super) fn steps_to_reach(mark: Mark, grid: i64) -> i64 {
    let whole = mark * grid;
    let denominator = whole.denominator();
    whole.steps(denominator).map_or(i64::MAX, |steps| {
        steps.div_euclid(denominator) + i64::from(steps.rem_euclid(denominator) != 0)
    })
}

fn awards(paper: &Paper, marks: &Distribution, grid: i64) -> Vec<AwardChance> {
    let own: Vec<_> = paper
        .outline
        .awards
        .iter()
        .map(|award| (award.name.as_str(), Some(award.boundary)))
        .collect();
    // An award that has only past boundaries counts too.
    let past: BTreeSet<&str> = paper
        .past
        .iter()
        .flat_map(|year| year.boundaries.keys().map(String::as_str))
        .collect();
    let only_past = past
        .into_iter()
        .filter(|name| own.iter().all(|(known, _)| known != name))
        .map(|name| (name, None));
    let only_past: Vec<_> = only_past.collect();
    let mut awards: Vec<_> = own
        .into_iter()
        .chain(only_past)
        .map(|(name, own)| award(paper, name, own, marks, grid))
        .collect();
    awards.sort_by_key(|award| award.boundaries.iter().min().copied());
    awards
}

fn award(
    paper: &Paper,
    name: &str,
    own: Option<Mark>,
    marks: &Distribution,
    grid: i64,
) -> AwardChance {
    let past: Vec<Mark> = paper
        .past
        .iter()
        .filter_map(|year| year.boundaries.get(name).copied())
        .collect();
    let lines = if past.is_empty() {
        BoundarySource::Own
    } else {
        BoundarySource::Past
    };
    let boundaries: Vec<Mark> = if past.is_empty() {
        own.into_iter().collect()
    } else {
        past
    };
    let steps: Vec<i64> = boundaries
        .iter()
        .map(|line| steps_to_reach(*line, grid))
        .collect();
    AwardChance {
        name: name.to_owned(),
        chance: reach_any(marks, &steps).unwrap_or_default().min(1.0),
        boundaries,
        lines,
    }
}
