//! Boundaries of a cohort: the lowest mark that earns an award, by share of the people or by places.
//!
//! Marks are whole, and equal marks get equal awards, so a share is seldom met exactly; a named rule says on
//! which side to fall. All comparisons are between whole numbers: a tie is a tie. Marks are grid steps.

use std::collections::BTreeMap;

use super::real;

/// On which side of the quota a boundary falls when no mark meets it exactly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TieRule {
    /// The lowest mark with no more people at or above it than the quota; there may be none.
    NotAbove,
    /// The highest mark with at least the quota of people at or above it.
    AtLeast,
    /// The mark whose number of people at or above it is nearest the quota, the lower mark of two equally
    /// near; "nobody" is a candidate with 0 people.
    Nearest,
}

/// An exact share of the people, from nobody to everybody.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Share {
    part: u64,
    whole: u64,
}

impl Share {
    /// The share `part / whole`; `None` unless it is from 0 to 1.
    pub fn new(part: u64, whole: u64) -> Option<Self> {
        (whole > 0 && part <= whole).then_some(Self { part, whole })
    }

    /// Splits a top share among awards in the given ratio, lowest award first: for each award, the share of
    /// the people who get it or a better one.
    ///
    /// Half the people at 3 : 2 : 1 gives 1/2, 1/4 and 1/12. `None` when the ratio is empty or all zeros, or
    /// its numbers are too large to stay exact.
    pub fn split(self, ratio: &[u64]) -> Option<Vec<Self>> {
        let sum = ratio
            .iter()
            .try_fold(0u64, |sum, part| sum.checked_add(*part))?;
        let whole = self.whole.checked_mul(sum).filter(|whole| *whole > 0)?;
        let mut left = sum;
        ratio
            .iter()
            .map(|part| {
                let share = Self {
                    part: self.part.checked_mul(left)?,
                    whole,
                };
                left = left.checked_sub(*part)?;
                Some(share)
            })
            .collect()
    }
}

/// A boundary: the lowest mark that earns the award, and how many earned it or a better one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Boundary {
    /// The lowest mark that earns it; `None` when nobody does.
    pub mark: Option<i64>,
    /// How many people have that mark or a higher one.
    pub at_or_above: usize,
}

impl Boundary {
    const NOBODY: Self = Self {
        mark: None,
        at_or_above: 0,
    };
}

/// A cohort's marks in order, each with how many people have it or a higher one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ranking {
    /// Best mark first.
    candidates: Vec<Boundary>,
    people: usize,
}

impl Ranking {
    /// Ranks the marks of a cohort, given in any order.
    pub fn new(marks: &[i64]) -> Self {
        Self::from_counts(marks.iter().map(|mark| (*mark, 1)))
    }

    /// Ranks marks given with how many people have each, in any order.
    pub fn from_counts(counts: impl IntoIterator<Item = (i64, usize)>) -> Self {
        let mut by_mark: BTreeMap<i64, usize> = BTreeMap::new();
        for (mark, count) in counts.into_iter().filter(|(_, count)| *count > 0) {
            *by_mark.entry(mark).or_default() += count;
        }
        let mut people = 0;
        let candidates = by_mark.iter().rev().map(|(mark, count)| {
            people += count;
            Boundary {
                mark: Some(*mark),
                at_or_above: people,
            }
        });
        Self {
            candidates: candidates.collect(),
            people,
        }
    }

    /// How many people there are.
    pub fn people(&self) -> usize {
        self.people
    }

    /// The marks that occur, best first, each with how many people have it or a higher one.
    pub fn candidates(&self) -> &[Boundary] {
        &self.candidates
    }

    /// The boundary for a share of all the people.
    pub fn boundary(&self, share: Share, rule: TieRule) -> Boundary {
        let people = u128::try_from(self.people).unwrap_or(u128::MAX);
        // A share's parts are 64 bits wide and a cohort fits memory, so the product fits 128 bits.
        self.find(
            u128::from(share.part).saturating_mul(people),
            u128::from(share.whole),
            rule,
        )
    }

    /// The boundaries for awards given as shares of all the people, in the order given.
    pub fn awards(&self, shares: &[Share], rule: TieRule) -> Vec<Boundary> {
        shares
            .iter()
            .map(|share| self.boundary(*share, rule))
            .collect()
    }

    /// The boundary for a fixed number of places: whole groups of equal marks while they fit.
    pub fn places(&self, places: usize) -> Boundary {
        self.find(
            u128::try_from(places).unwrap_or(u128::MAX),
            1,
            TieRule::NotAbove,
        )
    }

    /// The boundary for a quota of `top / bottom` people.
    fn find(&self, top: u128, bottom: u128, rule: TieRule) -> Boundary {
        let scaled = |line: &Boundary| {
            u128::try_from(line.at_or_above)
                .unwrap_or(u128::MAX)
                .saturating_mul(bottom)
        };
        let mut every = std::iter::once(Boundary::NOBODY).chain(self.candidates.iter().copied());
        let found = match rule {
            TieRule::NotAbove => every.take_while(|line| scaled(line) <= top).last(),
            TieRule::AtLeast => every.find(|line| scaled(line) >= top),
            TieRule::Nearest => every.rev().min_by_key(|line| scaled(line).abs_diff(top)),
        };
        found.unwrap_or(Boundary::NOBODY)
    }
}

/// Where a boundary fell in cohorts drawn again from the marks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ResampledBoundary {
    /// The marks it fell on, lowest first, each with how often.
    pub marks: Vec<(i64, usize)>,
    /// How often nobody earned the award.
    pub nobody: usize,
    /// How often the boundary of the next share given was the same one, nobody's included: how often their difference
    /// was 0.
    pub same_as_next: usize,
}

impl ResampledBoundary {
    /// The middle share `level` of the marks it fell on, ends included.
    ///
    /// `None` when it never fell on a mark, or `level` is not from 0 to 1.
    pub fn range(&self, level: f64) -> Option<(i64, i64)> {
        if !(0.0..=1.0).contains(&level) {
            return None;
        }
        // The slack keeps a tail that is a whole number of resamples from being passed by rounding.
        let tail = real(self.drawn()) * ((1.0 - level) / 2.0 + 1e-12);
        let low = past(tail, self.marks.iter())?;
        let high = past(tail, self.marks.iter().rev())?;
        // With half cut off at each end the two may pass each other.
        Some((low.min(high), low.max(high)))
    }

    fn drawn(&self) -> usize {
        self.marks.iter().map(|(_, count)| count).sum()
    }
}

/// The first mark that takes the count past a tail.
fn past<'a>(tail: f64, mut marks: impl Iterator<Item = &'a (i64, usize)>) -> Option<i64> {
    let mut before = 0;
    let found = marks.find(|(_, count)| {
        before += count;
        real(before) > tail
    });
    found.map(|(mark, _)| *mark)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::steps;
    use proptest::prelude::*;

    const RULES: [TieRule; 3] = [TieRule::NotAbove, TieRule::AtLeast, TieRule::Nearest];

    fn marks_of(ranking: &Ranking, share: Share) -> [Option<i64>; 3] {
        RULES.map(|rule| ranking.boundary(share, rule).mark)
    }

    #[test]
    fn half_at_three_two_one_is_a_half_a_quarter_and_a_twelfth() {
        let shares = Share::new(1, 2).unwrap().split(&[3, 2, 1]).unwrap();
        let expected = [(6, 12), (3, 12), (1, 12)].map(|(part, whole)| Share { part, whole });
        assert_eq!(shares, expected);
    }

    #[test]
    fn shares_and_ratios_that_make_no_sense_are_refused() {
        assert_eq!((Share::new(1, 0), Share::new(3, 2)), (None, None));
        let half = Share::new(1, 2).unwrap();
        assert_eq!((half.split(&[]), half.split(&[0, 0])), (None, None));
        assert_eq!(half.split(&[u64::MAX, 1]), None);
    }

    #[test]
    fn nobody_has_no_boundary() {
        let none = Ranking::new(&[]);
        assert_eq!(marks_of(&none, Share::new(1, 2).unwrap()), [None; 3]);
        assert_eq!(none.places(5), Boundary::NOBODY);
    }

    #[test]
    fn one_person_is_half_of_one() {
        // The quota is half a person: nobody and the one person are equally near, the lower mark wins.
        let one = Ranking::new(&[40]);
        assert_eq!(
            marks_of(&one, Share::new(1, 2).unwrap()),
            [None, Some(40), Some(40)]
        );
    }

    #[test]
    fn a_tie_across_the_quota_is_settled_by_the_rule() {
        let tied = Ranking::new(&[9, 7, 7, 7, 7, 1]);
        assert_eq!(
            marks_of(&tied, Share::new(1, 2).unwrap()),
            [Some(9), Some(7), Some(7)]
        );
        assert_eq!(
            marks_of(&tied, Share::new(1, 3).unwrap()),
            [Some(9), Some(7), Some(9)]
        );
        assert_eq!(marks_of(&tied, Share::new(0, 1).unwrap()), [None; 3]);
        assert_eq!(marks_of(&tied, Share::new(1, 1).unwrap()), [Some(1); 3]);
    }

    #[test]
    fn places_go_to_whole_groups_of_equal_marks() {
        let ranking = Ranking::new(&[22, 20, 19, 19, 18, 18]);
        assert_eq!(
            ranking.places(5),
            Boundary {
                mark: Some(19),
                at_or_above: 4
            }
        );
        assert_eq!(
            ranking.places(6),
            Boundary {
                mark: Some(18),
                at_or_above: 6
            }
        );
        assert_eq!(ranking.places(0), Boundary::NOBODY);
    }

    #[test]
    fn the_range_of_a_spread_cuts_the_same_share_at_both_ends() {
        let spread = ResampledBoundary {
            marks: vec![(3, 10), (4, 80), (6, 10)],
            nobody: 7,
            same_as_next: 0,
        };
        assert_eq!(
            (spread.range(0.8), spread.range(0.81)),
            (Some((4, 4)), Some((3, 6)))
        );
        let even = ResampledBoundary {
            marks: vec![(3, 5), (4, 5)],
            nobody: 0,
            same_as_next: 0,
        };
        assert_eq!(even.range(0.0), Some((3, 4)));
        let none = ResampledBoundary {
            marks: vec![],
            nobody: 7,
            same_as_next: 0,
        };
        assert_eq!((none.range(0.8), spread.range(f64::NAN)), (None, None));
    }

    proptest! {
        #[test]
        fn the_rules_bracket_the_quota(marks in prop::collection::vec(-9i64..30, 0..40), part in 0u64..=12) {
            let ranking = Ranking::new(&marks);
            let share = Share::new(part, 12).unwrap();
            let [under, over, near] = RULES.map(|rule| ranking.boundary(share, rule));
            let quota = real(marks.len()) * steps(i64::try_from(part).unwrap()) / 12.0;
            prop_assert!(real(under.at_or_above) <= quota + 1e-9);
            prop_assert!(real(over.at_or_above) >= quota - 1e-9);
            prop_assert!(near == under || near == over);
            for line in [under, over, near] {
                let counted = marks.iter().filter(|mark| line.mark.is_some_and(|own| **mark >= own));
                prop_assert_eq!(counted.count(), line.at_or_above);
            }
        }
    }
}
