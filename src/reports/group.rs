//! A group's figures on one paper as text, JSON and CSV.

pub mod csv;
mod histogram;
pub mod json;
mod options;
mod page;
mod questions;
pub mod text;
mod times;

use crate::cohort::items::{AnswersFrom, Figures};
use crate::domain::paper::Outline;

/// What is told: the figures and where they come from.
#[derive(Clone, Copy, Debug)]
pub struct GroupReport<'a> {
    /// The paper whose rule was applied.
    pub paper: &'a Outline,
    /// The figures.
    pub figures: &'a Figures,
    /// Where the answers come from.
    pub source: AnswersFrom,
    /// Whether the text lists who chose what.
    pub with_options: bool,
    /// Whether any of the sittings is invented.
    pub invented: bool,
}

#[cfg(test)]
mod tests;
