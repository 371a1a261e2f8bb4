//! Question difficulties by conditional maximum likelihood.
//!
//! Given how many questions a pupil had right, which ones they were depends on the difficulties alone; so
//! these are found without a word about pupils' measures (Rasch 1960; Andersen 1970, *JRSS B* 32, 283-301,
//! from memory). The likelihood has one top, climbed by Newton's steps. Pupils may have been given different
//! questions: each group with the same ones has its own term.

use std::collections::BTreeMap;

use super::answers::{Answers, Cell};
use super::chance;
use super::likelihood::{ConditionalLikelihood, Point};
use super::linked::{Linking, linking};
use super::matrix::{Matrix, add, product};
use super::measure::most_likely;
use super::shortage::{MOST_ITEMS, Shortage, Unmeasured};
use crate::stats::real;

/// The difficulties of a set of questions on one scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    /// Each question's figures, or why it has none, in the questions' order.
    pub items: Vec<Result<ItemMeasure, Unmeasured>>,
    /// How many people had some, but not all, of their (measured) questions right: only they count.
    pub people: usize,
    /// The natural logarithm of the conditional likelihood at the difficulties found.
    pub log_likelihood: f64,
}

/// The difficulties alone, without a word about how well the answers fit.
#[derive(Debug, Clone, PartialEq)]
pub struct Difficulties {
    /// Each question's, or why it has none, in the questions' order.
    pub items: Vec<Result<Placed, Unmeasured>>,
    /// Which questions are measured, and how their difficulties vary together.
    measured: Vec<usize>,
    covariance: Matrix,
}

/// Where a question lies on the scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed {
    /// The difficulty in logits; those of all measured questions add to zero.
    pub difficulty: f64,
    /// Its standard error under that constraint.
    pub error: f64,
}

impl Difficulties {
    /// The standard error of the distance between the mean difficulties of two sets of questions, by place: how
    /// well two papers are linked. 0 for the same set; `None` where one has no measured question.
    pub fn distance_error(&self, one: &[usize], other: &[usize]) -> Option<f64> {
        let shares = |set: &[usize]| -> Option<Vec<f64>> {
            let held = self.measured.iter().map(|item| set.contains(item));
            let held: Vec<f64> = held.map(|held| if held { 1.0 } else { 0.0 }).collect();
            let count = held.iter().sum::<f64>();
            (count > 0.0).then(|| held.iter().map(|held| held / count).collect())
        };
        let (one, other) = (shares(one)?, shares(other)?);
        let weights: Vec<f64> = one
            .iter()
            .zip(&other)
            .map(|(one, other)| one - other)
            .collect();
        let rows = self.covariance.iter().map(|row| product(row, &weights));
        let variance = product(&rows.collect::<Vec<_>>(), &weights);
        Some(variance.max(0.0).sqrt())
    }
}

/// One question on the scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ItemMeasure {
    /// The difficulty in logits; those of all measured questions add to zero.
    pub difficulty: f64,
    /// Its standard error under that constraint.
    pub error: f64,
    /// The information-weighted mean square of answers against expectation; 1 when the model holds.
    pub infit: f64,
    /// The plain mean square, which answers far from expectation dominate (Wright & Stone 1979, *Best Test
    /// Design*, from memory).
    pub outfit: f64,
    /// How many of the people who count were given it.
    pub people: usize,
}

/// Estimates the difficulties, their errors and their fit.
///
/// Questions that everybody or nobody had right are set aside, with the reason, before the rest is measured.
pub fn calibrate(answers: &Answers) -> Result<Calibration, Shortage> {
    let found = Climbed::of(answers)?;
    let fits = fits(&found.cells, &found.kept, &found.top.difficulties);
    let mut items: Vec<Result<ItemMeasure, Unmeasured>> = found.set_aside();
    for ((item, placed), fit) in found.placed().zip(fits) {
        if let Some(slot) = items.get_mut(item) {
            *slot = Ok(ItemMeasure {
                difficulty: placed.difficulty,
                error: placed.error,
                infit: fit.square / fit.spread,
                outfit: fit.plain / real(fit.people),
                people: fit.people,
            });
        }
    }
    Ok(Calibration {
        items,
        people: found.cells.iter().map(|cell| cell.people).sum(),
        log_likelihood: found.top.log_likelihood,
    })
}

/// Estimates the difficulties and their errors, the same as [`calibrate`].
pub fn difficulties(answers: &Answers) -> Result<Difficulties, Shortage> {
    let found = Climbed::of(answers)?;
    let mut items: Vec<Result<Placed, Unmeasured>> = found.set_aside();
    for (item, placed) in found.placed() {
        if let Some(slot) = items.get_mut(item) {
            *slot = Ok(placed);
        }
    }
    Ok(Difficulties {
        items,
        measured: found.kept,
        covariance: found.covariance,
    })
}

/// The likeliest difficulties of the questions that can be measured.
struct Climbed {
    /// Why a question was set aside, where it was.
    why: Vec<Unmeasured>,
    kept: Vec<usize>,
    cells: Vec<Cell>,
    top: Point,
    covariance: Matrix,
}

impl Climbed {
    fn of(answers: &Answers) -> Result<Self, Shortage> {
        let mut cells = answers.cells();
        if let Some(found) = cells
            .iter()
            .map(|cell| cell.items.len())
            .max()
            .filter(|n| *n > MOST_ITEMS)
        {
            return Err(Shortage::TooMany { found });
        }
        if !cells.iter().any(Cell::tells) {
            return Err(Shortage::NobodyBetween);
        }
        let mut why = vec![Unmeasured::NoAnswers; answers.items()];
        let mut kept: Vec<usize> = (0..answers.items()).collect();
        while let Some((item, reason)) = extreme(&cells, &kept) {
            if let Some(slot) = why.get_mut(item) {
                *slot = reason;
            }
            kept.retain(|own| *own != item);
            cells = cells.into_iter().map(|cell| cell.without(item)).collect();
        }
        cells.retain(Cell::tells);
        if cells.is_empty() {
            return Err(Shortage::NobodyLeft);
        }
        match linking(answers.ahead(), &kept) {
            Linking::Whole => {}
            Linking::OneWay => return Err(Shortage::OneWay),
            Linking::Apart => return Err(Shortage::Apart),
        }
        let likelihood = ConditionalLikelihood::new(&cells, &kept);
        let (top, covariance) = likelihood.climb().ok_or(Shortage::Unsettled)?;
        Ok(Self {
            why,
            kept,
            cells,
            top,
            covariance,
        })
    }

    /// Every question as if it had been set aside.
    fn set_aside<T>(&self) -> Vec<Result<T, Unmeasured>> {
        self.why.iter().map(|why| Err(*why)).collect()
    }

    /// The questions that were not, by place.
    fn placed(&self) -> impl Iterator<Item = (usize, Placed)> {
        let own = self.covariance.iter().enumerate();
        let variances = own.filter_map(|(place, row)| row.get(place).copied());
        let figures = self.top.difficulties.iter().zip(variances);
        let kept = self.kept.iter().zip(figures);
        kept.map(|(item, (difficulty, variance))| {
            let placed = Placed {
                difficulty: *difficulty,
                error: variance.max(0.0).sqrt(),
            };
            (*item, placed)
        })
    }
}

/// The first question that everybody or nobody among those who count had right, or that none of them had.
fn extreme(cells: &[Cell], kept: &[usize]) -> Option<(usize, Unmeasured)> {
    let mut counts: BTreeMap<usize, (usize, usize)> =
        kept.iter().map(|item| (*item, (0, 0))).collect();
    for cell in cells.iter().filter(|cell| cell.tells()) {
        for (item, right) in cell.items.iter().zip(&cell.right) {
            let (all, people) = counts.entry(*item).or_default();
            *all += right;
            *people += cell.people;
        }
    }
    counts
        .into_iter()
        .find_map(|(item, (right, people))| match (right, people) {
            (_, 0) => Some((item, Unmeasured::NoAnswers)),
            (0, _) => Some((item, Unmeasured::NoneRight)),
            _ if right == people => Some((item, Unmeasured::AllRight)),
            _ => None,
        })
}

/// What the answers to one question differ from expectation by, summed over people.
#[derive(Clone, Copy, Default)]
struct Misfit {
    square: f64,
    spread: f64,
    plain: f64,
    people: usize,
}

/// The misfit of each kept question, with every pupil at the measure that the number right makes likeliest.
fn fits(cells: &[Cell], kept: &[usize], difficulties: &[f64]) -> Vec<Misfit> {
    let mut sums = vec![Misfit::default(); kept.len()];
    for cell in cells {
        let places = cell.places(kept);
        let own: Vec<f64> = places
            .iter()
            .filter_map(|place| difficulties.get(*place).copied())
            .collect();
        let Some(measure) = most_likely(&own, cell.score) else {
            continue;
        };
        for ((place, difficulty), right) in places.iter().zip(&own).zip(&cell.right) {
            let (p, q) = (
                chance(measure.value - difficulty),
                chance(difficulty - measure.value),
            );
            let (people, right) = (real(cell.people), real(*right));
            let square = right * q * q + (people - right) * p * p;
            let more = Misfit {
                square,
                spread: people * p * q,
                plain: square / (p * q),
                people: cell.people,
            };
            add(&mut sums, *place, more);
        }
    }
    sums
}

impl std::ops::AddAssign for Misfit {
    fn add_assign(&mut self, more: Self) {
        self.square += more.square;
        self.spread += more.spread;
        self.plain += more.plain;
        self.people += more.people;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rows written with 1 for right, 0 for not right and a dot for not given.
    fn counted(rows: &[&str]) -> Answers {
        let mut answers = Answers::new(rows.first().map_or(0, |row| row.len()));
        for row in rows {
            let row: Vec<Option<bool>> = row
                .chars()
                .map(|sign| (sign != '.').then_some(sign == '1'))
                .collect();
            answers.add(&row).unwrap();
        }
        answers
    }

    fn difficulties(rows: &[&str]) -> Vec<Option<f64>> {
        let found = calibrate(&counted(rows)).unwrap();
        found
            .items
            .iter()
            .map(|item| item.ok().map(|item| item.difficulty))
            .collect()
    }

    fn near(found: Option<f64>, expected: f64) -> bool {
        found.is_some_and(|found| (found - expected).abs() < 1e-9)
    }

    #[test]
    fn two_questions_differ_by_the_log_of_who_had_only_one_right() {
        // Three had only the first right, one only the second: the distance is ln 3.
        let rows = ["10", "10", "10", "01", "11", "00"];
        let found = calibrate(&counted(&rows)).unwrap();
        assert_eq!(found.people, 4);
        let first = found.items[0].unwrap();
        assert!(near(Some(first.difficulty), -(3.0_f64.ln()) / 2.0));
        // The information on the distance is 4 * 3/4 * 1/4; half a distance has half its error.
        assert!(near(Some(first.error), (4.0_f64 / 3.0).sqrt() / 2.0));
        assert!(near(
            Some(found.log_likelihood),
            3.0 * 0.75_f64.ln() + 0.25_f64.ln()
        ));
    }

    #[test]
    fn questions_that_share_no_pupil_are_linked_through_a_third() {
        let rows = ["10.", "10.", "01.", ".10", ".10", ".10", ".01"];
        let found = difficulties(&rows);
        // First to second ln 2, second to third ln 3.
        let gap = |from: usize, to: usize| found[to].zip(found[from]).map(|(to, from)| to - from);
        assert!(near(gap(0, 1), 2.0_f64.ln()) && near(gap(1, 2), 3.0_f64.ln()));
        assert!(found.iter().flatten().sum::<f64>().abs() < 1e-9);
    }

    #[test]
    fn a_question_all_or_none_had_right_is_set_aside() {
        let with = calibrate(&counted(&["1100.", "1010.", "1010.", "1000.", "1110."])).unwrap();
        let why: Vec<Option<Unmeasured>> = with.items.iter().map(|item| item.err()).collect();
        let (all, none) = (Some(Unmeasured::AllRight), Some(Unmeasured::NoneRight));
        assert_eq!(why, [all, None, None, none, Some(Unmeasured::NoAnswers)]);
        let without = difficulties(&["10", "01", "01"]);
        assert!(near(
            with.items[1].ok().map(|item| item.difficulty),
            without[0].unwrap()
        ));
        assert_eq!(with.people, 3);
    }

    #[test]
    fn too_little_is_refused_with_its_reason() {
        let why = |rows: &[&str]| calibrate(&counted(rows)).unwrap_err();
        assert_eq!(why(&[]), Shortage::NobodyBetween);
        assert_eq!(why(&["11", "00"]), Shortage::NobodyBetween);
        assert_eq!(why(&["1"]), Shortage::NobodyBetween);
        // Each has some right and some wrong, and alike: no question tells one from another.
        assert_eq!(why(&["1100", "1100"]), Shortage::NobodyLeft);
        assert_eq!(why(&["110", "110", "100"]), Shortage::NobodyLeft);
        assert_eq!(why(&["10..", "01..", "..10", "..01"]), Shortage::Apart);
        assert_eq!(why(&["1000", "0100", "1110", "1101"]), Shortage::OneWay);
        let (most, more) = ("1".repeat(MOST_ITEMS), "1".repeat(MOST_ITEMS + 1));
        assert_eq!(why(&[&most]), Shortage::NobodyBetween);
        assert_eq!(
            why(&[&more]),
            Shortage::TooMany {
                found: MOST_ITEMS + 1
            }
        );
        assert!(why(&[&more]).to_string().contains("151"));
    }

    #[test]
    fn equally_hard_questions_are_all_at_nothing() {
        let found = calibrate(&counted(&["100", "010", "001"])).unwrap();
        for item in found.items {
            let item = item.unwrap();
            assert!(item.difficulty.abs() < 1e-9 && (item.infit - 1.0).abs() < 1e-9);
        }
    }
}
