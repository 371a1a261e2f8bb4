//! The mark that a pupil may get on the next paper, and the chance of each award.
//!
//! Three things are not known and are mixed over: where the pupil stands and how far they get (after all their
//! sittings), what the day will be like, and where the boundaries will lie (each past year's is as likely as the
//! next). What is forecast is the mark in time; a guess round after time up is no part of it.

use std::collections::BTreeSet;

use serde::Serialize;

use super::estimate::Estimates;
use super::mark_range::{is_narrow, middle};
use super::plan::steps_to_reach;
use crate::analysis::evidence::place;
use crate::cohort::prior_means;
use crate::domain::mark::Mark;
use crate::domain::paper::Paper;
use crate::domain::paper::PaperId;
use crate::domain::rule::{QuestionNo, Section};
use crate::stats::ability::{self, Difficulty, THREE};
use crate::stats::beta::reach_any;
use crate::stats::luck::{Distribution, PossibleGain, mixture};
use crate::stats::real;
use crate::stats::summary::quantile;

/// Fewer whole sittings say too little to forecast from.
pub const FEWEST_SITTINGS: usize = 2;
/// In how many equally likely slices the pupil's ability and attempt rate are laid out.
const ABILITIES: usize = 9;
const ATTEMPT_RATES: usize = 5;

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
    /// What the chance would be if all that is not known of pupil and boundary were known: four times in five
    /// it would lie between these.
    pub range: (f64, f64),
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
    /// The distribution in each equally likely case of what the pupil may be like.
    cases: Vec<Distribution>,
}

impl Forecast {
    /// Forecasts a paper for a pupil, however little is known; whether that is enough to tell anybody is for
    /// [`enough`] to say. `None` only where the rule's marks are too fine to compute with.
    pub fn new(paper: &Paper, estimates: &Estimates) -> Option<Self> {
        Self::with_sure(paper, estimates, None)
    }

    /// The same when one question is sure to be right.
    pub fn with_sure(
        paper: &Paper,
        estimates: &Estimates,
        sure: Option<QuestionNo>,
    ) -> Option<Self> {
        let rule = &paper.outline.rule;
        let grid = rule.grid()?;
        let model = PupilModel::new(paper, estimates, grid, sure)?;
        let spans = model.questions.iter();
        if !is_narrow(spans.map(|asked| Some([asked.right, asked.wrong, asked.blank]))) {
            return None;
        }
        let cases = model.cases()?;
        let parts: Vec<_> = cases.iter().map(|case| (1.0, case)).collect();
        let best = |section: &Section| {
            section.best() * (i64::from(section.last.0) - i64::from(section.first.0) + 1)
        };
        Some(Self {
            marks: mixture(&parts)?,
            grid,
            max: rule.start + rule.sections.iter().map(best).sum(),
            awards: awards(paper, &cases, grid),
            cases,
        })
    }

    /// The expected mark and its standard deviation.
    pub fn expected(&self) -> (f64, f64) {
        let grid = crate::stats::steps(self.grid);
        (self.marks.mean() / grid, self.marks.sd() / grid)
    }

    /// The chance of a mark or more, and between what it would lie in 8 of 10 cases if what the pupil is like were
    /// known.
    pub fn chance_of(&self, mark: Mark) -> (f64, (f64, f64)) {
        let line = steps_to_reach(mark, self.grid);
        let single: Vec<f64> = self.cases.iter().map(|case| case.at_least(line)).collect();
        let chance = self.marks.at_least(line).min(1.0);
        let at = |p| quantile(&single, p).unwrap_or(chance);
        (chance, (at(0.1), at(0.9)))
    }

    /// The marks between which the next one lies in 80 of 100 cases.
    pub fn range(&self) -> Option<(Mark, Mark)> {
        middle(&self.marks, self.grid)
    }
}

/// How likely each question is to be right in time, guesses counted, over all that the pupil may be like.
pub fn chances(paper: &Paper, estimates: &Estimates) -> Option<Vec<(QuestionNo, f64)>> {
    let model = PupilModel::new(paper, estimates, paper.outline.rule.grid()?, None)?;
    let cases = real(model.abilities.len() * model.attempt_rates.len());
    let of = |asked: &QuestionChances| -> f64 {
        let attempt_rates = model
            .attempt_rates
            .iter()
            .map(|attempt_rate| ability::chance(*attempt_rate, asked.attempt));
        let sums = attempt_rates.map(|worked| {
            let right = model
                .abilities
                .iter()
                .map(|ability| model.right(*ability, asked));
            let guessed = model.sweeps * (1.0 - worked) * asked.guess;
            right.map(|right| worked * right + guessed).sum::<f64>()
        });
        sums.sum::<f64>() / cases
    };
    let chances = model.questions.iter().map(of);
    Some(paper.outline.numbers().zip(chances).collect())
}

/// Whether there are sittings enough to forecast from.
pub fn enough(estimates: &Estimates) -> bool {
    estimates.full_sittings >= FEWEST_SITTINGS
}

/// One question as the forecast sees it, marks in grid steps.
struct QuestionChances {
    right: i64,
    wrong: i64,
    blank: i64,
    guess: f64,
    difficulty: Difficulty,
    attempt: Difficulty,
    sure: bool,
}

struct PupilModel {
    start: i64,
    questions: Vec<QuestionChances>,
    abilities: Vec<f64>,
    attempt_rates: Vec<f64>,
    /// The day's own deviation.
    day: f64,
    /// How likely it is that what is not worked on is guessed in time.
    sweeps: f64,
}

impl PupilModel {
    fn new(
        paper: &Paper,
        estimates: &Estimates,
        grid: i64,
        sure: Option<QuestionNo>,
    ) -> Option<Self> {
        let outline = &paper.outline;
        let id = PaperId::of(outline);
        let scale = &estimates.scale;
        let asked = |number: QuestionNo| {
            let section = outline.rule.section(number)?;
            let place = place(number, outline.questions);
            Some(QuestionChances {
                right: section.right.steps(grid)?,
                wrong: section.wrong.steps(grid)?,
                blank: section.blank.steps(grid)?,
                guess: 1.0 / real(outline.labels(number).len().max(1)),
                difficulty: estimates.ability.difficulty(scale, &id, number, place),
                attempt: estimates.attempt_rate.difficulty(scale, &id, number, place),
                sure: sure == Some(number),
            })
        };
        let questions: Option<Vec<_>> = outline.numbers().map(asked).collect();
        Some(Self {
            start: outline.rule.start.steps(grid)?,
            questions: questions?,
            abilities: estimates.ability.posterior.nodes(ABILITIES),
            attempt_rates: estimates
                .attempt_rate
                .posterior
                .another_day(prior_means::ATTEMPT_RATE_DAY)
                .nodes(ATTEMPT_RATES),
            day: estimates.ability.day(scale, &id),
            sweeps: estimates.sweeps.mean(),
        })
    }

    /// The distribution in each equally likely case of what the pupil may be like, the day mixed in.
    fn cases(&self) -> Option<Vec<Distribution>> {
        let pairs = self.abilities.iter().flat_map(|ability| {
            self.attempt_rates
                .iter()
                .map(move |attempt_rate| (*ability, *attempt_rate))
        });
        pairs
            .map(|(ability, attempt_rate)| {
                let days = THREE.iter().flat_map(|(deviate, weight)| {
                    let ability = ability + self.day * deviate;
                    [(true, self.sweeps), (false, 1.0 - self.sweeps)]
                        .map(|(sweeps, share)| (ability, sweeps, weight * share))
                });
                let parts: Option<Vec<_>> = days
                    .map(|(ability, sweeps, weight)| {
                        Some((weight, self.total(ability, attempt_rate, sweeps)?))
                    })
                    .collect();
                let parts = parts?;
                mixture(
                    &parts
                        .iter()
                        .map(|(weight, part)| (*weight, part))
                        .collect::<Vec<_>>(),
                )
            })
            .collect()
    }

    /// How likely a question that is worked out is to be right, the day averaged over.
    fn right(&self, ability: f64, asked: &QuestionChances) -> f64 {
        THREE
            .iter()
            .map(|(deviate, weight)| {
                weight * ability::chance(ability + self.day * deviate, asked.difficulty)
            })
            .sum()
    }

    /// The distribution on a day that is known: what is not worked on is all guessed, or all left blank.
    fn total(&self, ability: f64, attempt_rate: f64, sweeps: bool) -> Option<Distribution> {
        self.questions
            .iter()
            .try_fold(Distribution::certain(self.start), |sum, asked| {
                if asked.sure {
                    let gain = asked.right;
                    return sum.with(&[PossibleGain { gain, p: 1.0 }]);
                }
                let worked = ability::chance(attempt_rate, asked.attempt);
                let right = ability::chance(ability, asked.difficulty);
                let guessed = if sweeps { 1.0 - worked } else { 0.0 };
                let right = worked * right + guessed * asked.guess;
                let blank = if sweeps { 0.0 } else { 1.0 - worked };
                sum.with(&[
                    PossibleGain {
                        gain: asked.right,
                        p: right,
                    },
                    PossibleGain {
                        gain: asked.blank,
                        p: blank,
                    },
                    PossibleGain {
                        gain: asked.wrong,
                        p: (1.0 - right - blank).max(0.0),
                    },
                ])
            })
    }
}

fn awards(paper: &Paper, cases: &[Distribution], grid: i64) -> Vec<AwardChance> {
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
        .map(|(name, own)| award(paper, name, own, cases, grid))
        .collect();
    awards.sort_by_key(|award| award.boundaries.iter().min().copied());
    awards
}

fn award(
    paper: &Paper,
    name: &str,
    own: Option<Mark>,
    cases: &[Distribution],
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
    let chances = cases.iter().filter_map(|case| reach_any(case, &steps));
    let chance = (chances.sum::<f64>() / real(cases.len().max(1))).min(1.0);
    let single: Vec<f64> = cases
        .iter()
        .flat_map(|case| steps.iter().map(|line| case.at_least(*line)))
        .collect();
    let at = |p| quantile(&single, p).unwrap_or(chance);
    AwardChance {
        name: name.to_owned(),
        chance,
        range: (at(0.1), at(0.9)),
        boundaries,
        lines,
    }
}
