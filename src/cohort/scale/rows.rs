//! What each pupil did on which question, and which papers hang together.

use std::collections::BTreeMap;

use super::index::Indexed;
use super::item::Counting;
use crate::domain::header::Alias;
use crate::domain::paper::PaperId;

/// The most questions that are calibrated in one go for a pupil: the work grows with their third power.
const MOST_ITEMS: usize = 75;

/// What a pupil did, paper by paper in the order sat: questions of the index, in order, and whether each was right.
pub(super) type Own = Vec<Vec<(usize, bool)>>;

/// Which of so many numbers there are.
struct Numbers(Vec<bool>);

impl Numbers {
    fn of(size: usize) -> Self {
        Self(vec![false; size])
    }

    fn add(&mut self, number: usize) {
        if let Some(slot) = self.0.get_mut(number) {
            *slot = true;
        }
    }

    fn holds(&self, number: usize) -> bool {
        self.0.get(number).is_some_and(|held| *held)
    }
}

/// The sittings of all papers that hang together, through a pupil or a question, with the first of `wanted` that
/// there is a sitting of; with the first sitting's paper where there is none of any. The index has so many `items`.
pub(super) fn together<'i, 'a>(
    evidence: &[&'i Indexed<'a>],
    wanted: &[&PaperId],
    items: usize,
) -> Vec<&'i Indexed<'a>> {
    let of = |paper: &PaperId| {
        let mut all = evidence.iter();
        all.find(|one| one.evidence.paper == *paper)
    };
    let first = wanted.iter().find_map(|paper| of(paper));
    let Some(first) = first.or_else(|| evidence.first()) else {
        return Vec::new();
    };
    let (mut inside, mut outside): (Vec<_>, Vec<_>) = evidence
        .iter()
        .copied()
        .partition(|one| one.paper == first.paper);
    let most = evidence.iter().map(|one| one.pupil + 1).max();
    let mut pupils = Numbers::of(most.unwrap_or(0));
    let mut questions = Numbers::of(items);
    let mut new = inside.clone();
    while !new.is_empty() {
        for one in &new {
            pupils.add(one.pupil);
            for item in &one.items {
                questions.add(*item);
            }
        }
        (new, outside) = outside.into_iter().partition(|one| {
            pupils.holds(one.pupil) || one.items.iter().any(|item| questions.holds(*item))
        });
        inside.extend(&new);
    }
    inside
}

/// What every pupil did; of a question met twice the first go counts. Sittings must come in the order sat.
pub(super) fn pupils<'a>(
    evidence: &[&Indexed<'a>],
    counting: Counting,
    items: usize,
) -> BTreeMap<&'a Alias, Own> {
    let mut by_pupil = BTreeMap::<&'a Alias, Vec<&Indexed<'a>>>::new();
    for one in evidence {
        by_pupil.entry(&one.evidence.pupil).or_default().push(one);
    }
    let mut pupils = BTreeMap::new();
    for (pupil, sat) in by_pupil {
        let mut met = Numbers::of(items);
        let mut own = Own::new();
        for one in sat {
            let answers = one.items.iter().zip(&one.evidence.answers);
            let new = answers.filter_map(|(item, seen)| {
                (!met.holds(*item)).then_some((*item, counting.right(seen)?))
            });
            // A question that the paper asks twice has its last answer.
            let new: BTreeMap<usize, bool> = new.collect();
            if !new.is_empty() {
                for item in new.keys() {
                    met.add(*item);
                }
                own.push(new.into_iter().collect());
            }
        }
        if !own.is_empty() {
            pupils.insert(pupil, own);
        }
    }
    pupils
}

/// Whether a pupil had some right and some not: only they say anything.
pub(super) fn is_between(own: &Own) -> bool {
    let is = |wanted: bool| own.iter().flatten().any(|(_, right)| *right == wanted);
    is(true) && is(false)
}

/// A pupil's questions in parts small enough to compute with, each with the last paper of the one before, so that
/// the parts stay linked.
pub(super) fn parts(own: &Own) -> Vec<Vec<(usize, bool)>> {
    let mut parts: Vec<Vec<&Vec<(usize, bool)>>> = vec![Vec::new()];
    for paper in own {
        let Some(part) = parts.last_mut() else { break };
        let so_far: usize = part.iter().map(|paper| paper.len()).sum();
        if part.len() < 2 || so_far + paper.len() <= MOST_ITEMS {
            part.push(paper);
        } else {
            let link = part.last().copied();
            parts.push(link.into_iter().chain([paper]).collect());
        }
    }
    let flat = parts.into_iter();
    flat.map(|part| part.into_iter().flatten().copied().collect())
        .collect()
}
