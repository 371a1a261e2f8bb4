//! What forecasts would have said of past sittings, beside the marks that came.
//!
//! Each is the forecast that the sittings before it give: the pupil's own that began earlier, and others' of earlier
//! days, since a group sits at the same time; and what the pupil had practised by then counts as met. Nothing of what came later is in it. Of a paper sat before it is the
//! forecast with the questions met taken as easier, since they were.

pub(super) mod held;
mod look_back;
mod track_record;

pub use held::{ExpectedToHold, FEWEST_JUDGED, RangesHeld, Widening};
pub use look_back::LookBack;
pub use track_record::{ChanceBand, RECENT, TrackRecord};

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::{DateTime, Datelike, FixedOffset};
use serde::Serialize;

use crate::domain::header::Alias;
use crate::domain::mark::Mark;
use crate::domain::paper::{Paper, PaperId};

/// The papers of sittings, by version.
pub type Papers = BTreeMap<PaperId, Arc<Paper>>;

/// The chance of an award that was said, and whether it came.
#[derive(Clone, Debug, PartialEq)]
pub struct PastChance {
    /// The award.
    pub name: String,
    /// The chance of it or a better one.
    pub chance: f64,
    /// Whether the mark reached the paper's own boundary.
    pub reached: bool,
}

/// A forecast that would have been given.
#[derive(Clone, Debug, PartialEq)]
pub struct PastForecast {
    /// The mean and the standard deviation.
    pub expected: (f64, f64),
    /// The marks between which 8 in 10 should lie.
    pub range: (Mark, Mark),
    /// Whether the mark that came did.
    pub inside: bool,
    /// The paper's awards.
    pub awards: Vec<PastChance>,
}

/// Why none would have been given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum NotForecast {
    /// The sitting is of a part of a paper, or was given less than its time.
    NotWhole,
    /// Too few sittings came before.
    TooFew,
    /// The paper that was sat is not at hand.
    NoPaper,
    /// The paper's marks are too fine to compute with.
    TooFine,
}

/// A past sitting, with what would have been said before it.
#[derive(Clone, Debug, PartialEq)]
pub struct JudgedSitting {
    /// Its id.
    pub sitting: String,
    /// Whose.
    pub pupil: Alias,
    /// The paper's id.
    pub paper: String,
    /// When it began.
    pub started: DateTime<FixedOffset>,
    /// How many whole sittings of the pupil came before.
    pub before: usize,
    /// The mark in time that came.
    pub mark: Mark,
    /// The most that there was to get.
    pub max: Mark,
    /// The forecast.
    pub said: Result<PastForecast, NotForecast>,
}

impl JudgedSitting {
    /// The season that it belongs to, by the year in which that begins: from September to August, as schools in England
    /// count (common practice, no source).
    pub fn season(&self) -> i32 {
        let day = self.started.date_naive();
        day.year() - i32::from(day.month() < 9)
    }
}
