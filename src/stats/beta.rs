//! A chance that is not known: the beta distribution, and the number of successes that it foretells.

use statrs::function::beta::ln_beta;
use statrs::function::factorial::ln_binomial;

use super::luck::{Distribution, Outcome};
use super::real;

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

    /// The standard deviation of the chance.
    pub fn sd(self) -> f64 {
        let whole = self.hits + self.misses;
        (self.hits * self.misses / (whole * whole * (whole + 1.0))).sqrt()
    }

    /// The number of successes in the next `trials`: C(n, k) B(a + k, b + n - k) / B(a, b), each success worth
    /// `gain` grid steps.
    pub fn successes(self, trials: usize, gain: i64) -> Option<Distribution> {
        let before = ln_beta(self.hits, self.misses);
        let ways = (0..=trials).map(|k| {
            let rest = trials - k;
            let count = ln_binomial(u64::try_from(trials).ok()?, u64::try_from(k).ok()?);
            let log = count + ln_beta(self.hits + real(k), self.misses + real(rest)) - before;
            Some(Outcome {
                gain: gain.checked_mul(i64::try_from(k).ok()?)?,
                p: log.exp().min(1.0),
            })
        });
        let ways: Option<Vec<_>> = ways.collect();
        Distribution::certain(0).with(&ways?)
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
        for ((hits, misses), (right, of), mean, sd) in [
            ((6.0, 4.0), (7, 10), 0.650, Some(0.104)),
            ((6.0, 4.0), (14, 20), 0.667, Some(0.085)),
            ((6.0, 4.0), (10, 10), 0.800, Some(0.087)),
            ((6.0, 4.0), (3, 5), 0.600, Some(0.123)),
            ((1.0, 1.0), (7, 10), 0.667, Some(0.131)),
            ((1.0, 1.0), (10, 10), 0.917, None),
            ((12.0, 8.0), (7, 10), 0.633, None),
        ] {
            let found = beta(hits, misses).after(right, of);
            near(found.mean(), mean, 5e-4);
            if let Some(sd) = sd {
                near(found.sd(), sd, 6e-4);
            }
        }
    }

    /// Beta(13, 7): 8 or more of the next 10 with .311; .383 when .70 is taken for certain (computed
    /// independently, no published source).
    #[test]
    fn not_knowing_the_chance_lowers_the_chance_of_the_best() {
        near(
            beta(13.0, 7.0).successes(10, 1).unwrap().at_least(8),
            0.311,
            5e-4,
        );
        let certain = [Chance {
            right: 1,
            wrong: 0,
            p: 0.7,
        }; 10];
        near(total(0, &certain).unwrap().at_least(8), 0.383, 5e-4);
    }

    /// Four sections after two sittings (computed independently, no published source).
    #[test]
    fn a_paper_of_four_sections_is_the_sum_of_their_successes() {
        let sections = [
            ((8.0, 2.0), (18, 20), 10),
            ((6.0, 4.0), (7, 10), 5),
            ((4.0, 6.0), (4, 10), 5),
            ((2.0, 8.0), (2, 10), 5),
        ];
        let sum = sections.iter().try_fold(
            Distribution::certain(0),
            |sum, ((hits, misses), (right, of), next)| {
                sum.plus(
                    &beta(*hits, *misses)
                        .after(*right, *of)
                        .successes(*next, 1)?,
                )
            },
        );
        let sum = sum.unwrap();
        near(sum.mean(), 14.917, 5e-4);
        near(sum.sd(), 2.286, 5e-4);
        for (line, chance) in (14..).zip([0.7371, 0.5786, 0.4039, 0.2449, 0.1264, 0.0544]) {
            near(sum.at_least(line), chance, 5e-5);
        }
        assert_eq!((sum.quantile(0.1), sum.quantile(0.9)), (Some(12), Some(18)));
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
