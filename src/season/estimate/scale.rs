//! How hard each question is: from the group's answers where they allow it, else from its place.

use std::collections::{BTreeMap, BTreeSet};

use crate::analysis::evidence::Evidence;
use crate::cohort::prior_means;
use crate::cohort::scale::{Counting, ItemId, ScaleCalibration};
use crate::domain::paper::Paper;
use crate::domain::paper::PaperId;
use crate::domain::rule::QuestionNo;
use crate::stats::ability::Difficulty;
use crate::stats::shrink::pooled;

/// Difficulties on one scale.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DifficultyScale {
    measured: BTreeMap<ItemId, Difficulty>,
    /// What each question of each paper is called, as far as it has words.
    names: BTreeMap<(PaperId, QuestionNo), ItemId>,
    /// How many people the calibration rests on; none where there is no calibration.
    pub people: usize,
    /// Why there is no calibration, in a sentence.
    pub shortage: Option<String>,
}

impl DifficultyScale {
    /// Calibrates together with `target` all papers that the group's answers link to it, or to the papers of the
    /// pupil's `own` sittings, else `target` alone; what is found is drawn towards the default by its standard error.
    pub fn new(own: &[&Evidence], group: &[&Evidence], target: &Paper) -> Self {
        let id = PaperId::of(&target.outline);
        let mut latest: Vec<_> = own.iter().collect();
        latest.sort_by_key(|one| std::cmp::Reverse(one.started));
        let wanted: Vec<_> = std::iter::once(&id)
            .chain(latest.into_iter().map(|one| &one.paper))
            .collect();
        let of_target = group.iter().copied().filter(|one| one.paper == id);
        let alone =
            || ScaleCalibration::new(&of_target.collect::<Vec<_>>(), &[&id], Counting::Worked).ok();
        let found = ScaleCalibration::new(group, &wanted, Counting::Worked);
        let found = found.or_else(|why| alone().ok_or(why));
        let names = names(own.iter().chain(group), target);
        match found {
            Ok(linked) => Self {
                measured: drawn(&linked),
                names,
                people: linked.people,
                shortage: None,
            },
            Err(why) => Self {
                names,
                shortage: Some(why.to_string()),
                ..Self::default()
            },
        }
    }

    fn item(&self, paper: &PaperId, number: QuestionNo) -> ItemId {
        let name = self.names.get(&(paper.clone(), number));
        name.cloned()
            .unwrap_or_else(|| ItemId::Numbered(paper.clone(), number))
    }

    /// How hard a question of a paper was found to be; nothing where the group does not say.
    pub fn measured(&self, paper: &PaperId, number: QuestionNo) -> Option<Difficulty> {
        self.measured.get(&self.item(paper, number)).copied()
    }

    /// Whether the paper as a whole has its place on the scale.
    pub fn holds(&self, paper: &PaperId) -> bool {
        let of = |item: &ItemId| matches!(item, ItemId::Numbered(own, _) if own == paper);
        let mut named = self.names.iter().filter(|((own, _), _)| own == paper);
        self.measured.keys().any(of) || named.any(|(_, item)| self.measured.contains_key(item))
    }
}

fn drawn(linked: &ScaleCalibration) -> BTreeMap<ItemId, Difficulty> {
    let drawn = linked.measured().map(|(item, place, found)| {
        let default = prior_means::difficulty(place);
        let (mean, sd) = pooled(
            (found.difficulty, found.error.max(1e-3)),
            (default.mean, default.sd),
        );
        (item.clone(), Difficulty { mean, sd })
    });
    drawn.collect()
}

/// The questions that have words, of the sittings' papers and of the one asked about.
fn names<'a>(
    evidence: impl Iterator<Item = &'a &'a Evidence>,
    target: &Paper,
) -> BTreeMap<(PaperId, QuestionNo), ItemId> {
    let mut names = BTreeMap::new();
    let mut done = BTreeSet::new();
    for one in evidence.filter(|one| done.insert(&one.paper)) {
        for (number, text) in &one.texts {
            names.insert((one.paper.clone(), *number), ItemId::Text(text.to_string()));
        }
    }
    let id = PaperId::of(&target.outline);
    let unsat = !done.contains(&id);
    for (index, question) in target.questions.iter().enumerate() {
        if let Some(text) = question.text_fingerprint().filter(|_| unsat) {
            let number = QuestionNo::from_index(index);
            names.insert((id.clone(), number), ItemId::Text(text.to_string()));
        }
    }
    names
}
