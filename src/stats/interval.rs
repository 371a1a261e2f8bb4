//! Ranges for a proportion: x successes in n trials, and what the true share may be.
//!
//! Wilson's interval stays inside 0 to 1, exists for n = 1 and needs no special function.

use super::real;
use serde::Serialize;
use statrs::distribution::{ContinuousCDF, Normal};

/// A range for a share, both ends from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
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

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn no_trials_or_too_many_successes_have_no_interval() {
        assert_eq!(wilson(0, 0, 0.95), None);
        assert_eq!(wilson(3, 2, 0.95), None);
        for level in [0.0, 1.0, 1.5, -0.5, f64::NAN] {
            assert_eq!(wilson(1, 2, level), None);
        }
    }

    #[test]
    fn nothing_right_starts_at_nothing_and_everything_right_ends_at_everything() {
        let (none, all) = (wilson(0, 10, 0.95).unwrap(), wilson(10, 10, 0.95).unwrap());
        assert!(none.low <= 0.0 && all.high >= 1.0);
        assert!((none.high - (1.0 - all.low)).abs() < 1e-9);
    }

    #[test]
    fn one_of_two_is_symmetric_about_a_half() {
        let half = wilson(1, 2, 0.9).unwrap();
        assert!((half.low + half.high - 1.0).abs() < 1e-9 && half.low > 0.0);
    }

    #[test]
    fn a_large_cohort_still_has_wilsons_interval() {
        let found = wilson(500_000, 1_000_000, 0.95).unwrap();
        assert!((found.high - 0.5 - 0.000_98).abs() < 1e-6);
    }

    proptest! {
        #[test]
        fn the_share_found_lies_inside(n in 1usize..300, part in 0.0f64..=1.0, level in 0.5f64..0.999) {
            let x = (0..=n).find(|x| real(*x) >= part * real(n)).unwrap();
            let share = real(x) / real(n);
            let found = wilson(x, n, level).unwrap();
            prop_assert!(0.0 <= found.low && found.low <= share + 1e-9);
            prop_assert!(share - 1e-9 <= found.high && found.high <= 1.0);
        }
    }
}
