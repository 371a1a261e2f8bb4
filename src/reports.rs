//! Marks as text, table and JSON.
//!
//! Everything here is worked out from a [`Subject`] (a sitting with what is to be said of its
//! file) and a key; nobody here reads a file or a clock.

pub mod aim;
pub mod boundary;
pub mod chances;
pub mod feedback;
pub mod forecast;
pub mod group;
pub mod json;
pub mod luck;
pub mod notices;
pub mod plan;
pub mod progress;
pub mod scored;
pub mod sources;
pub mod table;
pub mod text;

use chrono::NaiveDate;

use crate::domain::event::Stamped;
use crate::domain::key::Key;
use crate::domain::paper::Outline;
use crate::domain::sitting::Sitting;
use scored::Scored;

/// A sitting as its file gives it.
#[derive(Clone, Debug)]
pub struct Subject {
    /// The sitting after its last event.
    pub sitting: Sitting,
    /// Its events.
    pub events: Vec<Stamped>,
    /// What is to be said of the file: a torn last line, damage that was read up to.
    pub remarks: Vec<String>,
}

/// A sitting marked, ready to be told.
#[derive(Clone, Debug)]
pub struct Report {
    /// The sitting.
    pub subject: Subject,
    /// The key it was marked with.
    pub key: Key,
    /// Marked under the rule it was sat under.
    pub own: Scored,
    /// Marked under another paper's rule, where that was asked for.
    pub under: Option<Scored>,
    /// The day of the report.
    pub today: NaiveDate,
}

impl Report {
    /// Marks a sitting under its own rule, and under another one where asked.
    pub fn new(subject: Subject, key: Key, under: Option<&Outline>, today: NaiveDate) -> Self {
        let sitting = &subject.sitting;
        let own = &sitting.header().paper;
        // The rule and its boundaries are the other paper's; the options chosen among are not.
        let under = under.map(|other| Outline {
            options: own.options.clone(),
            own_options: own.own_options.clone(),
            ..other.clone()
        });
        Self {
            own: Scored::new(sitting, &key, own),
            under: under.map(|outline| Scored::new(sitting, &key, &outline)),
            subject,
            key,
            today,
        }
    }
}

#[cfg(test)]
mod tests;
