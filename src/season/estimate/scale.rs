//! How hard each question is: from the group's answers where they allow it, else from its place.

use std::collections::BTreeMap;

use crate::analysis::evidence::Evidence;
use crate::cohort::prior_means;
use crate::cohort::scale::{
    Counting, Indexed, ItemId, ItemIndex, LatestCalibrations, ScaleCalibration,
};
use crate::domain::paper::Paper;
use crate::domain::paper::PaperId;
use crate::domain::rule::QuestionNo;
use crate::stats::ability::Difficulty;
use crate::stats::shrink::pooled;

/// What each question of each paper is called, as far as it has words.
type Names = BTreeMap<PaperId, BTreeMap<QuestionNo, ItemId>>;

/// Difficulties on one scale.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DifficultyScale {
    measured: BTreeMap<ItemId, Difficulty>,
    /// What each question of each paper is called, as far as it has words.
    names: Names,
    /// How many people the calibration rests on; none where there is no calibration.
    pub people: usize,
    /// Why there is no calibration, in a sentence.
    pub shortage: Option<String>,
}

impl DifficultyScale {
    /// Calibrates together with `target` all papers that the group's answers link to it, or to the papers of the
    /// pupil's `own` sittings, else `target` alone; what is found is drawn towards the default by its standard error.
    pub fn new(
        index: &ItemIndex<'_>,
        own: &[&Indexed<'_>],
        group: &[&Indexed<'_>],
        target: &Paper,
        latest: &mut LatestCalibrations,
    ) -> Self {
        let id = PaperId::of(&target.outline);
        let mut newest: Vec<_> = own.iter().map(|one| one.evidence).collect();
        newest.sort_by_key(|one| std::cmp::Reverse(one.started));
        let wanted: Vec<_> = std::iter::once(&id)
            .chain(newest.into_iter().map(|one| &one.paper))
            .collect();
        let mut calibrated = |those: &[&Indexed<'_>], wanted: &[&PaperId]| {
            ScaleCalibration::among(index, those, wanted, Counting::Worked, latest)
        };
        let found = calibrated(group, &wanted);
        let found = found.or_else(|why| {
            let of_target = group.iter().copied();
            let of_target = of_target.filter(|one| one.evidence.paper == id);
            calibrated(&of_target.collect::<Vec<_>>(), &[&id]).or(Err(why))
        });
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

    /// How hard a question of a paper was found to be; nothing where the group does not say.
    pub fn measured(&self, paper: &PaperId, number: QuestionNo) -> Option<Difficulty> {
        let named = self.names.get(paper).and_then(|names| names.get(&number));
        let found = match named {
            Some(item) => self.measured.get(item),
            None => self.measured.get(&ItemId::Numbered(paper.clone(), number)),
        };
        found.copied()
    }

    /// Whether the paper as a whole has its place on the scale.
    pub fn holds(&self, paper: &PaperId) -> bool {
        let of = |item: &ItemId| matches!(item, ItemId::Numbered(own, _) if own == paper);
        let mut named = self.names.get(paper).into_iter().flat_map(BTreeMap::values);
        named.any(|item| self.measured.contains_key(item)) || self.measured.keys().any(of)
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
fn names<'a>(sittings: impl Iterator<Item = &'a &'a Indexed<'a>>, target: &Paper) -> Names {
    let mut first = BTreeMap::<usize, &Evidence>::new();
    for one in sittings {
        first.entry(one.paper).or_insert(one.evidence);
    }
    let mut names = Names::new();
    for one in first.values() {
        let texts = one.texts.iter();
        let texts = texts.map(|(number, text)| (*number, ItemId::Text(text.to_string())));
        names.insert(one.paper.clone(), texts.collect());
    }
    names
        .entry(PaperId::of(&target.outline))
        .or_insert_with(|| {
            let questions = target.questions.iter().enumerate();
            let texts = questions.filter_map(|(index, question)| {
                let text = question.text_fingerprint()?;
                Some((
                    QuestionNo::from_index(index),
                    ItemId::Text(text.to_string()),
                ))
            });
            texts.collect()
        });
    names
}
