//! Classical item analysis of a tallied cohort: how hard each question was, whether it told pupils apart,
//! which options drew whom, and how far the total can be trusted.
//!
//! Sums are exact whole numbers up to the last division. A correlation with something that does not vary is
//! `None`. With few people every figure here is rough; the caller prints the number of people beside it.

use super::reliability::{coefficient, kr20, kr21, sem};
use super::summary::{Quartiles, quartiles_of_counts};
use super::tally::{BLANK, Blanks, Tally};
use super::{real, wide};
use chosen::{Chosen, Edges, Sums, all_of, mark_spread, rest_spread};

mod chosen;

/// The share of people in the upper and in the lower group, in per cent: best for a normal trait (Kelley
/// 1939, *Journal of Educational Psychology* 30, 17-24, from memory).
pub const KELLEY_PERCENT: usize = 27;

/// The figures of a cohort on one paper.
#[derive(Debug, Clone, PartialEq)]
pub struct ItemAnalysis {
    /// The totals.
    pub totals: TotalStatistics,
    /// How far the totals can be trusted.
    pub reliability: Reliability,
    /// The questions, in the tally's order.
    pub items: Vec<ItemFigures>,
}

/// The totals of a cohort, in grid steps.
#[derive(Debug, Clone, PartialEq)]
pub struct TotalStatistics {
    /// How many people.
    pub people: usize,
    /// The mean.
    pub mean: f64,
    /// The SD with n - 1 below the line; `None` for one person.
    pub sd: Option<f64>,
    /// The SD with n below the line.
    pub sd_population: f64,
    /// The quartiles, by place (n - 1) p + 1.
    pub quartiles: Quartiles,
    /// The totals that occurred, lowest first, each with its number of people.
    pub histogram: Vec<(i64, usize)>,
}

/// How far the totals of a cohort can be trusted; `None` where they do not vary or there is one question.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reliability {
    /// Cronbach's alpha of the questions' marks (1951, *Psychometrika* 16, 297-334, from memory).
    pub alpha: Option<f64>,
    /// KR-20: alpha of right (1) and not right (0).
    pub kr20: Option<f64>,
    /// KR-21: KR-20 as if all questions were equally hard.
    pub kr21: Option<f64>,
    /// The standard error of measurement in grid steps, from alpha and the SD with n - 1.
    pub sem: Option<f64>,
}

/// The figures of one question.
#[derive(Debug, Clone, PartialEq)]
pub struct ItemFigures {
    /// How many had it right.
    pub right: usize,
    /// How many had it wrong.
    pub wrong: usize,
    /// How many left it blank.
    pub blanks: Blanks,
    /// The share of all people who had it right.
    pub facility: f64,
    /// The share of those who reached it who had it right; `None` when nobody did.
    pub facility_of_reached: Option<f64>,
    /// How it told people apart.
    pub discrimination: Discrimination,
    /// Alpha of the paper without it.
    pub alpha_without: Option<f64>,
    /// What became of each answer, the blank (code 0) first.
    pub options: Vec<ChoiceFigures>,
}

/// How a question told people apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Discrimination {
    /// The correlation of right (1) or not (0) with the total, the question's own mark included.
    pub item_total: Option<f64>,
    /// The corrected one: with the total less the question's own mark.
    pub item_rest: Option<f64>,
    /// The share right in the upper group.
    pub upper: Option<f64>,
    /// The share right in the lower group.
    pub lower: Option<f64>,
    /// The upper share less the lower one, D.
    pub difference: Option<f64>,
}

/// What became of one answer to a question.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChoiceFigures {
    /// Its code; 0 is the blank.
    pub code: u8,
    /// Whether it is right.
    pub is_right: bool,
    /// How many chose it.
    pub count: usize,
    /// The share of all people who chose it.
    pub share: f64,
    /// The mean total of those who chose it.
    pub mean_total: Option<f64>,
    /// Their mean total less this question's mark.
    pub mean_rest: Option<f64>,
    /// The correlation of "chose it" with the total less this question's mark.
    pub rest_correlation: Option<f64>,
    /// The same among those who answered the question alone; `None` for the blank.
    pub rest_among_answered: Option<f64>,
    /// How many of the upper group chose it; people who tie at its edge count in part.
    pub upper: f64,
    /// How many of the lower group chose it.
    pub lower: f64,
}

/// Works out every figure of a tallied cohort.
///
/// The upper and lower groups are each `percent` of the people (rounded, a half up) by total; people who tie
/// at a group's edge share its last places equally, so the order of the rows does not matter.
/// `None` when nobody has been counted or `percent` is not from 1 to 50.
pub fn analyse(tally: &Tally, percent: usize) -> Option<ItemAnalysis> {
    if tally.people() == 0 || !(1..=50).contains(&percent) {
        return None;
    }
    let people = tally.people();
    let size = people.checked_mul(percent)?.checked_add(50)? / 100;
    let groups = tally.by_total();
    let edges = Edges::new(&groups, size);
    let all: Vec<Vec<Chosen>> = tally
        .columns()
        .iter()
        .map(|column| Chosen::every(&groups, column, &edges))
        .collect();
    let histogram = tally.totals();
    let whole = Sums::of(histogram.iter().map(|(total, count)| (*total, *count)));
    let part: i128 = all.iter().map(|chosen| mark_spread(chosen)).sum();
    let sd = (people > 1).then(|| (wide(whole.spread()) / pairs(people)).sqrt());
    let alpha = coefficient(wide(part), wide(whole.spread()), all.len());
    let items = all.iter().zip(tally.blanks());
    Some(ItemAnalysis {
        items: items
            .map(|(chosen, blanks)| {
                let rest = rest_spread(chosen);
                let alpha_without =
                    coefficient(wide(part - mark_spread(chosen)), wide(rest), all.len() - 1);
                figures(chosen, blanks, &edges, alpha_without)
            })
            .collect(),
        reliability: reliability(tally, &all, alpha, sd),
        totals: TotalStatistics {
            people,
            mean: wide(whole.sum) / real(people),
            sd,
            sd_population: (wide(whole.spread()) / real(people).powi(2)).sqrt(),
            quartiles: quartiles_of_counts(&histogram)?,
            histogram,
        },
    })
}

fn reliability(
    tally: &Tally,
    all: &[Vec<Chosen>],
    alpha: Option<f64>,
    sd: Option<f64>,
) -> Reliability {
    let right = Sums::of((0i64..).zip(tally.numbers_right().iter().copied()));
    let facility = |chosen: &Vec<Chosen>| real(right_count(chosen)) / real(tally.people());
    let sum_pq = all.iter().map(facility).map(|p| p * (1.0 - p)).sum();
    Reliability {
        alpha,
        kr20: kr20(sum_pq, right.variance(), all.len()),
        kr21: right
            .mean()
            .and_then(|mean| kr21(mean, right.variance(), all.len())),
        sem: sd.zip(alpha).and_then(|(sd, alpha)| sem(sd, alpha)),
    }
}

fn right_count(chosen: &[Chosen]) -> usize {
    let count: i128 = chosen
        .iter()
        .filter(|one| one.is_right)
        .map(|one| one.sums.count)
        .sum();
    usize::try_from(count).unwrap_or(usize::MAX)
}

fn pairs(people: usize) -> f64 {
    real(people) * (real(people) - 1.0)
}

fn figures(
    chosen: &[Chosen],
    blanks: Blanks,
    edges: &Edges,
    alpha_without: Option<f64>,
) -> ItemFigures {
    let people = wide(chosen.iter().map(|one| one.sums.count).sum());
    let blank = blanks.omitted + blanks.not_reached;
    let right = right_count(chosen);
    let count = |one: &Chosen| usize::try_from(one.sums.count).unwrap_or(usize::MAX);
    let answered = chosen
        .iter()
        .map(count)
        .sum::<usize>()
        .saturating_sub(blank);
    let reached = answered + blanks.omitted;
    let rest = all_of(chosen.iter().map(Chosen::rest));
    let not_blank = chosen.iter().filter(|one| one.code != BLANK);
    let rest_of_answered = all_of(not_blank.map(Chosen::rest));
    ItemFigures {
        right,
        wrong: answered.saturating_sub(right),
        blanks,
        facility: real(right) / people,
        facility_of_reached: (reached > 0).then(|| real(right) / real(reached)),
        discrimination: discrimination(chosen, &rest, edges.size),
        alpha_without,
        options: chosen
            .iter()
            .map(|one| ChoiceFigures {
                code: one.code,
                is_right: one.is_right,
                count: count(one),
                share: wide(one.sums.count) / people,
                mean_total: one.sums.mean(),
                mean_rest: one.rest().mean(),
                rest_correlation: one.rest().correlation_within(&rest),
                rest_among_answered: (one.code != BLANK)
                    .then(|| one.rest().correlation_within(&rest_of_answered))
                    .flatten(),
                upper: one.upper,
                lower: one.lower,
            })
            .collect(),
    }
}

fn discrimination(chosen: &[Chosen], rest: &Sums, size: usize) -> Discrimination {
    let right = || chosen.iter().filter(|one| one.is_right);
    let share = |inside: f64| (size > 0).then(|| inside / real(size));
    let upper = share(right().map(|one| one.upper).sum());
    let lower = share(right().map(|one| one.lower).sum());
    let total = all_of(chosen.iter().map(|one| one.sums));
    Discrimination {
        item_total: all_of(right().map(|one| one.sums)).correlation_within(&total),
        item_rest: all_of(right().map(Chosen::rest)).correlation_within(rest),
        upper,
        lower,
        difference: upper.zip(lower).map(|(upper, lower)| upper - lower),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::tally::{Item, ItemMarks};
    use proptest::prelude::*;

    fn items(count: usize) -> Vec<Item> {
        let one = Item {
            options: 2,
            accepted: vec![1],
            marks: ItemMarks::NUMBER_RIGHT,
        };
        vec![one; count]
    }

    fn analysed(rows: &[&[u8]]) -> Option<ItemAnalysis> {
        let mut tally = Tally::new(items(rows.first().map_or(1, |row| row.len())), 0).unwrap();
        for row in rows {
            tally.add(row).unwrap();
        }
        analyse(&tally, KELLEY_PERCENT)
    }

    fn near(found: Option<f64>, expected: f64) -> bool {
        found.is_some_and(|found| (found - expected).abs() < 5e-4)
    }

    #[test]
    fn nobody_has_no_analysis() {
        assert_eq!(analysed(&[]), None);
        let mut tally = Tally::new(items(1), 0).unwrap();
        tally.add(&[1]).unwrap();
        assert_eq!(analyse(&tally, 0), None);
        assert_eq!(analyse(&tally, 51), None);
    }

    #[test]
    fn one_person_has_a_mark_and_no_spread() {
        let found = analysed(&[&[1, 2, 0]]).unwrap();
        assert_eq!((found.totals.people, found.totals.sd), (1, None));
        assert!(near(Some(found.totals.mean), 1.0));
        let none = Reliability {
            alpha: None,
            kr20: None,
            kr21: None,
            sem: None,
        };
        assert_eq!(found.reliability, none);
        let item = &found.items[2];
        assert_eq!((item.right, item.wrong, item.blanks.not_reached), (0, 0, 1));
        assert_eq!(
            (item.facility_of_reached, item.discrimination.item_rest),
            (None, None)
        );
        assert_eq!(item.discrimination.difference, None);
    }

    #[test]
    fn two_people_who_agree_on_nothing_are_told_apart_by_everything() {
        let found = analysed(&[&[1, 1, 1], &[2, 2, 2]]).unwrap();
        assert!(near(found.reliability.alpha, 1.0) && near(found.reliability.sem, 0.0));
        for item in &found.items {
            assert!(near(item.discrimination.item_rest, 1.0));
            assert!(near(item.discrimination.difference, 1.0));
        }
    }

    #[test]
    fn equal_people_have_no_correlations() {
        let found = analysed(&[&[1, 2][..]; 5]).unwrap();
        assert_eq!(found.reliability.alpha, None);
        assert!(near(found.totals.sd, 0.0));
        assert!(near(found.items[0].discrimination.difference, 0.0));
        assert_eq!(found.items[0].discrimination.item_total, None);
    }

    #[test]
    fn a_wrong_key_shows_as_a_negative_correlation() {
        // Totals 4, 4, 3, 2, 2, 1; variance 11/9; sum of p q 1.05556; KR-20 = 5/4 (1 - 0.86364).
        let found = analysed(&[
            &[1, 1, 1, 1, 2],
            &[1, 1, 1, 2, 1],
            &[1, 1, 2, 1, 2],
            &[1, 2, 1, 2, 2],
            &[1, 1, 2, 2, 2],
            &[2, 2, 2, 2, 1],
        ])
        .unwrap();
        assert!(near(found.reliability.kr20, 0.1705) && near(found.reliability.alpha, 0.1705));
        assert!(near(found.reliability.kr21, -0.0227));
        let rest = [0.415, 0.433, 0.186, 0.125, -0.472];
        for (item, expected) in found.items.iter().zip(rest) {
            assert!(near(item.discrimination.item_rest, expected));
        }
    }

    #[test]
    fn people_on_the_edge_of_a_group_share_its_places() {
        // 27 % of four is one place; two people tie for the top, two for the bottom.
        let found = analysed(&[&[1, 1, 1], &[1, 1, 1], &[1, 2, 2], &[2, 1, 2]]).unwrap();
        let shares = |index: usize| {
            let item: &ItemFigures = &found.items[index];
            (item.discrimination.upper, item.discrimination.lower)
        };
        assert_eq!(shares(0), (Some(1.0), Some(0.5)));
        assert_eq!(shares(2), (Some(1.0), Some(0.0)));
    }

    proptest! {
        #[test]
        fn the_order_of_rows_does_not_matter(
            rows in prop::collection::vec(prop::collection::vec(0u8..3, 4), 1..30),
        ) {
            let forth: Vec<&[u8]> = rows.iter().map(Vec::as_slice).collect();
            let back: Vec<&[u8]> = forth.iter().rev().copied().collect();
            let found = analysed(&forth).unwrap();
            prop_assert_eq!(&found, &analysed(&back).unwrap());
            for item in &found.items {
                let chosen: usize = item.options.iter().map(|option| option.count).sum();
                prop_assert_eq!(chosen, rows.len());
                prop_assert!(item.discrimination.item_rest.is_none_or(|r| r.abs() < 1.0 + 1e-9));
            }
        }
    }
}
