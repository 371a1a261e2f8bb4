//! Sittings with their questions by number, so that every calibration of one group compares numbers instead of words.

use std::collections::{BTreeMap, BTreeSet};

use super::item::ItemId;
use crate::analysis::evidence::Evidence;
use crate::domain::paper::{Fingerprint, PaperId};
use crate::domain::rule::QuestionNo;

/// A sitting in an index.
#[derive(Clone, Debug)]
pub struct Indexed<'a> {
    /// What it says.
    pub evidence: &'a Evidence,
    /// Which of the index's questions its answers are to, in their order.
    pub(super) items: Vec<usize>,
    /// Which of the index's pupils it is of.
    pub pupil: usize,
    /// Which of the index's papers it is of.
    pub paper: usize,
}

/// A group's sittings and the questions that they asked.
#[derive(Clone, Debug, Default)]
pub struct ItemIndex<'a> {
    /// The questions, in order: of two the lower number is the lower id.
    ids: Vec<ItemId>,
    sittings: Vec<Indexed<'a>>,
}

/// Sittings of one paper whose files have the same words.
struct SameWords<'a> {
    texts: &'a BTreeMap<QuestionNo, Fingerprint>,
    of: &'a Evidence,
    items: BTreeMap<QuestionNo, usize>,
}

impl<'a> ItemIndex<'a> {
    /// Of these sittings, in their order.
    pub fn new(evidence: impl IntoIterator<Item = &'a Evidence>) -> Self {
        let mut pupils = BTreeMap::new();
        let mut papers = BTreeMap::<&PaperId, (usize, Vec<SameWords<'a>>)>::new();
        let mut sittings = Vec::new();
        for one in evidence {
            let next = pupils.len();
            let pupil = *pupils.entry(&one.pupil).or_insert(next);
            let next = papers.len();
            let (paper, kinds) = papers.entry(&one.paper).or_insert((next, Vec::new()));
            let known = kinds.iter().position(|kind| *kind.texts == one.texts);
            let kind = known.unwrap_or(kinds.len());
            if known.is_none() {
                kinds.push(SameWords {
                    texts: &one.texts,
                    of: one,
                    items: BTreeMap::new(),
                });
            }
            if let Some(own) = kinds.get_mut(kind) {
                let asked = one.answers.iter().map(|seen| (seen.number, 0));
                own.items.extend(asked);
            }
            sittings.push((one, pupil, *paper, kind));
        }
        let mut kinds: Vec<(usize, Vec<SameWords<'_>>)> = papers.into_values().collect();
        kinds.sort_by_key(|(paper, _)| *paper);
        let mut kinds: Vec<_> = kinds.into_iter().map(|(_, kinds)| kinds).collect();
        let every = kinds.iter().flatten();
        let every = every.flat_map(|kind| kind.items.keys().map(|no| ItemId::of(kind.of, *no)));
        let ids: Vec<ItemId> = every.collect::<BTreeSet<_>>().into_iter().collect();
        for kind in kinds.iter_mut().flatten() {
            for (number, item) in &mut kind.items {
                *item = ids
                    .binary_search(&ItemId::of(kind.of, *number))
                    .unwrap_or(ids.len());
            }
        }
        let indexed = |(evidence, pupil, paper, kind): (&'a Evidence, usize, usize, usize)| {
            let kind = kinds.get(paper).and_then(|kinds| kinds.get(kind));
            let answers = evidence.answers.iter();
            let item = |number| kind?.items.get(number).copied();
            Indexed {
                evidence,
                items: answers.filter_map(|seen| item(&seen.number)).collect(),
                pupil,
                paper,
            }
        };
        let sittings = sittings.into_iter().map(indexed).collect();
        Self { ids, sittings }
    }

    /// The sittings, in the order they were given in.
    pub fn sittings(&self) -> &[Indexed<'a>] {
        &self.sittings
    }

    /// The question of a number.
    pub(super) fn id(&self, item: usize) -> Option<&ItemId> {
        self.ids.get(item)
    }

    /// How many questions there are.
    pub(super) const fn items(&self) -> usize {
        self.ids.len()
    }
}
