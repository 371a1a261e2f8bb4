//! What a sitting is judged by: its log, and what a key and a group add.

use super::fold::Analysis;
use super::keyed::Keyed;
use super::norms::Norms;
use crate::domain::header::Header;
use crate::domain::thresholds::Thresholds;

/// What findings are drawn from; without a key or a group there are fewer of them.
#[derive(Clone, Copy, Debug)]
pub struct Basis<'a> {
    /// What the log tells.
    pub analysis: &'a Analysis,
    /// What a key adds.
    pub keyed: Option<&'a Keyed>,
    /// The group on this paper.
    pub norms: Option<&'a Norms>,
}

impl<'a> Basis<'a> {
    /// What was settled before the start.
    pub fn header(&self) -> &'a Header {
        self.analysis.header()
    }

    /// The thresholds in force.
    pub fn limits(&self) -> &'a Thresholds {
        self.analysis.limits()
    }
}
