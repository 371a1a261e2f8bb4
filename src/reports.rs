//! Marks as text, table and JSON.
//!
//! Everything here is worked out from a [`Subject`] (a sitting with what is to be said of its
//! file) and a key; nobody here reads a file or a clock.

pub mod aim;
pub mod boundary;
pub mod chances;
pub mod document;
pub mod evidence;
pub mod export;
pub mod feedback;
pub mod forecast;
pub mod group;
pub mod hindsight;
pub mod json;
pub mod luck;
pub mod notices;
pub mod overview;
pub mod papers;
pub mod plan;
pub mod print;
pub mod progress;
pub mod question;
pub mod rekeyed;
pub mod sources;
pub mod table;
pub mod tabular;
pub mod talk;
pub mod text;

use std::sync::Arc;

use chrono::NaiveDate;

use crate::analysis::{Analysis, Marks};
use crate::domain::key::{Key, Mismatch};
use crate::domain::notes::Ruling;
use crate::domain::paper::Outline;
use crate::domain::sitting::Sitting;
use crate::domain::standing::{Exclusion, Use};

/// A sitting as its file gives it.
#[derive(Clone, Debug)]
pub struct Subject {
    /// What its log tells.
    pub analysis: Analysis,
    /// What is to be said of the file: a torn last line, damage that was read up to.
    pub remarks: Vec<String>,
    /// Whether the sitting counts, where the tutor has decided.
    pub decision: Option<Ruling>,
    /// Whether another file of it says something else.
    pub disputed: bool,
}

impl Subject {
    /// The sitting after its last event.
    pub const fn sitting(&self) -> &Sitting {
        self.analysis.end()
    }

    /// Why it doesn't count in its pupil's figures; nothing where it does.
    pub fn barred(&self) -> Option<Exclusion> {
        self.analysis.standing().bars(Use::Evidence)
    }
}

/// Marks with the paper whose rule and boundaries they were taken under.
#[derive(Clone, Debug)]
pub struct MarkedUnder {
    /// The paper.
    pub outline: Outline,
    /// The marks.
    pub marks: Marks,
}

impl MarkedUnder {
    fn new(sitting: &Sitting, key: &Key, outline: Outline) -> Result<Self, Mismatch> {
        let marks = Marks::of(sitting, key, &outline)?;
        Ok(Self { outline, marks })
    }
}

/// A sitting marked, ready to be told.
#[derive(Clone, Debug)]
pub struct Report {
    /// The sitting.
    pub subject: Subject,
    /// The key it was marked with.
    pub key: Arc<Key>,
    /// Marked under the rule it was sat under.
    pub own: MarkedUnder,
    /// Marked under another paper's rule, where that was asked for.
    pub under: Option<MarkedUnder>,
    /// The day of the report.
    pub today: NaiveDate,
}

impl Report {
    /// Marks a sitting under its own rule, and under another one where asked.
    ///
    /// # Errors
    /// A key that does not fit the paper that was sat.
    pub fn new(
        subject: Subject,
        key: Arc<Key>,
        under: Option<&Outline>,
        today: NaiveDate,
    ) -> Result<Self, Mismatch> {
        let sitting = subject.sitting();
        let own = &sitting.header().paper;
        // The rule and its boundaries are the other paper's; the options chosen among are not.
        let under = under.map(|other| Outline {
            options: own.options.clone(),
            own_options: own.own_options.clone(),
            ..other.clone()
        });
        let under = under.map(|outline| MarkedUnder::new(sitting, &key, outline));
        Ok(Self {
            own: MarkedUnder::new(sitting, &key, own.clone())?,
            under: under.transpose()?,
            subject,
            key,
            today,
        })
    }
}

#[cfg(test)]
mod tests;
