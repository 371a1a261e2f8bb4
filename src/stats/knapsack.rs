//! Which questions to try when there is not time for all: exact, by dynamic programming over seconds.

use statrs::distribution::{ContinuousCDF, Normal};

/// A question that can be tried: what it takes and what trying it brings over leaving it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KnapsackItem {
    /// What it takes.
    pub seconds: u32,
    /// The marks expected from trying it less those expected from leaving it.
    pub gain: f64,
}

/// Gains closer than this are called equal: then the earlier question is kept.
const TIE: f64 = 1e-12;

/// The set of items that brings most within `budget` seconds, as a choice for each item.
///
/// The 0-1 knapsack problem by dynamic programming over the budget (Bellman 1957, *Dynamic Programming*, from
/// memory): exact for whole seconds. An item that gains nothing is never taken; of sets that gain the same, the
/// one that leaves later items is found.
pub fn choose(items: &[KnapsackItem], budget: u32) -> Vec<bool> {
    let room = usize::try_from(budget).unwrap_or(usize::MAX - 1);
    // best[t]: the most that the items so far bring in t seconds; taken: whether the last of them is in it.
    let mut best = vec![0.0_f64; room + 1];
    let mut taken: Vec<Vec<bool>> = Vec::with_capacity(items.len());
    for item in items {
        let cost = usize::try_from(item.seconds).unwrap_or(usize::MAX);
        let mut row = vec![false; room + 1];
        if item.gain > TIE && cost <= room {
            let with: Vec<f64> = best
                .iter()
                .take(room + 1 - cost)
                .map(|gain| gain + item.gain)
                .collect();
            let slots = best.iter_mut().zip(&mut row).skip(cost);
            for ((slot, mark), with) in slots.zip(with) {
                if with > *slot + TIE {
                    *slot = with;
                    *mark = true;
                }
            }
        }
        taken.push(row);
    }
    let mut left = room;
    let mut chosen: Vec<bool> = items
        .iter()
        .zip(&taken)
        .rev()
        .map(|(item, row)| {
            let take = row.get(left).copied().unwrap_or(false);
            if take {
                left = left.saturating_sub(usize::try_from(item.seconds).unwrap_or(usize::MAX));
            }
            take
        })
        .collect();
    chosen.reverse();
    chosen
}

/// The choice of somebody who goes through the items in order until one does not fit any more.
pub fn in_order(seconds: &[u32], budget: u32) -> Vec<bool> {
    let mut used = 0_u32;
    let mut open = true;
    seconds
        .iter()
        .map(|own| {
            used = used.saturating_add(*own);
            open &= used <= budget;
            open
        })
        .collect()
}

/// When each chosen item is done, in seconds from the start; nothing for the others.
pub fn finishes(seconds: &[u32], chosen: &[bool]) -> Vec<Option<u32>> {
    let mut used = 0_u32;
    seconds
        .iter()
        .zip(chosen)
        .map(|(own, chosen)| {
            if *chosen {
                used = used.saturating_add(*own);
            }
            chosen.then_some(used)
        })
        .collect()
}

/// The chance that tasks of these expected times are done within `limit`, when each has its own SD of `spread`
/// times its expected time and they do not hang together: normal, by the central limit theorem.
///
/// `None` without a task, or where the spread is not above zero.
pub fn chance_done(expected: &[f64], spread: f64, limit: f64) -> Option<f64> {
    let mean: f64 = expected.iter().sum();
    let variance: f64 = expected.iter().map(|own| (own * spread).powi(2)).sum();
    let normal = Normal::new(mean, variance.sqrt()).ok()?;
    (variance > 0.0).then(|| normal.cdf(limit))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Minutes and chances of one plausible pupil; a guess is worth .2 (invented).
    const PROFILE: [(f64, f64); 25] = [
        (1.0, 0.97),
        (1.0, 0.96),
        (1.5, 0.95),
        (1.5, 0.94),
        (2.0, 0.92),
        (2.0, 0.92),
        (2.5, 0.88),
        (5.5, 0.55),
        (2.5, 0.86),
        (3.0, 0.82),
        (3.0, 0.80),
        (6.0, 0.50),
        (3.5, 0.74),
        (3.5, 0.70),
        (4.0, 0.66),
        (4.0, 0.58),
        (7.0, 0.40),
        (4.5, 0.50),
        (3.0, 0.62),
        (5.0, 0.42),
        (6.0, 0.36),
        (4.0, 0.45),
        (7.0, 0.30),
        (8.0, 0.25),
        (8.0, 0.22),
    ];

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole seconds of a few minutes"
    )]
    fn seconds(minutes: f64) -> u32 {
        (minutes * 60.0).round() as u32
    }

    fn profile() -> Vec<KnapsackItem> {
        PROFILE
            .iter()
            .map(|(minutes, p)| KnapsackItem {
                seconds: seconds(*minutes),
                gain: p - 0.2,
            })
            .collect()
    }

    fn gain(items: &[KnapsackItem], chosen: &[bool]) -> f64 {
        items
            .iter()
            .zip(chosen)
            .filter(|(_, chosen)| **chosen)
            .map(|(item, _)| item.gain)
            .sum()
    }

    /// One minute kept for guesses (computed independently, no published source).
    #[test]
    fn the_best_choice_of_one_pupil_at_three_times() {
        let items = profile();
        let costs: Vec<u32> = items.iter().map(|item| item.seconds).collect();
        for (minutes, marks, left, in_turn, done) in [
            (
                45,
                14.670,
                vec![12, 17, 18, 20, 21, 22, 23, 24, 25],
                14.17,
                15,
            ),
            (60, 15.520, vec![17, 20, 21, 23, 24, 25], 15.05, 18),
            (75, 15.940, vec![21, 23, 24, 25], 15.85, 21),
        ] {
            let budget = (minutes - 1) * 60;
            let chosen = choose(&items, budget);
            assert!((5.0 + gain(&items, &chosen) - marks).abs() < 1e-9);
            let blank: Vec<usize> = (1..)
                .zip(&chosen)
                .filter(|(_, chosen)| !**chosen)
                .map(|(q, _)| q)
                .collect();
            assert_eq!(blank, left);
            let in_turn_chosen = in_order(&costs, budget);
            assert_eq!(
                in_turn_chosen.iter().filter(|chosen| **chosen).count(),
                done
            );
            let guessed = 5.0 + gain(&items, &in_turn_chosen);
            assert!((guessed - in_turn).abs() < 1e-9, "{guessed}");
        }
    }

    /// 1.2, 2.5 and 3.6 minutes a question in sections of 10, 5 and 10; 53 of 60 minutes for the first pass
    /// (computed independently, no published source).
    #[test]
    fn a_plan_card_says_when_each_section_is_done() {
        let minutes = [vec![1.2; 10], vec![2.5; 5], vec![3.6; 10]].concat();
        let card =
            |factor: f64| -> Vec<u32> { minutes.iter().map(|m| seconds(m * factor)).collect() };
        let plain = card(1.0);
        let chosen = in_order(&plain, 53 * 60);
        let done = finishes(&plain, &chosen);
        assert_eq!((done[9], done[14]), (Some(12 * 60), Some(24 * 60 + 30)));
        assert_eq!(chosen.iter().filter(|chosen| **chosen).count(), 15 + 7);
        let forced = card(53.0 / 60.5);
        assert_eq!((forced[0], forced[10], forced[24]), (63, 131, 189));
        let done = finishes(&forced, &[true; 25]);
        // 10:31, 21:28 and 53:00 before each question is rounded to a second.
        for (question, expected) in [(9, 631), (14, 1288), (24, 3180)] {
            assert!(done[question].unwrap().abs_diff(expected) <= 8, "{done:?}");
        }
    }

    /// 20 tasks that take 58.5 minutes with an SD of 7.04: .584 within 60 and .310 within 55 (computed
    /// independently, no published source).
    #[test]
    fn the_chance_to_be_done_follows_the_normal_curve() {
        let spread = 7.04 / (58.5 / 20.0 * 20.0_f64.sqrt());
        let tasks = [58.5 / 20.0; 20];
        assert!((chance_done(&tasks, spread, 60.0).unwrap() - 0.584).abs() < 1e-3);
        assert!((chance_done(&tasks, spread, 55.0).unwrap() - 0.310).abs() < 1e-3);
        assert_eq!(
            (chance_done(&[], 0.5, 1.0), chance_done(&[1.0], 0.0, 1.0)),
            (None, None)
        );
    }

    #[test]
    fn nothing_is_chosen_for_nothing() {
        assert!(choose(&[], 10).is_empty());
        let item = |seconds, gain| KnapsackItem { seconds, gain };
        assert_eq!(
            choose(
                &[item(5, 1.0), item(0, -1.0), item(0, 0.5), item(0, 0.0)],
                4
            ),
            [false, false, true, false]
        );
        assert_eq!(choose(&[item(4, 1.0), item(4, 1.0)], 4), [true, false]);
    }

    proptest! {
        #[test]
        fn no_other_set_brings_more(
            pieces in prop::collection::vec((0u32..40, -3.0f64..9.0), 0..9),
            budget in 0u32..120,
        ) {
            let items: Vec<KnapsackItem> = pieces.iter().map(|&(seconds, gain)| KnapsackItem { seconds, gain }).collect();
            let costs: Vec<u32> = items.iter().map(|item| item.seconds).collect();
            let cost = |chosen: &[bool]| -> u32 {
                costs.iter().zip(chosen).filter(|(_, chosen)| **chosen).map(|(cost, _)| cost).sum()
            };
            let mut best = 0.0_f64;
            for set in 0_u32..1 << items.len() {
                let chosen: Vec<bool> = (0..items.len()).map(|place| set >> place & 1 == 1).collect();
                if cost(&chosen) <= budget {
                    best = best.max(gain(&items, &chosen));
                }
            }
            let chosen = choose(&items, budget);
            prop_assert!(cost(&chosen) <= budget);
            prop_assert!((gain(&items, &chosen) - best).abs() < 1e-9);
            prop_assert!(gain(&items, &chosen) >= gain(&items, &in_order(&costs, budget)) - 1e-9);
        }
    }
}
