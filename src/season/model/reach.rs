//! How far through a paper a pupil gets.

use statrs::distribution::{ContinuousCDF, Normal};

use super::past::Past;
use super::priors::Priors;
use crate::stats::kernel::{Kernel, slices};
use crate::stats::real;

/// The grid of reaches: shares of the paper, the least, the step and how many.
const LEAST: f64 = 0.1;
const STEP: f64 = 0.02;
const POINTS: usize = 76;

/// How likely each reach of the grid is at the next sitting.
#[derive(Clone, Debug, PartialEq)]
pub struct Reach(Vec<f64>);

fn grid() -> impl Iterator<Item = f64> {
    (0..POINTS).map(|index| LEAST + STEP * real(index))
}

impl Reach {
    /// After these sittings.
    pub(super) fn after(past: &[Past], priors: &Priors) -> Self {
        let (mean, sd, day) = priors.reach;
        let normal = Normal::standard();
        let mut weights: Vec<f64> = grid()
            .map(|reach| (-((reach - mean) / sd).powi(2) / 2.0).exp())
            .collect();
        for own in past.iter().filter(|own| own.questions > 0) {
            let likely = |reach: f64| {
                if own.unreached == 0 {
                    // All that is known is that it was enough.
                    let enough = 1.0 - 0.5 / real(own.questions);
                    normal.sf((enough - reach) / day)
                } else {
                    (-((own.reach() - reach) / day).powi(2) / 2.0).exp()
                }
            };
            for (weight, reach) in weights.iter_mut().zip(grid()) {
                *weight *= likely(reach);
            }
            let top = weights.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
            for weight in &mut weights {
                *weight /= top;
            }
        }
        let whole: f64 = weights.iter().sum();
        for weight in &mut weights {
            *weight /= whole;
        }
        Self(Kernel::new(POINTS, STEP, day).spread(&weights))
    }

    /// How likely it is to get through at least this share.
    pub fn at_least(&self, share: f64) -> f64 {
        let all = grid().zip(&self.0);
        let enough = all.filter(|(reach, _)| *reach >= share - STEP / 2.0);
        enough.map(|(_, weight)| weight).sum::<f64>().min(1.0)
    }

    /// Equally likely shares of the paper, none above 1.
    pub(super) fn slices(&self, count: usize) -> Vec<f64> {
        let found = slices(grid().zip(self.0.iter().copied()), count);
        found.into_iter().map(|reach| reach.min(1.0)).collect()
    }
}
