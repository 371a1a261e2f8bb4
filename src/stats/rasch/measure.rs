//! A pupil's measure from the number right on questions of known difficulty.
//!
//! On questions that fit the model the number right holds all that the answers say about the pupil, so
//! every function takes that number and the difficulties of the questions the pupil was given.

use super::chance;
use crate::stats::{real, steps};

/// Measures are looked for this far beyond the easiest and the hardest question.
const MARGIN: f64 = 30.0;

/// How far prior SDs reach when a measure is averaged, and in how many steps each way.
const REACH: f64 = 12.0;
const GRID: i64 = 6000;

/// A pupil's measure in logits, with its standard error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    /// The measure.
    pub value: f64,
    /// Its standard error.
    pub error: f64,
}

/// The measure under which this number right is likeliest.
///
/// `None` for none or all right, where there is no such measure, and for difficulties that are not finite.
pub fn most_likely(difficulties: &[f64], right: usize) -> Option<Measure> {
    let inside = right > 0 && right < difficulties.len();
    let gap = |measure: f64| real(right) - expected_right(measure, difficulties);
    solved(difficulties, gap).filter(|_| inside)
}

/// Warm's weighted likelihood estimate (1989, *Psychometrika* 54, 427-450): nearly free of bias, and there
/// for none and all right too.
///
/// It solves r - sum P + J / (2 I) = 0 with I = sum P Q and J = sum P Q (1 - 2 P). `None` without questions,
/// for more right than questions, and for difficulties that are not finite.
pub fn warm(difficulties: &[f64], right: usize) -> Option<Measure> {
    let gap = |measure: f64| {
        let mut gap = real(right);
        let (mut information, mut skew) = (0.0, 0.0);
        for difficulty in difficulties {
            let p = chance(measure - difficulty);
            let spread = p * chance(difficulty - measure);
            gap -= p;
            information += spread;
            skew += spread * (1.0 - 2.0 * p);
        }
        gap + skew / (2.0 * information)
    };
    solved(difficulties, gap).filter(|_| right <= difficulties.len())
}

/// The mean and SD of the measure after the answers, when it was normal with `mean` and `sd` before them
/// (expected a posteriori; Bock & Mislevy 1982, *Applied Psychological Measurement* 6, 431-444).
///
/// `None` for more right than questions, an SD not above 0, or numbers that are not finite.
pub fn bayes(difficulties: &[f64], right: usize, mean: f64, sd: f64) -> Option<Measure> {
    let finite = difficulties.iter().all(|difficulty| difficulty.is_finite());
    if right > difficulties.len() || !finite || !mean.is_finite() || !sd.is_finite() || sd <= 0.0 {
        return None;
    }
    let log_weight = |deviate: f64| {
        let measure = mean + sd * deviate;
        let log_wrong = |difficulty: &f64| log_one_plus_exp(measure - difficulty);
        let log_all: f64 = difficulties.iter().map(log_wrong).sum();
        real(right) * measure - log_all - deviate * deviate / 2.0
    };
    let points: Vec<(f64, f64)> = (-GRID..=GRID)
        .map(|step| steps(step) * REACH / steps(GRID))
        .map(|deviate| (deviate, log_weight(deviate)))
        .collect();
    let top = points.iter().map(|(_, log)| *log).max_by(f64::total_cmp)?;
    let sum = |of: &dyn Fn(f64) -> f64| -> f64 {
        points
            .iter()
            .map(|(deviate, log)| of(*deviate) * (log - top).exp())
            .sum()
    };
    let whole = sum(&|_| 1.0);
    let middle = sum(&|deviate| deviate) / whole;
    let spread = sum(&|deviate| (deviate - middle).powi(2)) / whole;
    measure(mean + sd * middle, sd * spread.sqrt())
}

/// How many of the questions a pupil of this measure is expected to have right.
pub fn expected_right(measure: f64, difficulties: &[f64]) -> f64 {
    difficulties
        .iter()
        .map(|difficulty| chance(measure - difficulty))
        .sum()
}

/// The measure at which a gap that falls with it is nothing, with the error that the questions allow.
fn solved(difficulties: &[f64], gap: impl Fn(f64) -> f64) -> Option<Measure> {
    if !difficulties.iter().all(|difficulty| difficulty.is_finite()) {
        return None;
    }
    let mut low = difficulties.iter().copied().min_by(f64::total_cmp)? - MARGIN;
    let mut high = difficulties.iter().copied().max_by(f64::total_cmp)? + MARGIN;
    if gap(low) <= 0.0 || gap(high) >= 0.0 {
        return None;
    }
    // Halving until the ends are neighbours: always safe, and a hundred steps are nothing here.
    loop {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            let spread =
                |difficulty: &f64| chance(middle - difficulty) * chance(difficulty - middle);
            let information: f64 = difficulties.iter().map(spread).sum();
            return measure(middle, 1.0 / information.sqrt());
        }
        if gap(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
}

fn measure(value: f64, error: f64) -> Option<Measure> {
    (value.is_finite() && error.is_finite()).then_some(Measure { value, error })
}

/// ln(1 + exp(x)), also where exp(x) is too large.
fn log_one_plus_exp(x: f64) -> f64 {
    x.max(0.0) + (-x.abs()).exp().ln_1p()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn half_right_on_equal_questions_is_their_difficulty() {
        for of in [most_likely, warm] {
            let found = of(&[0.7; 4], 2).unwrap();
            assert!((found.value - 0.7).abs() < 1e-12 && (found.error - 1.0).abs() < 1e-12);
        }
        assert!((bayes(&[0.0; 4], 2, 0.0, 1.0).unwrap().value).abs() < 1e-12);
    }

    #[test]
    fn none_and_all_right_have_only_a_weighted_measure() {
        assert_eq!(
            (most_likely(&[0.0; 3], 0), most_likely(&[0.0; 3], 3)),
            (None, None)
        );
        let (low, high) = (warm(&[0.0; 3], 0).unwrap(), warm(&[0.0; 3], 3).unwrap());
        // ln((x + 1/2) / (n + 1/2 - x)) for equal questions.
        assert!(
            (low.value + 7.0_f64.ln()).abs() < 1e-9 && (high.value - 7.0_f64.ln()).abs() < 1e-9
        );
    }

    #[test]
    fn what_cannot_be_measured_is_not() {
        assert_eq!(
            (warm(&[], 0), warm(&[0.0], 2), warm(&[f64::NAN], 0)),
            (None, None, None)
        );
        assert_eq!(
            (most_likely(&[], 0), most_likely(&[0.0, f64::INFINITY], 1)),
            (None, None)
        );
        assert_eq!(
            (bayes(&[0.0], 2, 0.0, 1.0), bayes(&[0.0], 1, 0.0, 0.0)),
            (None, None)
        );
        assert_eq!(bayes(&[0.0], 1, f64::NAN, 1.0), None);
    }

    #[test]
    fn without_questions_the_prior_stays() {
        let found = bayes(&[], 0, 0.5, 2.0).unwrap();
        assert!((found.value - 0.5).abs() < 1e-9 && (found.error - 2.0).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn one_more_right_is_a_higher_measure(difficulties in prop::collection::vec(-4.0f64..4.0, 2..30)) {
            let found: Vec<f64> = (0..=difficulties.len())
                .map(|right| warm(&difficulties, right).unwrap().value)
                .collect();
            prop_assert!(found.windows(2).all(|pair| pair[0] < pair[1]));
            let likely = most_likely(&difficulties, 1).unwrap();
            prop_assert!((expected_right(likely.value, &difficulties) - 1.0).abs() < 1e-9);
        }
    }
}
