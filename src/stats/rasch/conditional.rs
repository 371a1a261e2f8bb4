//! The chances of right answers given how many of the questions were right.
//!
//! They need no pupil measure: given r right out of the questions with easiness e = exp(-difficulty), the
//! chance that question i is among them is `e_i g(r - 1 without i) / g(r)`, with g the elementary symmetric
//! functions (Andersen 1972, *JRSS B* 34, 42-54; Fischer 1974, from memory). The functions are built by the
//! summation algorithm, which only adds what is positive and so loses no digits. Those without one question or
//! two join the functions of what stands before, between and after them: n^3 steps for all pairs of n questions.

use super::matrix::{Matrix, product};
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
    let count = easiness.len();
    let first = SymmetricFunctions::of(easiness.iter().copied());
    let last = SymmetricFunctions::of(easiness.iter().rev().copied());
    // Those of the questions from a place on.
    let from = |place: usize| last.row(count.checked_sub(place)?);
    let whole = first.row(count)?;
    let at = |order: usize| whole.get(order).copied();
    let mut log_symmetric = 0.0;
    for (score, count) in people {
        log_symmetric += real(*count) * at(*score)?.ln();
    }
    // By question and score: the chance that it is among the right ones.
    let scores = people.len().max(1);
    let mut single = Vec::with_capacity(count * scores);
    for (item, value) in easiness.iter().enumerate() {
        let (before, after) = (first.row(item)?, from(item + 1)?);
        for (score, _) in people {
            let others = score.checked_sub(1);
            let others = others.map_or(0.0, |order| convolved(before, after, order));
            single.push(value * others / at(*score)?);
        }
    }
    let counts: Vec<f64> = people.iter().map(|(_, count)| real(*count)).collect();
    let expected = single.chunks(scores).map(|own| product(own, &counts));
    // By place: what each order of the functions before it weighs, summed over people, once two questions are right.
    let mut weights = vec![0.0; count * (count + 1)];
    for (place, weights) in weights.chunks_mut(count + 1).enumerate() {
        let after = from(place + 1)?;
        for (score, count) in people {
            let share = real(*count) / at(*score).unwrap_or(1.0);
            let Some(most) = score.checked_sub(2) else {
                continue;
            };
            let orders = weights.iter_mut().take(most + 1).rev();
            for (weight, value) in orders.zip(after) {
                *weight += share * value;
            }
        }
    }
    // Above the diagonal by working it out, below it later by symmetry.
    let mut information: Matrix = Vec::with_capacity(count);
    let (mut before, mut weighted) = (Vec::with_capacity(count + 1), Vec::new());
    for ((item, value), own) in easiness.iter().enumerate().zip(single.chunks(scores)) {
        weighted.clear();
        weighted.extend(own.iter().zip(&counts).map(|(p, n)| p * n));
        let spread = weighted.iter().zip(own).map(|(all, p)| all * (1.0 - p));
        let mut row = Vec::with_capacity(count - item);
        row.push(spread.sum::<f64>());
        before.clear();
        before.extend_from_slice(first.row(item)?);
        let weights = weights.chunks(count + 1).skip(item + 1);
        let chances = single.chunks(scores).skip(item + 1);
        let later = easiness.iter().skip(item + 1).zip(weights).zip(chances);
        for ((other, weights), chances) in later {
            let both = value * other * product(&before, weights);
            row.push(both - product(&weighted, chances));
            before.push(0.0);
            join(&mut before, *other);
        }
        information.push(row);
    }
    let valid =
        log_symmetric.is_finite() && information.iter().flatten().all(|cell| cell.is_finite());
    valid.then_some(ConditionalTerms {
        log_symmetric,
        expected: expected.collect(),
        information: mirrored(&information),
    })
}

/// Takes one more question into elementary symmetric functions, of which the highest is still 0.
fn join(sums: &mut [f64], value: f64) {
    let mut lower = 0.0;
    for sum in sums {
        let own = *sum;
        *sum += value * lower;
        lower = own;
    }
}

/// The elementary symmetric functions of the first questions: of none, one, and so on up to all, one after the other.
struct SymmetricFunctions(Vec<f64>);

impl SymmetricFunctions {
    fn of(easiness: impl ExactSizeIterator<Item = f64>) -> Self {
        let rows = easiness.len() + 1;
        let mut all = Vec::with_capacity(rows * (rows + 1) / 2);
        all.push(1.0);
        for (known, value) in easiness.enumerate() {
            let from = all.len() - (known + 1);
            all.extend_from_within(from..);
            all.push(0.0);
            if let Some(own) = all.get_mut(from + known + 1..) {
                join(own, value);
            }
        }
        Self(all)
    }

    /// Those of so many questions, of order 0 to all of them.
    fn row(&self, count: usize) -> Option<&[f64]> {
        let from = count * (count + 1) / 2;
        self.0.get(from..=from + count)
    }
}

/// The function of one order of two sets of questions together.
fn convolved(one: &[f64], other: &[f64], order: usize) -> f64 {
    let skipped = (order + 1).saturating_sub(other.len());
    let partners = other.iter().take(order + 1).rev();
    one.iter()
        .skip(skipped)
        .zip(partners)
        .map(|(left, right)| left * right)
        .sum()
}

/// The whole of a symmetric matrix from the rows of its upper triangle, each from the diagonal on.
fn mirrored(upper: &Matrix) -> Matrix {
    let rows = upper.iter().enumerate();
    let left = |row: usize| {
        let above = upper.iter().take(row).enumerate();
        above.filter_map(move |(place, cells)| cells.get(row - place))
    };
    rows.map(|(row, cells)| left(row).chain(cells).copied().collect())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn symmetric_functions_of_one_two_three_are_done_in_the_head() {
        let values = [1.0, 2.0, 3.0];
        let first = SymmetricFunctions::of(values.into_iter());
        let last = SymmetricFunctions::of(values.into_iter().rev());
        assert_eq!(first.row(3).unwrap(), [1.0, 6.0, 11.0, 6.0]);
        let (before, after) = (first.row(2).unwrap(), last.row(2).unwrap());
        assert_eq!(
            (before, after),
            ([1.0, 3.0, 2.0].as_slice(), [1.0, 5.0, 6.0].as_slice())
        );
        let joined = (0..=3).map(|order| convolved(before, last.row(1).unwrap(), order));
        assert_eq!(joined.collect::<Vec<_>>(), [1.0, 6.0, 11.0, 6.0]);
    }

    /// Every way to have so many of seven right, one by one.
    #[test]
    fn all_ways_to_have_so_many_right_counted_out_give_the_same_terms() {
        let difficulties = [-2.1, 0.3, 1.7, -0.4, 3.2, 0.0, -1.1];
        let people = [(1, 3), (2, 1), (5, 4), (6, 2)];
        let found = terms(&difficulties, &people).unwrap();
        let is_right = |way: u32, item: usize| way >> item & 1 == 1;
        // The weight of all ways to have so many right with these among them.
        let weight = |score: usize, among: &[usize]| -> f64 {
            let ways =
                (0..1_u32 << 7).filter(|way| way.count_ones() == u32::try_from(score).unwrap());
            let those = ways.filter(|way| among.iter().all(|item| is_right(*way, *item)));
            let each = those.map(|way| {
                let every = difficulties.iter().enumerate();
                let right = every.filter(|(item, _)| is_right(way, *item));
                (-right.map(|(_, difficulty)| difficulty).sum::<f64>()).exp()
            });
            each.sum()
        };
        let over_people = |of: &dyn Fn(usize) -> f64| -> f64 {
            let each = people
                .iter()
                .map(|(score, count)| real(*count) * of(*score));
            each.sum()
        };
        let near = |left: f64, right: f64| (left - right).abs() < 1e-12;
        assert!(near(
            found.log_symmetric,
            over_people(&|score| weight(score, &[]).ln())
        ));
        let chance = |score: usize, among: &[usize]| weight(score, among) / weight(score, &[]);
        for (item, expected) in found.expected.iter().enumerate() {
            assert!(near(
                *expected,
                over_people(&|score| chance(score, &[item]))
            ));
        }
        for (item, row) in found.information.iter().enumerate() {
            for (other, cell) in row.iter().enumerate() {
                let apart = |score| chance(score, &[item]) * chance(score, &[other]);
                let both = |score| chance(score, &[item, other]);
                assert!(near(
                    *cell,
                    over_people(&|score| both(score) - apart(score))
                ));
            }
        }
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
