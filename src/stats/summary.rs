//! Summaries of a few numbers: middle, spread, quantiles, and the threshold for rapid answers.
//!
//! Every function takes the numbers in any order and answers `None` where the figure does not exist: for no
//! numbers at all, for a spread of one number, or when one of them is not finite.

use super::{real, steps};

/// What a raw median absolute deviation is multiplied by to estimate the SD of normal values
/// (1 / 0.6745 to five digits; Hampel 1974, *JASA* 69, 383-393, from memory).
pub const MAD_TO_SD: f64 = 1.4826;

/// The share of the mean time below which an answer counts as rapid.
pub const RAPID_SHARE: f64 = 0.1;

/// The highest rapid threshold, in milliseconds.
pub const RAPID_CAP_MS: f64 = 10_000.0;

/// How a quantile is read between two neighbouring values; numbers after Hyndman & Fan (1996),
/// *The American Statistician* 50, 361-365.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Position {
    /// Type 6: the p-quantile stands at place (n + 1) p, held inside the sample.
    NPlusOne,
    /// Type 7: the p-quantile stands at place (n - 1) p + 1.
    NMinusOne,
}

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

/// The standard deviation with n below the line: the spread of just these values.
pub fn sd_population(values: &[f64]) -> Option<f64> {
    finite((squares(values)? / real(values.len())).sqrt())
}

/// The middle value, or half way between the two middle ones.
pub fn median(values: &[f64]) -> Option<f64> {
    quantile(values, 0.5, Position::NMinusOne)
}

/// The median distance from the median, not scaled.
pub fn mad(values: &[f64]) -> Option<f64> {
    let middle = median(values)?;
    let gaps: Vec<f64> = values.iter().map(|value| (value - middle).abs()).collect();
    median(&gaps)
}

/// The median distance from the median, scaled to stand for an SD.
pub fn mad_scaled(values: &[f64]) -> Option<f64> {
    mad(values).map(|raw| raw * MAD_TO_SD)
}

/// How many scaled median deviations a value lies from the median; `None` where more than half are equal.
pub fn robust_z(value: f64, values: &[f64]) -> Option<f64> {
    let spread = mad_scaled(values).filter(|spread| *spread > 0.0)?;
    finite((value - median(values)?) / spread)
}

/// The value with the share `p` of the sample below it; `None` for `p` outside 0 to 1.
pub fn quantile(values: &[f64], p: f64, position: Position) -> Option<f64> {
    of_sorted(&sorted(values)?, p, position)
}

/// The three quartiles.
pub fn quartiles(values: &[f64], position: Position) -> Option<Quartiles> {
    let sorted = sorted(values)?;
    Some(Quartiles {
        lower: of_sorted(&sorted, 0.25, position)?,
        median: of_sorted(&sorted, 0.5, position)?,
        upper: of_sorted(&sorted, 0.75, position)?,
    })
}

/// The distance between the quartiles.
pub fn iqr(values: &[f64], position: Position) -> Option<f64> {
    quartiles(values, position).map(|found| found.upper - found.lower)
}

/// The geometric mean; `None` unless every value is above zero.
pub fn geometric_mean(values: &[f64]) -> Option<f64> {
    mean(&logs(values)?).and_then(|middle| finite(middle.exp()))
}

/// The natural logarithms; `None` unless every value is above zero and finite.
pub fn logs(values: &[f64]) -> Option<Vec<f64>> {
    let log = |value: &f64| (value.is_finite() && *value > 0.0).then(|| value.ln());
    values.iter().map(log).collect()
}

/// The mean of what is left when `percent` of the values (rounded down) are cut off at each end.
///
/// `None` from 50 % on, where nothing need be left.
pub fn trimmed_mean(values: &[f64], percent: u8) -> Option<f64> {
    if percent >= 50 {
        return None;
    }
    let sorted = sorted(values)?;
    let cut = sorted.len().checked_mul(usize::from(percent))? / 100;
    mean(sorted.get(cut..sorted.len().checked_sub(cut)?)?)
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
pub fn quartiles_of_counts(counts: &[(i64, usize)], position: Position) -> Option<Quartiles> {
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
        lower: read(n, at, 0.25, position)?,
        median: read(n, at, 0.5, position)?,
        upper: read(n, at, 0.75, position)?,
    })
}

/// The quantile of values already in order.
fn of_sorted(sorted: &[f64], p: f64, position: Position) -> Option<f64> {
    read(
        sorted.len(),
        |place| sorted.get(place).copied(),
        p,
        position,
    )
}

/// The quantile of `n` values in order, each asked for by its place from 0.
fn read(n: usize, at: impl Fn(usize) -> Option<f64>, p: f64, position: Position) -> Option<f64> {
    if !(0.0..=1.0).contains(&p) {
        return None;
    }
    let last = real(n.checked_sub(1)?);
    let place = match position {
        Position::NPlusOne => (last + 2.0) * p - 1.0,
        Position::NMinusOne => last * p,
    };
    let place = place.clamp(0.0, last);
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
        let found = [mean, sd, sd_population, median, mad, geometric_mean].map(|of| of(&[]));
        assert_eq!(found, [None; 6]);
        assert_eq!(quartiles(&[], Position::NPlusOne), None);
        assert_eq!(trimmed_mean(&[], 10), None);
        assert_eq!(rapid_threshold_ms(&[]), None);
    }

    #[test]
    fn one_value_is_its_own_middle_and_has_no_sample_spread() {
        assert!(near(mean(&[7.0]), 7.0) && near(median(&[7.0]), 7.0));
        assert!(near(sd_population(&[7.0]), 0.0) && near(mad(&[7.0]), 0.0));
        assert_eq!(sd(&[7.0]), None);
        assert!(near(iqr(&[7.0], Position::NPlusOne), 0.0));
    }

    #[test]
    fn two_values_are_done_in_the_head() {
        let pair = [2.0, 8.0];
        assert!(near(mean(&pair), 5.0) && near(median(&pair), 5.0) && near(mad(&pair), 3.0));
        assert!(near(sd_population(&pair), 3.0) && near(sd(&pair), 18.0_f64.sqrt()));
        assert!(near(geometric_mean(&pair), 4.0));
        assert!(near(quantile(&pair, 0.25, Position::NMinusOne), 3.5));
        assert!(near(quantile(&pair, 0.25, Position::NPlusOne), 2.0));
    }

    #[test]
    fn equal_values_have_no_spread_and_no_z() {
        let same = [0.1; 9];
        assert!(near(sd(&same), 0.0) && near(mad_scaled(&same), 0.0));
        assert_eq!(median(&same), Some(0.1));
        assert_eq!(robust_z(0.1, &same), None);
    }

    #[test]
    fn one_to_nine_have_known_quartiles() {
        let nine: Vec<f64> = (1..=9).map(f64::from).collect();
        let six = quartiles(&nine, Position::NPlusOne).unwrap();
        let seven = quartiles(&nine, Position::NMinusOne).unwrap();
        assert_eq!(
            six,
            Quartiles {
                lower: 2.5,
                median: 5.0,
                upper: 7.5
            }
        );
        assert_eq!(
            seven,
            Quartiles {
                lower: 3.0,
                median: 5.0,
                upper: 7.0
            }
        );
        assert!(near(robust_z(5.0 + 2.0 * MAD_TO_SD, &nine), 1.0));
    }

    #[test]
    fn counted_values_have_the_quartiles_of_the_values_written_out() {
        let counts = [(-2, 3), (0, 0), (1, 1), (4, 2)];
        let written = [-2.0, -2.0, -2.0, 1.0, 4.0, 4.0];
        for position in [Position::NPlusOne, Position::NMinusOne] {
            assert_eq!(
                quartiles_of_counts(&counts, position),
                quartiles(&written, position)
            );
        }
        assert_eq!(quartiles_of_counts(&[], Position::NPlusOne), None);
    }

    #[test]
    fn trimming_cuts_a_whole_number_of_values_at_each_end() {
        let ten = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 1000.0];
        assert!(near(trimmed_mean(&ten, 10), 4.5));
        assert!(near(trimmed_mean(&ten, 9), 103.6));
        assert_eq!(trimmed_mean(&ten, 50), None);
    }

    #[test]
    fn what_is_no_number_gives_no_number() {
        for odd in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            let found = [mean, sd, sd_population, median, mad, geometric_mean]
                .map(|of| of(&[1.0, odd, 2.0]));
            assert_eq!(found, [None; 6]);
            assert_eq!(quantile(&[1.0, 2.0], odd, Position::NPlusOne), None);
            assert_eq!(robust_z(odd, &[1.0, 2.0, 4.0]), None);
        }
        assert_eq!(geometric_mean(&[1.0, 0.0]), None);
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
            for position in [Position::NPlusOne, Position::NMinusOne] {
                let found = quantile(&values, p, position).unwrap();
                prop_assert_eq!(Some(found), quantile(&back, p, position));
                prop_assert!(ends[0] - 1e-6 <= found && found <= ends[ends.len() - 1] + 1e-6);
            }
            prop_assert_eq!(mad(&values), mad(&back));
        }
    }
}
