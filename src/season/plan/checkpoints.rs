//! A handful of checkpoints out of a whole plan: what a child can hold in the head.

use std::collections::BTreeSet;

use super::Task;
use crate::domain::header::{Checkpoint, PacePlan};
use crate::domain::mark::Mark;
use crate::domain::rule::QuestionNo;

/// How many checkpoints there are at the least, where there are questions enough, and at the most.
const FEWEST: usize = 4;
const MOST: usize = 6;
/// A question with a round number is easier to keep: worth being so many seconds off the middle.
const ROUND: u32 = 120;

/// A question that is tried, and when it is done.
#[derive(Clone, Copy)]
struct CheckpointStop {
    number: QuestionNo,
    done: u32,
}

/// Checkpoints at the ends of sections and between them, in half minutes, for the questions that are tried first and
/// take so many seconds each.
pub(super) fn of(tasks: &[Task], seconds: &[u32], first: &[bool], ends: &[QuestionNo]) -> PacePlan {
    let mut used = 0_u32;
    let tried = tasks.iter().zip(seconds).zip(first);
    let stops: Vec<CheckpointStop> = tried
        .filter(|(_, first)| **first)
        .map(|((task, seconds), _)| {
            used = used.saturating_add(*seconds);
            CheckpointStop {
                number: task.number,
                done: used,
            }
        })
        .collect();
    let mut chosen: BTreeSet<usize> = stops.len().checked_sub(1).into_iter().collect();
    for end in ends {
        // The last question tried at or before the section's end.
        chosen.extend(
            stops
                .partition_point(|stop| stop.number <= *end)
                .checked_sub(1),
        );
    }
    while chosen.len() > MOST {
        let Some(closest) = closest(&stops, &chosen) else {
            break;
        };
        chosen.remove(&closest);
    }
    while chosen.len() <= FEWEST {
        let Some(between) = between(&stops, &chosen) else {
            break;
        };
        chosen.insert(between);
    }
    PacePlan {
        checkpoints: rounded(chosen.iter().filter_map(|place| stops.get(*place))),
        leave: None,
        stay: None,
    }
}

/// The checkpoint, not the last, that comes soonest after the one before it.
fn closest(stops: &[CheckpointStop], chosen: &BTreeSet<usize>) -> Option<usize> {
    let done = |place: &usize| stops.get(*place).map_or(0, |stop| stop.done);
    let before = std::iter::once(0).chain(chosen.iter().map(done));
    let gaps = chosen
        .iter()
        .zip(before)
        .map(|(place, before)| (done(place).saturating_sub(before), *place));
    let last = chosen.last().copied();
    gaps.filter(|(_, place)| Some(*place) != last)
        .min()
        .map(|(_, place)| place)
}

/// The stop nearest the middle of the longest stretch that has one inside.
fn between(stops: &[CheckpointStop], chosen: &BTreeSet<usize>) -> Option<usize> {
    let done = |place: usize| stops.get(place).map_or(0, |stop| stop.done);
    let mut best: Option<(u32, usize)> = None;
    let mut from = None;
    for to in chosen {
        let first = from.map_or(0, |place: usize| place + 1);
        let begun = from.map_or(0, done);
        from = Some(*to);
        let gap = done(*to).saturating_sub(begun);
        let middle = begun + gap / 2;
        let off = |place: &usize| {
            let round = stops
                .get(*place)
                .is_some_and(|stop| stop.number.0.is_multiple_of(5));
            done(*place).abs_diff(middle) + if round { 0 } else { ROUND }
        };
        let inside = (first..*to).min_by_key(off);
        if let Some(place) = inside.filter(|_| best.is_none_or(|(known, _)| gap > known)) {
            best = Some((gap, place));
        }
    }
    best.map(|(_, place)| place)
}

/// Each stop to the nearest half minute; one that rounds to the moment of the one before takes its place.
fn rounded<'a>(stops: impl Iterator<Item = &'a CheckpointStop>) -> Vec<Checkpoint> {
    let mut checkpoints: Vec<Checkpoint> = Vec::new();
    for stop in stops {
        let halves = i64::from((stop.done + 15) / 30).max(1);
        let next = Checkpoint {
            question: stop.number,
            minutes: Mark::from_steps(halves, 2),
        };
        if checkpoints
            .last()
            .is_some_and(|last| last.minutes == next.minutes)
        {
            checkpoints.pop();
        }
        checkpoints.push(next);
    }
    checkpoints
}
