//! Summaries of a few numbers: middle, spread, quantiles, and the threshold for rapid answers.
//!
//! Every function takes the numbers in any order and answers `None` where the figure does not exist: for no
//! numbers at all, for a spread of one number, or when one of them is not finite.

use super::{real, steps};

/// The share of the mean time below which an answer counts as rapid.
pub const RAPID_SHARE: f64 = 0.1;

/// The highest rapid threshold, in milliseconds.
pub const RAPID_CAP_MS: f64 = 10_000.0;

/// The lower quartile, the median and the upper quartile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quartiles {
    /// A quarter of the values lies below it.
    pub lower: f64,
    /// Half of the values lies below it.
    pub median: f64,
    /// Three quarters of the values lie below it.
    pub upper: f64,
}

/// The arithmetic mean.
pub fn mean(values: &[f64]) -> Option<f64> {
    if values.is_empty() {
        return None;
    }
    let sum: f64 = values.iter().sum();
    finite(sum / real(values.len()))
}

/// The standard deviation with n - 1 below the line: the spread of what the values are a sample of.
pub fn sd(values: &[f64]) -> Option<f64> {
    let below = values.len().checked_sub(1).filter(|below| *below > 0)?;
    finite((squares(values)? / real(below)).sqrt())
}

/// The middle value, or half way between the two middle ones.
pub fn median(values: &[f64]) -> Option<f64> {
    quantile(values, 0.5)
}

/// The value with the share `p` of the sample below it; `None` for `p` outside 0 to 1.
///
/// It stands at place (n - 1) p + 1: type 7 of Hyndman & Fan (1996), *The American Statistician* 50,
/// 361-365.
pub fn quantile(values: &[f64], p: f64) -> Option<f64> {
    of_sorted(&sorted(values)?, p)
}

/// The three quartiles.
pub fn quartiles(values: &[f64]) -> Option<Quartiles> {
    let sorted = sorted(values)?;
    Some(Quartiles {
        lower: of_sorted(&sorted, 0.25)?,
        median: of_sorted(&sorted, 0.5)?,
        upper: of_sorted(&sorted, 0.75)?,
    })
}

/// Below how many milliseconds an answer to a question counts as rapid, from the group's times on it.
///
/// A tenth of the group's mean, never more than ten seconds: the normative threshold NT10 of Wise & Ma
/// (2012), *Setting response time thresholds for a CAT item pool* (the cap from memory). `None` without
/// times, or when their mean is not above zero.
pub fn rapid_threshold_ms(times_ms: &[f64]) -> Option<f64> {
    let middle = mean(times_ms).filter(|middle| *middle > 0.0)?;
    Some((middle * RAPID_SHARE).min(RAPID_CAP_MS))
}

/// The quartiles of whole numbers given as (value, how often), lowest value first.
pub fn quartiles_of_counts(counts: &[(i64, usize)]) -> Option<Quartiles> {
    let n: usize = counts.iter().map(|(_, count)| count).sum();
    let at = |place: usize| {
        let mut before = 0;
        let mut found = counts.iter().filter(|(_, count)| {
            before += count;
            place < before
        });
        found.next().map(|(value, _)| steps(*value))
    };
    Some(Quartiles {
        lower: read(n, at, 0.25)?,
        median: read(n, at, 0.5)?,
        upper: read(n, at, 0.75)?,
    })
}

/// The quantile of values already in order.
fn of_sorted(sorted: &[f64], p: f64) -> Option<f64> {
    read(sorted.len(), |place| sorted.get(place).copied(), p)
}

/// The quantile of `n` values in order, each asked for by its place from 0.
fn read(n: usize, at: impl Fn(usize) -> Option<f64>, p: f64) -> Option<f64> {
    if !(0.0..=1.0).contains(&p) {
        return None;
    }
    let last = real(n.checked_sub(1)?);
    let place = (last * p).clamp(0.0, last);
    let low = at(whole(place))?;
    let high = at(whole(place).saturating_add(1)).unwrap_or(low);
    let share = place - place.floor();
    // Weighing both ends, rather than adding a share of the gap, gives equal ends back exactly.
    finite(low.mul_add(1.0 - share, high * share))
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a place is held between 0 and the number of values"
)]
fn whole(place: f64) -> usize {
    place.floor() as usize
}

fn sorted(values: &[f64]) -> Option<Vec<f64>> {
    let valid = !values.is_empty() && values.iter().all(|value| value.is_finite());
    valid.then(|| {
        let mut sorted = values.to_vec();
        sorted.sort_unstable_by(f64::total_cmp);
        sorted
    })
}

fn squares(values: &[f64]) -> Option<f64> {
    let middle = mean(values)?;
    finite(values.iter().map(|value| (value - middle).powi(2)).sum())
}

fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn near(found: Option<f64>, expected: f64) -> bool {
        found.is_some_and(|found| (found - expected).abs() < 1e-12)
    }

    #[test]
    fn nothing_has_no_summary() {
        let found = [mean, sd, median].map(|of| of(&[]));
        assert_eq!(found, [None; 3]);
        assert_eq!(quartiles(&[]), None);
        assert_eq!(rapid_threshold_ms(&[]), None);
    }

    #[test]
    fn one_value_is_its_own_middle_and_has_no_sample_spread() {
        assert!(near(mean(&[7.0]), 7.0) && near(median(&[7.0]), 7.0));
        assert_eq!(sd(&[7.0]), None);
    }

    #[test]
    fn two_values_are_done_in_the_head() {
        let pair = [2.0, 8.0];
        assert!(near(mean(&pair), 5.0) && near(median(&pair), 5.0));
        assert!(near(sd(&pair), 18.0_f64.sqrt()));
        assert!(near(quantile(&pair, 0.25), 3.5));
    }

    #[test]
    fn equal_values_have_no_spread() {
        let same = [0.1; 9];
        assert!(near(sd(&same), 0.0));
        assert_eq!(median(&same), Some(0.1));
    }

    #[test]
    fn one_to_nine_have_known_quartiles() {
        let nine: Vec<f64> = (1..=9).map(f64::from).collect();
        assert_eq!(
            quartiles(&nine),
            Some(Quartiles {
                lower: 3.0,
                median: 5.0,
                upper: 7.0
            })
        );
    }

    #[test]
    fn counted_values_have_the_quartiles_of_the_values_written_out() {
        let counts = [(-2, 3), (0, 0), (1, 1), (4, 2)];
        let written = [-2.0, -2.0, -2.0, 1.0, 4.0, 4.0];
        assert_eq!(quartiles_of_counts(&counts), quartiles(&written));
        assert_eq!(quartiles_of_counts(&[]), None);
    }

    #[test]
    fn what_is_no_number_gives_no_number() {
        for odd in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            let found = [mean, sd, median].map(|of| of(&[1.0, odd, 2.0]));
            assert_eq!(found, [None; 3]);
            assert_eq!(quantile(&[1.0, 2.0], odd), None);
        }
        assert_eq!(mean(&[f64::MAX, f64::MAX]), None);
    }

    proptest! {
        #[test]
        fn order_does_not_matter_and_the_middle_lies_inside(
            values in prop::collection::vec(-1e6f64..1e6, 1..40), p in 0.0f64..=1.0,
        ) {
            let mut back = values.clone();
            back.reverse();
            let ends = sorted(&values).unwrap();
            let found = quantile(&values, p).unwrap();
            prop_assert_eq!(Some(found), quantile(&back, p));
            prop_assert!(ends[0] - 1e-6 <= found && found <= ends[ends.len() - 1] + 1e-6);
        }
    }
}
