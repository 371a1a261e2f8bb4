//! What each pupil did on which question, and which papers hang together.

use std::collections::{BTreeMap, BTreeSet};

use super::item::{Counting, ItemId};
use crate::analysis::evidence::Evidence;
use crate::domain::header::Alias;
use crate::domain::paper::PaperId;

/// The most questions that are calibrated in one go for a pupil: the work grows with their third power.
const MOST_ITEMS: usize = 75;

/// What a pupil did, paper by paper in the order sat.
pub(super) type Own = Vec<BTreeMap<ItemId, bool>>;

/// The sittings of all papers that hang together, through a pupil or a question, with the first of `wanted` that
/// there is a sitting of; with the first sitting's paper where there is none of any.
pub(super) fn together<'a>(evidence: &[&'a Evidence], wanted: &[&PaperId]) -> Vec<&'a Evidence> {
    let sat = |paper: &&&PaperId| evidence.iter().any(|one| one.paper == ***paper);
    let first = wanted.iter().find(sat).copied();
    let Some(first) = first.or_else(|| evidence.first().map(|one| &one.paper)) else {
        return Vec::new();
    };
    let (mut inside, mut outside): (Vec<_>, Vec<_>) = evidence
        .iter()
        .copied()
        .partition(|one| one.paper == *first);
    let items = |one: &Evidence| -> BTreeSet<ItemId> {
        let numbers = one.answers.iter().map(|seen| seen.number);
        numbers.map(|number| ItemId::of(one, number)).collect()
    };
    let mut pupils: BTreeSet<&Alias> = BTreeSet::new();
    let mut questions: BTreeSet<ItemId> = BTreeSet::new();
    let mut new = inside.clone();
    while !new.is_empty() {
        for one in &new {
            pupils.insert(&one.pupil);
            questions.extend(items(one));
        }
        (new, outside) = outside.into_iter().partition(|one| {
            pupils.contains(&one.pupil) || items(one).iter().any(|item| questions.contains(item))
        });
        inside.extend(&new);
    }
    inside
}

/// What every pupil did; of a question met twice the first go counts. Sittings must come in the order sat.
pub(super) fn pupils<'a>(
    evidence: &[&'a Evidence],
    counting: Counting,
) -> BTreeMap<&'a Alias, Own> {
    let mut pupils = BTreeMap::<&Alias, Own>::new();
    for one in evidence {
        let own = pupils.entry(&one.pupil).or_default();
        let met = |item: &ItemId| own.iter().any(|paper| paper.contains_key(item));
        let new = one.answers.iter().filter_map(|seen| {
            let item = ItemId::of(one, seen.number);
            (!met(&item)).then_some((item, counting.right(seen)?))
        });
        let new: BTreeMap<_, _> = new.collect();
        if !new.is_empty() {
            own.push(new);
        }
    }
    pupils.retain(|_, own| !own.is_empty());
    pupils
}

/// Whether a pupil had some right and some not: only they say anything.
pub(super) fn is_between(own: &Own) -> bool {
    let is = |wanted: bool| {
        own.iter()
            .flat_map(BTreeMap::values)
            .any(|right| *right == wanted)
    };
    is(true) && is(false)
}

/// A pupil's questions in parts small enough to compute with, each with the last paper of the one before, so that
/// the parts stay linked.
pub(super) fn parts(own: &Own) -> Vec<Vec<(&ItemId, bool)>> {
    let mut parts: Vec<Vec<&BTreeMap<ItemId, bool>>> = vec![Vec::new()];
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
    let flat = parts.into_iter().map(|part| {
        let answers = part.into_iter().flatten();
        answers.map(|(item, right)| (item, *right)).collect()
    });
    flat.collect()
}
