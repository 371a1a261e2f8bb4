//! How far a boundary would move in another cohort of such pupils: the bootstrap of Efron (1979), *The
//! Annals of Statistics* 7, 1-26.
//!
//! Cohorts of the same size are drawn from the marks, with replacement. The seed is the caller's, and the
//! draw is written out here, so that a seed gives the same ranges in every version.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use std::collections::BTreeMap;

use super::boundary::{Ranking, ResampledBoundary, Share, TieRule};

/// The most draws made for one answer; beyond it there is none, since a cohort that large needs no range.
const MOST_DRAWS: usize = 200_000_000;

/// Where the boundaries for the shares given fall in `resamples` cohorts drawn from the marks.
///
/// `None` without marks or resamples, or when resamples times people pass 200 million.
pub fn boundaries(
    marks: &[i64],
    shares: &[Share],
    rule: TieRule,
    resamples: usize,
    seed: u64,
) -> Option<Vec<ResampledBoundary>> {
    let draws = marks.len().checked_mul(resamples)?;
    if !(1..=MOST_DRAWS).contains(&draws) {
        return None;
    }
    let mut chance = ChaCha8Rng::seed_from_u64(seed);
    let mut fallen: Vec<BTreeMap<Option<i64>, usize>> = vec![BTreeMap::new(); shares.len()];
    let mut same = vec![0; shares.len()];
    let mut groups: BTreeMap<i64, usize> = BTreeMap::new();
    for _ in 0..resamples {
        for count in groups.values_mut() {
            *count = 0;
        }
        for _ in 0..marks.len() {
            let mark = *marks.get(below(&mut chance, marks.len()))?;
            *groups.entry(mark).or_default() += 1;
        }
        let ranking = Ranking::from_counts(groups.iter().map(|(mark, count)| (*mark, *count)));
        let lines = ranking.awards(shares, rule);
        for (fallen, line) in fallen.iter_mut().zip(&lines) {
            *fallen.entry(line.mark).or_default() += 1;
        }
        for (same, pair) in same.iter_mut().zip(lines.windows(2)) {
            *same += usize::from(matches!(pair, [one, next] if one.mark == next.mark));
        }
    }
    let fallen = fallen.iter().zip(same);
    Some(fallen.map(|(fallen, same)| spread(fallen, same)).collect())
}

fn spread(fallen: &BTreeMap<Option<i64>, usize>, same_as_next: usize) -> ResampledBoundary {
    ResampledBoundary {
        marks: fallen
            .iter()
            .filter_map(|(mark, times)| mark.map(|mark| (mark, *times)))
            .collect(),
        nobody: fallen.get(&None).copied().unwrap_or(0),
        same_as_next,
    }
}

/// A whole number from 0 to `bound` less one, by the high half of a product (Lemire 2019, *ACM TOMACS* 29,
/// from memory); for cohorts its bias is under one part in 10^12.
fn below(chance: &mut ChaCha8Rng, bound: usize) -> usize {
    let bound = u128::try_from(bound).unwrap_or(u128::MAX >> 64);
    usize::try_from((u128::from(chance.next_u64()) * bound) >> 64).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn half() -> Share {
        Share::new(1, 2).unwrap()
    }

    #[test]
    fn nobody_and_no_resamples_have_no_spread() {
        assert_eq!(boundaries(&[], &[half()], TieRule::Nearest, 10, 1), None);
        assert_eq!(boundaries(&[5], &[half()], TieRule::Nearest, 0, 1), None);
        assert_eq!(
            boundaries(&[5; 100], &[half()], TieRule::Nearest, usize::MAX, 1),
            None
        );
    }

    #[test]
    fn equal_marks_always_give_the_same_line() {
        let found = boundaries(&[7; 9], &[half()], TieRule::AtLeast, 50, 3).unwrap();
        assert_eq!(
            found,
            [ResampledBoundary {
                marks: vec![(7, 50)],
                nobody: 0,
                same_as_next: 0
            }]
        );
        let found = boundaries(&[7; 9], &[half()], TieRule::NotAbove, 50, 3).unwrap();
        assert_eq!(
            found,
            [ResampledBoundary {
                marks: vec![],
                nobody: 50,
                same_as_next: 0
            }]
        );
    }

    #[test]
    fn a_seed_gives_the_same_cohorts_again_and_another_seed_others() {
        let marks = [3, 5, 8, 13, 21, 34];
        let found = |seed| boundaries(&marks, &[half()], TieRule::Nearest, 200, seed);
        assert_eq!(found(1), found(1));
        assert_ne!(found(1), found(2));
    }

    /// Half and all of two people: the lines are the same where one of them is drawn twice, 1/2 of 4000, SD 32.
    #[test]
    fn lines_that_fall_together_are_counted_draw_by_draw() {
        let shares = [Share::new(1, 1).unwrap(), half()];
        let found = boundaries(&[1, 2], &shares, TieRule::AtLeast, 4000, 6).unwrap();
        let same: Vec<_> = found.iter().map(|line| line.same_as_next).collect();
        assert!((1872..2128).contains(&same[0]) && same[1] == 0, "{same:?}");
    }

    #[test]
    fn the_better_of_two_people_is_drawn_in_three_cohorts_of_four() {
        // The best mark is the higher one unless both draws are the lower: 3/4 of 4000, SD 27.
        let found = boundaries(&[1, 2], &[half()], TieRule::AtLeast, 4000, 5).unwrap();
        let both_low = found[0].marks[0].1;
        assert!((900..1100).contains(&both_low), "{both_low}");
    }
}
