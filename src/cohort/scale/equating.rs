//! How much harder one paper is than another, where the two cannot be calibrated: a difference of means, drawn to
//! none by its standard error.

use std::collections::BTreeMap;

use serde::Serialize;

use super::{Counting, FEWEST_PEOPLE};
use crate::analysis::evidence::Evidence;
use crate::domain::header::Alias;
use crate::domain::paper::PaperId;
use crate::stats::real;
use crate::stats::shrink::by_error;
use crate::stats::summary::{mean, sd};

/// How far papers of one kind lie apart (SD), in questions (a stated default, no source).
const PAPERS: f64 = 1.5;

/// How many questions more a paper counts, set beside another one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MeanEquating {
    /// The paper's id.
    pub paper: String,
    /// The difference of means as seen: above 0 for a harder paper.
    pub seen: f64,
    /// Its standard error.
    #[serde(rename = "standard_error")]
    pub error: f64,
    /// What of it is believed.
    pub used: f64,
    /// How many pupils sat the paper, and how many the other one.
    pub people: (usize, usize),
    /// Whether they are the same pupils; if not, the two groups are taken as alike.
    pub same_pupils: bool,
}

impl MeanEquating {
    /// From `from` to `to`, in questions of `to`, by whole sittings; `None` where fewer than [`FEWEST_PEOPLE`] sat
    /// one of them.
    ///
    /// Mean equating (Kolen & Brennan 2014, *Test Equating, Scaling, and Linking*, from memory), from the pupils who
    /// sat both where they are enough, else from two groups taken as alike.
    pub fn between(evidence: &[&Evidence], from: &PaperId, to: &PaperId) -> Option<Self> {
        let (ours, theirs) = (shares(evidence, from), shares(evidence, to));
        let questions = evidence
            .iter()
            .filter(|one| one.is_whole() && one.paper == *to);
        let questions = real(questions.map(|one| one.answers.len()).max()?);
        let of = |shares: &BTreeMap<&Alias, f64>| -> Vec<f64> {
            shares.values().map(|share| share * questions).collect()
        };
        let both = ours.iter().filter_map(|(pupil, own)| {
            let other = theirs.get(pupil)?;
            Some((other - own) * questions)
        });
        let both: Vec<f64> = both.collect();
        let same_pupils = both.len() >= FEWEST_PEOPLE;
        let (seen, error, people) = if same_pupils {
            let error = sd(&both)? / real(both.len()).sqrt();
            (mean(&both)?, error, (both.len(), both.len()))
        } else {
            let (ours, theirs) = (of(&ours), of(&theirs));
            if ours.len().min(theirs.len()) < FEWEST_PEOPLE {
                return None;
            }
            let part = |values: &[f64]| Some(sd(values)?.powi(2) / real(values.len()));
            let error = (part(&ours)? + part(&theirs)?).sqrt();
            let seen = mean(&theirs)? - mean(&ours)?;
            (seen, error, (ours.len(), theirs.len()))
        };
        Some(Self {
            paper: from.id().to_owned(),
            seen,
            error,
            used: by_error(seen, error, PAPERS),
            people,
            same_pupils,
        })
    }
}

/// The share right of each pupil's first whole sitting of a paper.
fn shares<'a>(evidence: &[&'a Evidence], paper: &PaperId) -> BTreeMap<&'a Alias, f64> {
    let mut own: Vec<_> = evidence
        .iter()
        .filter(|one| one.is_whole() && one.paper == *paper && !one.answers.is_empty())
        .collect();
    own.sort_by_key(|one| one.started);
    let mut shares = BTreeMap::new();
    for one in own {
        let right = one
            .answers
            .iter()
            .filter(|seen| Counting::Asked.right(seen) == Some(true));
        let share = real(right.count()) / real(one.answers.len());
        shares.entry(&one.pupil).or_insert(share);
    }
    shares
}
