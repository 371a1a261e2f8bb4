//! The chances of right answers given how many of the questions were right.
//!
//! They need no pupil measure: given r right out of the questions with easiness e = exp(-difficulty), the
//! chance that question i is among them is `e_i g(r - 1 without i) / g(r)`, with g the elementary symmetric
//! functions (Andersen 1972, *JRSS B* 34, 42-54; Fischer 1974, from memory). The functions are built by the
//! summation algorithm, which only adds what is positive and so loses no digits.

use super::matrix::Matrix;
use crate::stats::real;

/// What a group of people with the same questions add to the conditional likelihood.
pub(super) struct ConditionalTerms {
    /// The sum over people of ln g(score).
    pub(super) log_symmetric: f64,
    /// How many of them are expected to have each question right.
    pub(super) expected: Vec<f64>,
    /// The information about the difficulties.
    pub(super) information: Matrix,
}

/// What people with these questions add, given as (number right, how many people); scores of none and of all
/// say nothing and must be left out.
///
/// `None` when the functions outgrow the numbers.
pub(super) fn terms(difficulties: &[f64], people: &[(usize, usize)]) -> Option<ConditionalTerms> {
    let easiness: Vec<f64> = difficulties
        .iter()
        .map(|difficulty| (-difficulty).exp())
        .collect();
    let whole = symmetric(easiness.iter());
    let at = |order: usize| whole.get(order).copied();
    let mut log_symmetric = 0.0;
    for (score, count) in people {
        log_symmetric += real(*count) * at(*score)?.ln();
    }
    // The chance that chosen questions are among the right ones, at every score: `rest` without them.
    let chances = |factor: f64, chosen: usize, rest: &[f64]| -> Vec<f64> {
        let one = |(score, _): &(usize, usize)| {
            let order = score.checked_sub(chosen).and_then(|order| rest.get(order));
            factor * order.copied().unwrap_or(0.0) / at(*score).unwrap_or(1.0)
        };
        people.iter().map(one).collect()
    };
    let every = || easiness.iter().enumerate();
    let single: Vec<Vec<f64>> = every()
        .map(|(item, value)| chances(*value, 1, &symmetric(without(&easiness, item, item))))
        .collect();
    let over_people = |of: &mut dyn Iterator<Item = f64>| -> f64 {
        of.zip(people)
            .map(|(value, (_, count))| value * real(*count))
            .sum()
    };
    let pair = |(one, left): (usize, &f64), (other, right): (usize, &f64)| -> f64 {
        let none = Vec::new();
        let first = single.get(one).unwrap_or(&none);
        let second = single.get(other).unwrap_or(&none);
        let both = if one == other {
            first.clone()
        } else {
            chances(left * right, 2, &symmetric(without(&easiness, one, other)))
        };
        let apart = first
            .iter()
            .zip(second)
            .map(|(first, second)| first * second);
        over_people(&mut both.iter().zip(apart).map(|(both, apart)| both - apart))
    };
    let mut information: Matrix = Vec::with_capacity(easiness.len());
    for one in every() {
        // Below the diagonal by working it out, above it later by symmetry.
        information.push(
            every()
                .take(one.0 + 1)
                .map(|other| pair(one, other))
                .collect(),
        );
    }
    let expected = single
        .iter()
        .map(|chances| over_people(&mut chances.iter().copied()))
        .collect();
    let valid =
        log_symmetric.is_finite() && information.iter().flatten().all(|cell| cell.is_finite());
    valid.then_some(ConditionalTerms {
        log_symmetric,
        expected,
        information: mirrored(&information),
    })
}

/// The elementary symmetric functions of order 0 to n.
fn symmetric<'a>(easiness: impl Iterator<Item = &'a f64>) -> Vec<f64> {
    let mut sums = vec![1.0];
    for value in easiness {
        let before = sums.clone();
        sums.push(0.0);
        for (sum, lower) in sums.iter_mut().skip(1).zip(&before) {
            *sum += value * lower;
        }
    }
    sums
}

/// The values without those at two places, which may be the same.
fn without(values: &[f64], one: usize, other: usize) -> impl Iterator<Item = &f64> {
    let every = values.iter().enumerate();
    every
        .filter(move |(place, _)| *place != one && *place != other)
        .map(|(_, value)| value)
}

/// The whole of a symmetric matrix from its lower triangle.
fn mirrored(lower: &Matrix) -> Matrix {
    let above = |row: usize| {
        lower
            .iter()
            .skip(row + 1)
            .filter_map(move |below| below.get(row))
    };
    let rows = lower.iter().enumerate();
    rows.map(|(row, cells)| cells.iter().chain(above(row)).copied().collect())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn symmetric_functions_of_one_two_three_are_done_in_the_head() {
        assert_eq!(symmetric([1.0, 2.0, 3.0].iter()), [1.0, 6.0, 11.0, 6.0]);
    }

    #[test]
    fn with_one_of_two_right_only_the_difference_counts() {
        let found = terms(&[0.0, 3.0_f64.ln()], &[(1, 4)]).unwrap();
        // The easier one is right three times in four; the information is 4 * 3/4 * 1/4.
        let near = |left: f64, right: f64| (left - right).abs() < 1e-12;
        assert!(near(found.expected[0], 3.0) && near(found.expected[1], 1.0));
        assert!(near(found.information[0][0], 0.75) && near(found.information[0][1], -0.75));
        assert!(near(found.log_symmetric, 4.0 * (4.0_f64 / 3.0).ln()));
    }

    #[test]
    fn what_outgrows_the_numbers_has_no_terms() {
        assert!(terms(&[-800.0, 0.0], &[(1, 1)]).is_none());
    }
}
