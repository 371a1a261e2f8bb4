//! A season on one scale: what is known of its papers, and where each sitting stands.

use std::collections::BTreeMap;

use thiserror::Error;

use crate::cohort::scale::Lack;
use crate::cohort::scale::equating::MeanEquating;
use crate::domain::mark::Mark;
use crate::stats::rasch::Measure;

/// A season on one scale.
#[derive(Clone, Debug, PartialEq)]
pub struct OnScale {
    /// The paper that marks are said on: the latest one compared.
    pub reference: String,
    /// The most that it gave.
    pub max: Mark,
    /// How many other pupils the difficulties rest on; none where there is no scale.
    pub people: usize,
    /// The papers on the scale.
    pub papers: Vec<String>,
    /// Why there is no scale.
    pub shortage: Option<NoScale>,
    /// The pupil's papers that nothing links to the reference.
    pub apart: Vec<String>,
    /// The sittings on the scale, by their id.
    pub sittings: BTreeMap<String, ScalePlace>,
    /// For papers that are not on it: how much harder than the reference they seem.
    pub shifts: Vec<MeanEquating>,
}

/// Why there is no scale.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum NoScale {
    /// The papers have none in common.
    #[error(transparent)]
    Lack(#[from] Lack),
    /// Nobody else's sitting leads to the paper that marks would be said on.
    #[error("no other pupil's sitting is linked to `{0}`")]
    NotLinked(String),
}

/// A sitting's place on the scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ScalePlace {
    /// Warm's estimate, in logits, with its standard error.
    pub measure: Measure,
    /// The mark on the reference paper that it goes with.
    pub worth: f64,
    /// The standard error of that, the link between the papers and the day in it.
    pub error: f64,
    /// Where it lies in 8 of 10 cases.
    pub range: (f64, f64),
}
