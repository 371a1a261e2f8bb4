//! Ranges for a proportion: x successes in n trials, and what the true share may be.
//!
//! Wilson's interval is the one to print: it stays inside 0 to 1, exists for n = 1 and needs no special
//! function. The other two are for comparison and for those who ask for a guaranteed level.

use super::real;
use statrs::distribution::{Beta, ContinuousCDF, Normal};

/// The most trials for which the beta quantiles are trusted: beyond it the library's tails lose digits.
pub const MOST_FOR_BETA: usize = 10_000;

/// A range for a share, both ends from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// The low end.
    pub low: f64,
    /// The high end.
    pub high: f64,
}

/// The score interval of Wilson (1927), *JASA* 22, 209-212; method 3 of Newcombe (1998), *Statistics in
/// Medicine* 17, 857-872.
///
/// `None` when there are no trials, more successes than trials, or `level` is not between 0.001 and 0.9999.
pub fn wilson(successes: usize, trials: usize, level: f64) -> Option<Interval> {
    let z = z_for(successes, trials, level)?;
    let n = real(trials);
    let p = real(successes) / n;
    let shrink = 1.0 + z * z / n;
    let middle = (p + z * z / (2.0 * n)) / shrink;
    let half = z / shrink * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
    Some(held(successes, trials, middle - half, middle + half))
}

/// Wilson's interval with the continuity correction: method 4 of Newcombe (1998).
///
/// `None` in the same cases as [`wilson`].
pub fn wilson_corrected(successes: usize, trials: usize, level: f64) -> Option<Interval> {
    let z = z_for(successes, trials, level)?;
    let n = real(trials);
    let p = real(successes) / n;
    let q = 1.0 - p;
    let (middle, below) = (2.0 * n * p + z * z, 2.0 * (n + z * z));
    let inner = |sign: f64| z * z - sign * 2.0 - 1.0 / n + 4.0 * p * (n * q + sign);
    let low = (middle - 1.0 - z * inner(1.0).max(0.0).sqrt()) / below;
    let high = (middle + 1.0 + z * inner(-1.0).max(0.0).sqrt()) / below;
    Some(held(successes, trials, low, high))
}

/// The exact interval of Clopper & Pearson (1934), *Biometrika* 26, 404-413: never short of its level, often
/// wider than it need be.
///
/// `None` in the same cases as [`wilson`], and for more than [`MOST_FOR_BETA`] trials.
pub fn clopper_pearson(successes: usize, trials: usize, level: f64) -> Option<Interval> {
    let tail = tail_for(successes, trials, level)?;
    let (x, n) = (real(successes), real(trials));
    let low = if successes == 0 {
        0.0
    } else {
        beta_quantile(tail, x, n - x + 1.0)?
    };
    let high = if successes == trials {
        1.0
    } else {
        beta_quantile(1.0 - tail, x + 1.0, n - x)?
    };
    Some(held(successes, trials, low, high))
}

/// The equal-tailed interval under Jeffreys' prior Beta(1/2, 1/2), with 0 and 1 as ends where nothing or
/// everything succeeded: Brown, Cai & `DasGupta` (2001), *Statistical Science* 16, 101-133.
///
/// `None` in the same cases as [`clopper_pearson`].
pub fn jeffreys(successes: usize, trials: usize, level: f64) -> Option<Interval> {
    let tail = tail_for(successes, trials, level)?;
    let (x, n) = (real(successes), real(trials));
    let low = beta_quantile(tail, x + 0.5, n - x + 0.5)?;
    let high = beta_quantile(1.0 - tail, x + 0.5, n - x + 0.5)?;
    Some(held(successes, trials, low, high))
}

/// Keeps the ends inside 0 to 1, and exactly there when nothing or everything succeeded.
fn held(successes: usize, trials: usize, low: f64, high: f64) -> Interval {
    Interval {
        low: if successes == 0 {
            0.0
        } else {
            low.clamp(0.0, 1.0)
        },
        high: if successes == trials {
            1.0
        } else {
            high.clamp(0.0, 1.0)
        },
    }
}

/// The share of chance left out on each side.
fn tail_for(successes: usize, trials: usize, level: f64) -> Option<f64> {
    let valid = valid(successes, trials, level) && trials <= MOST_FOR_BETA;
    valid.then_some((1.0 - level) / 2.0)
}

/// The normal deviate that leaves out the same share on both sides.
fn z_for(successes: usize, trials: usize, level: f64) -> Option<f64> {
    if !valid(successes, trials, level) {
        return None;
    }
    let z = Normal::standard().inverse_cdf(f64::midpoint(level, 1.0));
    z.is_finite().then_some(z)
}

fn valid(successes: usize, trials: usize, level: f64) -> bool {
    trials > 0 && successes <= trials && (0.001..=0.9999).contains(&level)
}

fn beta_quantile(share: f64, a: f64, b: f64) -> Option<f64> {
    let found = Beta::new(a, b).ok()?.inverse_cdf(share);
    found.is_finite().then_some(found)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    type Method = fn(usize, usize, f64) -> Option<Interval>;

    const EVERY: [Method; 4] = [wilson, wilson_corrected, clopper_pearson, jeffreys];

    #[test]
    fn no_trials_or_too_many_successes_have_no_interval() {
        for of in EVERY {
            assert_eq!(of(0, 0, 0.95), None);
            assert_eq!(of(3, 2, 0.95), None);
            for level in [0.0, 1.0, 1.5, -0.5, f64::NAN] {
                assert_eq!(of(1, 2, level), None);
            }
        }
    }

    #[test]
    fn nothing_right_starts_at_nothing_and_everything_right_ends_at_everything() {
        for of in EVERY {
            let (none, all) = (of(0, 10, 0.95).unwrap(), of(10, 10, 0.95).unwrap());
            assert!(none.low <= 0.0 && all.high >= 1.0);
            assert!((none.high - (1.0 - all.low)).abs() < 1e-9);
        }
    }

    #[test]
    fn one_of_two_is_symmetric_about_a_half() {
        for of in EVERY {
            let half = of(1, 2, 0.9).unwrap();
            assert!((half.low + half.high - 1.0).abs() < 1e-9 && half.low > 0.0);
        }
    }

    #[test]
    fn a_large_cohort_still_has_wilsons_interval() {
        let found = wilson(500_000, 1_000_000, 0.95).unwrap();
        assert!((found.high - 0.5 - 0.000_98).abs() < 1e-6);
        assert_eq!(clopper_pearson(500_000, 1_000_000, 0.95), None);
    }

    proptest! {
        #[test]
        fn the_share_found_lies_inside(n in 1usize..300, part in 0.0f64..=1.0, level in 0.5f64..0.999) {
            let x = (0..=n).find(|x| real(*x) >= part * real(n)).unwrap();
            let share = real(x) / real(n);
            for of in EVERY {
                let found = of(x, n, level).unwrap();
                prop_assert!(0.0 <= found.low && found.low <= share + 1e-9);
                prop_assert!(share - 1e-9 <= found.high && found.high <= 1.0);
            }
        }
    }
}
