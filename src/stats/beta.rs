//! A chance that is not known: the beta distribution.

use super::luck::Distribution;
use super::real;
use statrs::distribution::ContinuousCDF;

/// What is known of a chance, as if `hits` successes and `misses` had been seen (conjugate to the binomial;
/// Gelman and others, *Bayesian Data Analysis*, from memory).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beta {
    hits: f64,
    misses: f64,
}

impl Beta {
    /// Takes both counts; `None` unless they are above zero and finite.
    pub fn new(hits: f64, misses: f64) -> Option<Self> {
        let sound = |count: f64| count.is_finite() && count > 0.0;
        (sound(hits) && sound(misses)).then_some(Self { hits, misses })
    }

    /// The same after so many successes among so many trials.
    #[must_use]
    pub fn after(self, successes: usize, trials: usize) -> Self {
        Self {
            hits: self.hits + real(successes.min(trials)),
            misses: self.misses + real(trials.saturating_sub(successes)),
        }
    }

    /// The expected chance.
    pub fn mean(self) -> f64 {
        self.hits / (self.hits + self.misses)
    }

    /// The chance as `count` equally likely values above 0 and below 1: the medians of its slices.
    pub fn nodes(self, count: usize) -> Option<Vec<f64>> {
        let beta = statrs::distribution::Beta::new(self.hits, self.misses).ok()?;
        let slice = |index| (real(index) + 0.5) / real(count);
        let nodes = (0..count).map(|index| beta.inverse_cdf(slice(index)));
        Some(nodes.map(|node| node.clamp(1e-9, 1.0 - 1e-9)).collect())
    }
}

/// The chance of reaching a line that is not known: the mean over lines that are equally likely.
///
/// `None` without a line.
pub fn reach_any(marks: &Distribution, lines: &[i64]) -> Option<f64> {
    let sum: f64 = lines.iter().map(|line| marks.at_least(*line)).sum();
    (!lines.is_empty()).then(|| sum / real(lines.len()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::luck::{Chance, total};

    fn beta(hits: f64, misses: f64) -> Beta {
        Beta::new(hits, misses).unwrap()
    }

    fn near(found: f64, expected: f64, tolerance: f64) {
        assert!((found - expected).abs() <= tolerance, "{found} {expected}");
    }

    /// Computed independently, no published source.
    #[test]
    fn few_answers_are_drawn_to_the_prior() {
        for ((hits, misses), (right, of), mean) in [
            ((6.0, 4.0), (7, 10), 0.650),
            ((6.0, 4.0), (14, 20), 0.667),
            ((6.0, 4.0), (10, 10), 0.800),
            ((6.0, 4.0), (3, 5), 0.600),
            ((1.0, 1.0), (7, 10), 0.667),
            ((1.0, 1.0), (10, 10), 0.917),
            ((12.0, 8.0), (7, 10), 0.633),
        ] {
            let found = beta(hits, misses).after(right, of);
            near(found.mean(), mean, 5e-4);
        }
    }

    /// 10 at .9, 5 at .7, 5 at .4, 5 at .2 against the lines 13, 14, 15, 14, 16 (computed independently, no
    /// published source).
    #[test]
    fn a_line_that_moves_is_averaged_over() {
        let chances = [(10, 0.9), (5, 0.7), (5, 0.4), (5, 0.2)]
            .map(|(count, p)| {
                vec![
                    Chance {
                        right: 1,
                        wrong: 0,
                        p
                    };
                    count
                ]
            })
            .concat();
        let marks = total(0, &chances).unwrap();
        near(
            reach_any(&marks, &[13, 14, 15, 14, 16]).unwrap(),
            0.765,
            5e-4,
        );
        near(reach_any(&marks, &[15]).unwrap(), 0.6963, 5e-5);
        assert_eq!(reach_any(&marks, &[]), None);
    }

    #[test]
    fn what_is_no_count_is_no_beta() {
        for (hits, misses) in [
            (0.0, 1.0),
            (1.0, -1.0),
            (f64::NAN, 1.0),
            (1.0, f64::INFINITY),
        ] {
            assert_eq!(Beta::new(hits, misses), None);
        }
    }
}
