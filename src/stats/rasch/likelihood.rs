//! The conditional likelihood of difficulties, and the climb to its top.
//!
//! Pupils who were given the same questions share a term. The likelihood has one top (it is concave), so
//! Newton's steps find it from anywhere, halved where one would land lower.

use std::collections::BTreeMap;

use super::answers::Cell;
use super::conditional::terms;
use super::matrix::{Matrix, add, inverse, product};
use crate::stats::real;

/// Newton's steps are this small, in logits, when the climb is over.
const SETTLED: f64 = 1e-10;

/// How many steps are tried; a handful is enough for any data that has a top.
const MOST_STEPS: usize = 100;

/// The likelihood to be climbed: questions by their place among those kept.
pub(super) struct ConditionalLikelihood {
    groups: Vec<SameQuestions>,
    right: Vec<usize>,
    people: Vec<usize>,
}

/// A set of questions given together, by place, and its people by number right.
type SameQuestions = (Vec<usize>, Vec<(usize, usize)>);

/// A point of the likelihood.
pub(super) struct Point {
    pub(super) difficulties: Vec<f64>,
    pub(super) log_likelihood: f64,
    slope: Vec<f64>,
    information: Matrix,
}

impl ConditionalLikelihood {
    pub(super) fn new(cells: &[Cell], kept: &[usize]) -> Self {
        let mut groups: BTreeMap<Vec<usize>, Vec<(usize, usize)>> = BTreeMap::new();
        let mut right = vec![0; kept.len()];
        let mut people = vec![0; kept.len()];
        for cell in cells {
            let places = cell.places(kept);
            for (place, count) in places.iter().zip(&cell.right) {
                add(&mut right, *place, *count);
                add(&mut people, *place, cell.people);
            }
            groups
                .entry(places)
                .or_default()
                .push((cell.score, cell.people));
        }
        Self {
            groups: groups.into_iter().collect(),
            right,
            people,
        }
    }

    /// The top of the likelihood and how the difficulties vary together there.
    pub(super) fn climb(&self) -> Option<(Point, Matrix)> {
        let odds = |(right, people): (&usize, &usize)| {
            ((real(*people) - real(*right) + 0.5) / (real(*right) + 0.5)).ln()
        };
        let mut point = self.at(self.right.iter().zip(&self.people).map(odds).collect())?;
        for _ in 0..MOST_STEPS {
            let covariance = covariance(&point.information)?;
            let mut step: Vec<f64> = covariance
                .iter()
                .map(|row| product(row, &point.slope))
                .collect();
            if step.iter().all(|change| change.abs() < SETTLED) {
                return Some((point, covariance));
            }
            // Too long a step lands lower; half of it is tried instead.
            let slack = point.log_likelihood.abs() * 1e-13;
            point = (0..60).find_map(|_| {
                let moved = point
                    .difficulties
                    .iter()
                    .zip(&step)
                    .map(|(now, change)| now + change);
                let next = self.at(moved.collect());
                for change in &mut step {
                    *change /= 2.0;
                }
                next.filter(|next| next.log_likelihood >= point.log_likelihood - slack)
            })?;
        }
        None
    }

    /// The likelihood at the difficulties given, once they are made to add to zero.
    fn at(&self, mut difficulties: Vec<f64>) -> Option<Point> {
        let count = difficulties.len();
        let mean = difficulties.iter().sum::<f64>() / real(count);
        for difficulty in &mut difficulties {
            *difficulty -= mean;
        }
        let right: Vec<f64> = self.right.iter().map(|right| real(*right)).collect();
        let mut log_likelihood = -product(&difficulties, &right);
        let mut slope: Vec<f64> = right.iter().map(|right| -right).collect();
        let mut information = vec![vec![0.0; count]; count];
        for (places, people) in &self.groups {
            let own: Vec<f64> = places
                .iter()
                .filter_map(|place| difficulties.get(*place).copied())
                .collect();
            let found = terms(&own, people)?;
            log_likelihood -= found.log_symmetric;
            for ((place, expected), cells) in
                places.iter().zip(found.expected).zip(found.information)
            {
                add(&mut slope, *place, expected);
                let Some(row) = information.get_mut(*place) else {
                    continue;
                };
                for (other, cell) in places.iter().zip(cells) {
                    add(row, *other, cell);
                }
            }
        }
        Some(Point {
            difficulties,
            log_likelihood,
            slope,
            information,
        })
    }
}

/// The inverse of the information among difficulties that add to zero.
///
/// The information says nothing about a shift of all difficulties together; a ridge along that direction
/// makes it invertible and is taken out again afterwards.
fn covariance(information: &Matrix) -> Option<Matrix> {
    let count = real(information.len());
    let own = information
        .iter()
        .enumerate()
        .filter_map(|(place, row)| row.get(place));
    let ridge = own.sum::<f64>() / count / count;
    let raised = information
        .iter()
        .map(|row| row.iter().map(|cell| cell + ridge).collect())
        .collect();
    let mut found = inverse(&raised)?;
    for cell in found.iter_mut().flatten() {
        *cell -= 1.0 / (ridge * count * count);
    }
    Some(found)
}
