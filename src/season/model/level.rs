//! The level that a pupil brings to the next sitting, with the size of their own good and bad days.
//!
//! Each past sitting lies below the next one by what practice and growth bring between them, and off that by its
//! day, its paper and what was met before. Sums stand for all integrals: over the grid of levels, over five rates of
//! growth (Gauss-Hermite, exact up to the ninth degree; Abramowitz & Stegun 25.4.46, from memory), over the sizes
//! of a day.

use super::past::Past;
use super::priors::Priors;
use crate::stats::ability::{grid, kernel, log_likelihood};
use crate::stats::kernel::{Kernel, slices};
use crate::stats::real;

/// Five deviates and their weights that stand for a normal distribution.
const FIVE: [(f64, f64); 5] = [
    (-2.856_970_013_872_805_6, 0.011_257_411_327_720_691),
    (-1.355_626_179_974_266, 0.222_075_922_005_612_66),
    (0.0, 8.0 / 15.0),
    (1.355_626_179_974_266, 0.222_075_922_005_612_66),
    (2.856_970_013_872_805_6, 0.011_257_411_327_720_691),
];

/// What is known of the level at the next sitting.
#[derive(Clone, Debug, PartialEq)]
pub struct Level {
    /// For each size of a day the weight of each level of the grid; all of them add to 1.
    by_day: Vec<Vec<f64>>,
    days: Vec<f64>,
    /// The SD before any sitting was seen.
    before: f64,
}

impl Level {
    /// After these sittings, in order of time.
    pub(super) fn after(past: &[Past], priors: &Priors) -> Option<Self> {
        let rows = rows(past, priors)?;
        let by_day = rows.chunks(FIVE.len()).map(|rows| {
            let mut sum = vec![0.0; grid().count()];
            for row in rows {
                for (sum, weight) in sum.iter_mut().zip(row) {
                    *sum += weight;
                }
            }
            sum
        });
        Some(Self {
            by_day: by_day.collect(),
            days: priors.days.iter().map(|(sd, _)| *sd).collect(),
            before: priors.level.1.hypot(priors.growth.1 * real(past.len())),
        })
    }

    /// How likely each level of the grid is at the next sitting, before its day.
    fn weights(&self) -> Vec<f64> {
        let mut sum = vec![0.0; grid().count()];
        for row in &self.by_day {
            for (sum, weight) in sum.iter_mut().zip(row) {
                *sum += weight;
            }
        }
        sum
    }

    /// Mean and SD of the level at the next sitting, before its day.
    pub fn mean_and_sd(&self) -> (f64, f64) {
        let weights = self.weights();
        let mean: f64 = grid()
            .zip(&weights)
            .map(|(value, weight)| value * weight)
            .sum();
        let squares = grid().zip(&weights);
        let variance: f64 = squares
            .map(|(value, weight)| weight * (value - mean).powi(2))
            .sum();
        (mean, variance.sqrt())
    }

    /// The SD that the level would have without a sitting.
    pub const fn sd_before(&self) -> f64 {
        self.before
    }

    /// How likely each size of a day has become, smallest first.
    pub fn day_weights(&self) -> Vec<f64> {
        self.by_day.iter().map(|row| row.iter().sum()).collect()
    }

    /// The size of a day to expect (SD, in logits).
    pub fn day(&self) -> f64 {
        let weights = self.day_weights();
        self.days
            .iter()
            .zip(weights)
            .map(|(sd, weight)| sd * weight)
            .sum()
    }

    /// Equally likely levels on the day of a sitting that lies `apart` (SD) from the pupil's own level for other
    /// reasons than the day.
    pub(super) fn on_the_day(&self, apart: f64, count: usize) -> Vec<f64> {
        let mut sum = vec![0.0; grid().count()];
        for (row, day) in self.by_day.iter().zip(&self.days) {
            for (sum, weight) in sum.iter_mut().zip(kernel(day.hypot(apart)).spread(row)) {
                *sum += weight;
            }
        }
        slices(grid().zip(sum), count)
    }
}

/// For each size of a day and each rate of growth the weight of each level of the grid; all of them add to 1.
fn rows(past: &[Past], priors: &Priors) -> Option<Vec<Vec<f64>>> {
    let count = past.len();
    let (mean, sd) = priors.level;
    let rates = rates(priors);
    // The prior, moved to the next sitting: a row for each size of a day and each rate.
    let mut rows: Vec<Vec<f64>> = Vec::new();
    for (_, weight) in priors.days {
        for (rate, (_, share)) in rates.iter().zip(FIVE) {
            let middle = mean + rate * real(count) + priors.practised(count);
            let value = |value: f64| (-((value - middle) / sd).powi(2) / 2.0).exp();
            rows.push(grid().map(|at| weight * share * value(at)).collect());
        }
    }
    let mut kernels: Vec<(f64, Kernel)> = Vec::new();
    for (index, own) in past
        .iter()
        .enumerate()
        .filter(|(_, own)| !own.tries.is_empty())
    {
        let gained = priors.practised(count) - priors.practised(index);
        let logs =
            rates.map(|rate| log_likelihood(&own.tries, rate * real(count - index) + gained));
        let top = logs
            .iter()
            .flatten()
            .copied()
            .fold(f64::NEG_INFINITY, f64::max);
        let likely = logs.map(|log| log.iter().map(|log| (log - top).exp()).collect::<Vec<_>>());
        for ((day, _), rows) in priors.days.iter().zip(rows.chunks_mut(rates.len())) {
            let kernel = kernel_of(&mut kernels, day.hypot(own.apart));
            for (row, likely) in rows.iter_mut().zip(&likely) {
                for (weight, likely) in row.iter_mut().zip(kernel.average(likely)) {
                    *weight *= likely;
                }
            }
        }
        scale(&mut rows)?;
    }
    scale(&mut rows)?;
    Some(rows)
}

/// The rates of growth that are summed over.
fn rates(priors: &Priors) -> [f64; 5] {
    let (usual, differs) = priors.growth;
    FIVE.map(|(deviate, _)| usual + differs * deviate)
}

/// The kernel of this SD, made once.
fn kernel_of(known: &mut Vec<(f64, Kernel)>, sd: f64) -> Kernel {
    let same = |(own, _): &&(f64, Kernel)| own.to_bits() == sd.to_bits();
    if let Some((_, kernel)) = known.iter().find(same) {
        return kernel.clone();
    }
    let made = kernel(sd);
    known.push((sd, made.clone()));
    made
}

/// Makes all weights add to 1.
fn scale(rows: &mut [Vec<f64>]) -> Option<()> {
    let whole: f64 = rows.iter().flatten().sum();
    if !(whole.is_finite() && whole > 0.0) {
        return None;
    }
    rows.iter_mut()
        .flatten()
        .for_each(|weight| *weight /= whole);
    Some(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cohort::prior_means::difficulty;
    use crate::stats::ability::Try;

    /// Three sittings of 25 questions, right at first and then not (worked by an independent implementation).
    #[test]
    fn the_rate_of_growth_is_read_from_the_sittings() {
        let past = |codes: &str| {
            let place = |index: usize| (real(index) + 0.5) / 25.0;
            let reached = codes.chars().enumerate().filter(|(_, code)| *code != 'U');
            let tries = reached.map(|(index, code)| Try {
                difficulty: difficulty(place(index)),
                success: code == 'R',
            });
            Past::made_up(tries.collect(), 0.2)
        };
        let sat = [
            "RRRRRRRRRRRRRWRLRWLWUUUUU",
            "RRRRRRRRWRRRRRWRRLWRWWUUU",
            "RRRRRRRRRRRRRRRRRWRLRWRUU",
        ];
        let priors = Priors::default();
        for (count, expected) in [(0, 0.03), (1, 0.030_000_024), (3, 0.035_032_577)] {
            let sat: Vec<_> = sat.iter().take(count).map(|codes| past(codes)).collect();
            let rows = rows(&sat, &priors).unwrap();
            let rates = rates(&priors).into_iter().cycle();
            let growth: f64 = rows
                .iter()
                .zip(rates)
                .map(|(row, rate)| rate * row.iter().sum::<f64>())
                .sum();
            assert!((growth - expected).abs() < 1e-6, "{growth}");
        }
    }
}
