//! A good choice to start from: the best for several tastes for risk, then improved a step at a time.

use super::problem::{ChoiceProblem, TIE, Way};
use crate::stats::knapsack::{KnapsackItem, choose};
use crate::stats::steps;

/// How much a unit of variance may be worth, in parts of what it takes to reach the target.
const TASTES: [f64; 5] = [0.0, 0.02, -0.02, 0.1, -0.1];

/// The most additions that improving may take: on a paper of many questions and fine marks it stops sooner.
const WORK: usize = 300_000_000;

/// The best choice that single changes and exchanges lead to, with its chance.
pub(super) fn best_nearby(problem: &ChoiceProblem<'_>) -> Option<(Vec<usize>, f64)> {
    let mut best: Option<(Vec<usize>, f64)> = None;
    for taste in TASTES {
        let picks = by_taste(problem, taste)?;
        let chance = problem.chance(&picks)?;
        if best.as_ref().is_none_or(|(_, known)| chance > known + TIE) {
            best = Some((picks, chance));
        }
    }
    let (mut picks, mut chance) = best?;
    let mut tries = WORK / (2 * problem.width * problem.questions.len()).max(1);
    while let Some(better) = one_better(problem, &picks, chance, &mut tries) {
        (picks, chance) = better;
    }
    Some((picks, chance))
}

/// The value of a way to somebody with a taste for risk, or against it.
fn value(way: &Way, taste: f64) -> f64 {
    let mean: f64 = way.outcomes.iter().map(|o| o.p * steps(o.gain)).sum();
    let square: f64 = way
        .outcomes
        .iter()
        .map(|o| o.p * steps(o.gain).powi(2))
        .sum();
    mean + taste * (square - mean * mean)
}

fn by_taste(problem: &ChoiceProblem<'_>, taste: f64) -> Option<Vec<usize>> {
    let better = |ways: &[Way], free: bool| {
        let mut best: Option<(usize, f64)> = None;
        for (place, way) in ways
            .iter()
            .enumerate()
            .filter(|(_, way)| (way.seconds == 0) == free)
        {
            let value = value(way, taste);
            if best.is_none_or(|(_, known)| value > known + TIE) {
                best = Some((place, value));
            }
        }
        best
    };
    let free: Option<Vec<_>> = problem
        .questions
        .iter()
        .map(|ways| better(ways, true))
        .collect();
    let free = free?;
    let tried: Vec<_> = problem
        .questions
        .iter()
        .map(|ways| better(ways, false))
        .collect();
    let items =
        problem
            .questions
            .iter()
            .zip(&tried)
            .zip(&free)
            .map(|((ways, tried), (_, idle))| {
                let (place, value) = (*tried)?;
                Some(KnapsackItem {
                    seconds: ways.get(place)?.seconds,
                    gain: value - idle,
                })
            });
    let nothing = KnapsackItem {
        seconds: 0,
        gain: 0.0,
    };
    let items: Vec<KnapsackItem> = items.map(|item| item.unwrap_or(nothing)).collect();
    let chosen = choose(&items, problem.budget);
    let picks =
        chosen
            .iter()
            .zip(tried)
            .zip(free)
            .map(|((chosen, tried), (idle, _))| match tried {
                Some((place, _)) if *chosen => place,
                _ => idle,
            });
    Some(picks.collect())
}

/// The first change of one question, or of two, that is better.
fn one_better(
    problem: &ChoiceProblem<'_>,
    picks: &[usize],
    chance: f64,
    tries: &mut usize,
) -> Option<(Vec<usize>, f64)> {
    let others = |question: usize, own: usize| {
        let count = problem.questions.get(question).map_or(0, Vec::len);
        (0..count).filter(move |pick| *pick != own)
    };
    let all = || picks.iter().copied().enumerate();
    let mut changed = picks.to_vec();
    let mut better = |changes: &[(usize, usize)]| {
        *tries = tries.checked_sub(1)?;
        changed.copy_from_slice(picks);
        for (question, pick) in changes {
            if let Some(slot) = changed.get_mut(*question) {
                *slot = *pick;
            }
        }
        let found = problem
            .chance(&changed)
            .filter(|found| *found > chance + TIE)?;
        Some((changed.clone(), found))
    };
    let single = all().flat_map(|(q, own)| others(q, own).map(move |pick| (q, pick)));
    if let Some(found) = single.clone().find_map(|change| better(&[change])) {
        return Some(found);
    }
    for one in single.clone() {
        for other in single.clone().filter(|other| other.0 > one.0) {
            if let Some(found) = better(&[one, other]) {
                return Some(found);
            }
        }
    }
    None
}
