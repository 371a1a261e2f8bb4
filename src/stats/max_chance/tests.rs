//! The search held against trying everything, and against one case that can be worked by hand.

use proptest::prelude::*;

use super::*;
use crate::stats::luck::PossibleGain;

fn outcome(gain: i64, p: f64) -> PossibleGain {
    PossibleGain { gain, p }
}

fn tried(seconds: u32, right: i64, wrong: i64, p: f64) -> Way {
    Way {
        seconds,
        outcomes: vec![outcome(right, p), outcome(wrong, 1.0 - p)],
    }
}

fn blank() -> Way {
    Way {
        seconds: 0,
        outcomes: vec![outcome(0, 1.0)],
    }
}

/// Every whole choice.
fn everything(start: i64, questions: &[Vec<Way>], budget: u32, target: i64) -> f64 {
    fn go(rest: &[Vec<Way>], left: u32, plans: &mut Vec<(u32, Vec<Way>)>, so_far: &[Way]) {
        let Some((ways, rest)) = rest.split_first() else {
            plans.push((left, so_far.to_vec()));
            return;
        };
        for way in ways {
            if let Some(left) = left.checked_sub(way.seconds) {
                let mut next = so_far.to_vec();
                next.push(way.clone());
                go(rest, left, plans, &next);
            }
        }
    }
    /// Every way that the outcomes can fall.
    fn reach(ways: &[Way], total: i64, target: i64) -> f64 {
        let Some((way, rest)) = ways.split_first() else {
            return if total >= target { 1.0 } else { 0.0 };
        };
        way.outcomes
            .iter()
            .map(|o| o.p * reach(rest, total + o.gain, target))
            .sum()
    }
    let mut plans = Vec::new();
    go(questions, budget, &mut plans, &[]);
    plans
        .iter()
        .map(|(_, ways)| reach(ways, start, target))
        .fold(0.0, f64::max)
}

/// A quarter off a wrong answer, in quarters: at 14 with line 15 and j blanks to guess or leave, exactly j
/// guesses give 0, .2, .04, .104, .181, .263, .345 (computed independently, no published source). Free to
/// choose how many, the best of up to j.
#[test]
fn near_a_line_the_number_of_guesses_is_chosen_by_the_chance() {
    let questions = |count: usize| vec![vec![tried(0, 4, -1, 0.2), blank()]; count];
    for (count, chance) in [
        (0, 0.0),
        (1, 0.2),
        (2, 0.2),
        (3, 0.2),
        (4, 0.2),
        (5, 0.2627),
        (6, 0.3446),
    ] {
        let best = best_choice(56, &questions(count), 0, 60).unwrap();
        assert!((best.chance - chance).abs() < 5e-5, "{count}: {best:?}");
        assert!(best.is_proven());
    }
    let two = best_choice(56, &questions(2), 0, 60).unwrap();
    assert_eq!(two.picks.iter().filter(|pick| **pick == 0).count(), 1);
}

#[test]
fn a_target_below_or_beyond_everything_is_certain_or_out_of_reach() {
    let questions = vec![vec![tried(10, 4, 0, 0.5), blank()]; 3];
    assert!((best_choice(0, &questions, 30, -5).unwrap().chance - 1.0).abs() < 1e-12);
    let beyond = best_choice(0, &questions, 30, 13).unwrap();
    assert!(beyond.chance.abs() < 1e-12 && beyond.is_proven());
}

#[test]
fn what_is_not_sound_has_no_answer() {
    assert_eq!(best_choice(0, &[vec![tried(5, 4, 0, 0.5)]], 10, 4), None);
    assert_eq!(best_choice(0, &[vec![]], 10, 4), None);
    let half = Way {
        seconds: 0,
        outcomes: vec![outcome(1, 0.5)],
    };
    assert_eq!(best_choice(0, &[vec![half]], 10, 4), None);
}

/// Twenty-five questions: the best found, and what no choice can pass.
#[test]
fn a_whole_paper_is_searched_as_far_as_it_goes_and_says_how_far_that_is() {
    let ramp = |place: u32| f64::from(place) / 25.0;
    let questions: Vec<_> = (0..25_u32)
        .map(|place| {
            let right = [4, 5, 7][usize::try_from(place / 10).unwrap()];
            vec![
                tried(40 + 8 * place, right, -1, 0.95 - 0.7 * ramp(place)),
                tried(0, right, -1, 0.2),
                blank(),
            ]
        })
        .collect();
    let best = best_choice(0, &questions, 2400, 70).unwrap();
    assert!(best.chance > 0.0 && best.limit >= best.chance && best.limit <= 1.0);
    assert!(best.limit - best.chance < 0.1, "{best:?}");
    let problem = ChoiceProblem::new(0, &questions, 2400, 70).unwrap();
    assert!((problem.chance(&best.picks).unwrap() - best.chance).abs() < 1e-9);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn no_choice_is_likelier_to_reach_the_target(
        pieces in prop::collection::vec((0u32..30, 1i64..8, -2i64..1, 0.0f64..=1.0, 0i64..2), 0..8),
        budget in 0u32..100,
        target in 0i64..30,
    ) {
        let questions: Vec<Vec<Way>> = pieces
            .iter()
            .map(|&(seconds, right, wrong, p, left)| vec![
                tried(seconds, right, wrong, p),
                tried(0, right, wrong, 0.25),
                Way { seconds: 0, outcomes: vec![outcome(left, 1.0)] },
            ])
            .collect();
        let best = best_choice(2, &questions, budget, target).unwrap();
        prop_assert!(best.is_proven());
        prop_assert!((best.chance - everything(2, &questions, budget, target)).abs() < 1e-9);
    }
}
