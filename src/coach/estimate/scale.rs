//! How hard each question is: from the group's answers where they allow it, else from its place.

use std::collections::{BTreeMap, BTreeSet};

use super::defaults;
use super::evidence::{Done, Evidence, PaperId, Seen};
use crate::domain::header::Alias;
use crate::domain::rule::QuestionNo;
use crate::stats::ability::Difficulty;
use crate::stats::rasch::{Answers, calibrate};
use crate::stats::real;
use crate::stats::shrink::pooled;

/// Fewer people who count say nothing of a question (a calibration of a handful is mostly its errors).
const FEWEST_PEOPLE: usize = 5;
/// The most questions that are calibrated together.
const MOST_ITEMS: usize = 75;

/// One question of one paper.
type Item = (PaperId, QuestionNo);

/// Difficulties on one scale.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scale {
    measured: BTreeMap<Item, Difficulty>,
    /// How many people the calibration rests on; none where there is no calibration.
    pub people: usize,
    /// Why there is no calibration, in a sentence.
    pub shortage: Option<String>,
}

impl Scale {
    /// Calibrates by conditional maximum likelihood all papers together where the group's answers link them,
    /// else `target` alone; what is found is drawn towards the default by its standard error.
    pub fn new(group: &[&Evidence], target: &PaperId) -> Self {
        let of_target: Vec<_> = group
            .iter()
            .copied()
            .filter(|one| one.paper == *target)
            .collect();
        let together = calibrated(group);
        let alone = if together.is_ok() {
            None
        } else {
            Some(calibrated(&of_target))
        };
        match (together, alone) {
            (Ok(scale), _) | (Err(_), Some(Ok(scale))) => scale,
            (Err(why), _) => Self {
                shortage: Some(why),
                ..Self::default()
            },
        }
    }

    /// How hard a question of a paper is.
    pub fn difficulty(&self, paper: &PaperId, number: QuestionNo, place: f64) -> Difficulty {
        let item = (paper.clone(), number);
        self.measured
            .get(&item)
            .copied()
            .unwrap_or_else(|| defaults::difficulty(place))
    }

    /// Whether the paper as a whole has its place on the scale.
    pub fn holds(&self, paper: &PaperId) -> bool {
        self.measured.keys().any(|(own, _)| own == paper)
    }
}

fn calibrated(group: &[&Evidence]) -> Result<Scale, String> {
    let worked = |seen: &&Seen| matches!(seen.done, Done::Right | Done::Wrong);
    let mut places = BTreeMap::<Item, f64>::new();
    let mut people = BTreeMap::<&Alias, BTreeMap<Item, bool>>::new();
    for one in group {
        for seen in one.answers.iter().filter(worked) {
            let item = (one.paper.clone(), seen.number);
            places.insert(item.clone(), seen.place);
            // Of a paper sat twice the first go counts.
            people
                .entry(&one.pupil)
                .or_default()
                .entry(item)
                .or_insert(seen.done == Done::Right);
        }
    }
    if people.len() < FEWEST_PEOPLE {
        return Err(format!(
            "fewer than {FEWEST_PEOPLE} other pupils have marked sittings here"
        ));
    }
    if places.len() > MOST_ITEMS {
        return Err(format!(
            "together the papers have more than {MOST_ITEMS} questions"
        ));
    }
    let mut answers = Answers::new(places.len());
    for own in people.values() {
        let row: Vec<_> = places.keys().map(|item| own.get(item).copied()).collect();
        let _counted = answers.add(&row);
    }
    let found = calibrate(&answers).map_err(|shortage| shortage.to_string())?;
    let measured: Vec<_> = places
        .iter()
        .zip(&found.items)
        .filter_map(|(place, item)| Some((place, item.as_ref().ok()?)))
        .collect();
    if found.people < FEWEST_PEOPLE || measured.is_empty() {
        return Err(format!(
            "fewer than {FEWEST_PEOPLE} other pupils got some right and some wrong"
        ));
    }
    // Only distances are measured: the middle is put where the default has it.
    let shift = measured
        .iter()
        .map(|((_, place), item)| defaults::difficulty(**place).mean - item.difficulty)
        .sum::<f64>()
        / real(measured.len());
    let drawn = measured.iter().map(|((item, place), found)| {
        let default = defaults::difficulty(**place);
        let (mean, sd) = pooled(
            (found.difficulty + shift, found.error.max(1e-3)),
            (default.mean, default.sd),
        );
        ((*item).clone(), Difficulty { mean, sd })
    });
    Ok(Scale {
        measured: drawn.collect(),
        people: found.people,
        shortage: None,
    })
}

/// The papers that a group's sittings are of.
pub fn papers(group: &[&Evidence]) -> usize {
    group
        .iter()
        .map(|one| &one.paper)
        .collect::<BTreeSet<_>>()
        .len()
}
