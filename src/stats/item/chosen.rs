//! The people who gave each answer, as exact sums of their totals: what every figure is made of.

use std::collections::BTreeMap;

use crate::stats::tally::{BLANK, ExtremeGroup, ItemColumn};
use crate::stats::{real, wide};

/// Everybody with each total.
type Groups = BTreeMap<i64, ExtremeGroup>;

/// How much of a group with each total, lowest first, is in the lower and in the upper group.
pub(super) struct Edges {
    pub(super) size: usize,
    pub(super) lower: Vec<f64>,
    pub(super) upper: Vec<f64>,
}

impl Edges {
    pub(super) fn new(groups: &Groups, size: usize) -> Self {
        let counts: Vec<usize> = groups.values().map(|group| group.people).collect();
        let lower = fill(size, counts.iter());
        let mut upper = fill(size, counts.iter().rev());
        upper.reverse();
        Self { size, lower, upper }
    }
}

/// Gives places to groups in turn: whole while they last, in part at the edge, none after.
fn fill<'a>(places: usize, counts: impl Iterator<Item = &'a usize>) -> Vec<f64> {
    let share = |left: &mut usize, &count: &usize| {
        let taken = count.min(*left);
        *left -= taken;
        Some(real(taken) / real(count.max(1)))
    };
    counts.scan(places, share).collect()
}

/// The people who gave one answer to one question: how many, and the sums of their totals.
pub(super) struct Chosen {
    pub(super) code: u8,
    pub(super) is_right: bool,
    pub(super) mark: i64,
    pub(super) sums: Sums,
    pub(super) upper: f64,
    pub(super) lower: f64,
}

impl Chosen {
    pub(super) fn every(groups: &Groups, column: &ItemColumn, edges: &Edges) -> Vec<Self> {
        let codes = (BLANK..=u8::MAX).zip(column.marks.iter().zip(&column.right));
        codes
            .map(|(code, (&mark, &is_right))| {
                let cell = column.first + usize::from(code);
                let counts = || {
                    groups.iter().map(|(total, group)| {
                        (*total, group.answers.get(cell).copied().unwrap_or(0))
                    })
                };
                let inside = |shares: &[f64]| {
                    counts()
                        .zip(shares)
                        .map(|((_, count), share)| real(count) * share)
                        .sum()
                };
                Self {
                    code,
                    is_right,
                    mark,
                    sums: Sums::of(counts()),
                    upper: inside(&edges.upper),
                    lower: inside(&edges.lower),
                }
            })
            .collect()
    }

    /// The sums of the totals less this question's mark.
    pub(super) fn rest(&self) -> Sums {
        let (
            mark,
            Sums {
                count,
                sum,
                squares,
            },
        ) = (i128::from(self.mark), self.sums);
        Sums {
            count,
            sum: sum - mark * count,
            squares: squares - 2 * mark * sum + mark * mark * count,
        }
    }
}

/// The count of some whole numbers, their sum, and the sum of their squares.
#[derive(Clone, Copy, Default)]
pub(super) struct Sums {
    pub(super) count: i128,
    pub(super) sum: i128,
    pub(super) squares: i128,
}

impl Sums {
    pub(super) fn of(values: impl Iterator<Item = (i64, usize)>) -> Self {
        values.fold(Self::default(), |sums, (value, count)| {
            let (value, count) = (
                i128::from(value),
                i128::try_from(count).unwrap_or(i128::MAX),
            );
            sums.and(Self {
                count,
                sum: value * count,
                squares: value * value * count,
            })
        })
    }

    fn and(self, other: Self) -> Self {
        Self {
            count: self.count + other.count,
            sum: self.sum + other.sum,
            squares: self.squares + other.squares,
        }
    }

    /// The variance with n below the line, times the square of n: a whole number.
    pub(super) fn spread(&self) -> i128 {
        self.count * self.squares - self.sum * self.sum
    }

    pub(super) fn variance(&self) -> f64 {
        wide(self.spread()) / wide(self.count).powi(2)
    }

    pub(super) fn mean(&self) -> Option<f64> {
        (self.count > 0).then(|| wide(self.sum) / wide(self.count))
    }

    /// The correlation of "is one of these" with the value, within everybody.
    pub(super) fn correlation_within(&self, everybody: &Self) -> Option<f64> {
        let together = everybody.count * self.sum - self.count * everybody.sum;
        let chosen = self.count * (everybody.count - self.count);
        let spread = everybody.spread();
        (chosen > 0 && spread > 0)
            .then(|| wide(together) / wide(chosen).sqrt() / wide(spread).sqrt())
    }
}

pub(super) fn all_of(sums: impl Iterator<Item = Sums>) -> Sums {
    sums.fold(Sums::default(), Sums::and)
}

/// The spread of a question's own marks.
pub(super) fn mark_spread(chosen: &[Chosen]) -> i128 {
    all_of(chosen.iter().map(|one| {
        let (mark, count) = (i128::from(one.mark), one.sums.count);
        Sums {
            count,
            sum: mark * count,
            squares: mark * mark * count,
        }
    }))
    .spread()
}

pub(super) fn rest_spread(chosen: &[Chosen]) -> i128 {
    all_of(chosen.iter().map(Chosen::rest)).spread()
}
