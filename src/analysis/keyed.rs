//! A sitting held against its key, and a sitting with all that lies beside it.

use std::sync::Arc;

use super::earned::{Earned, earned};
use super::fold::Analysis;
use super::marks::Marks;
use crate::domain::header::Header;
use crate::domain::key::{Key, Mismatch};
use crate::domain::notes::Notes;
use crate::domain::paper::Paper;

/// What a key adds to a sitting.
#[derive(Clone, Debug)]
pub struct Keyed {
    /// The key.
    pub key: Arc<Key>,
    /// The marks under the sitting's own rule.
    pub marks: Marks,
    /// What each part of the time earned.
    pub earned: Earned,
}

impl Keyed {
    /// Holds a sitting against a key.
    ///
    /// # Errors
    /// A key that does not fit the paper that was sat.
    pub fn of(analysis: &Analysis, key: Arc<Key>) -> Result<Self, Mismatch> {
        let marks = Marks::of(analysis.end(), &key, &analysis.header().paper)?;
        Ok(Self::marked(analysis, key, marks))
    }

    /// The same where its marks under its own rule are known already.
    pub fn marked(analysis: &Analysis, key: Arc<Key>, marks: Marks) -> Self {
        let earned = earned(analysis, &key);
        Self { key, marks, earned }
    }
}

/// A sitting with everything at hand for it.
#[derive(Clone, Debug)]
pub struct Studied {
    /// What its log tells.
    pub analysis: Analysis,
    /// What a key adds, where one that fits is at hand.
    pub keyed: Option<Keyed>,
    /// The paper in the version that was sat, where it is at hand.
    pub paper: Option<Arc<Paper>>,
    /// The tutor's notes, where they could be read.
    pub notes: Option<Notes>,
}

impl Studied {
    /// A sitting with nothing but its log; a key that does not fit is none.
    pub fn new(analysis: Analysis, key: Option<Arc<Key>>) -> Self {
        Self {
            keyed: key.and_then(|key| Keyed::of(&analysis, key).ok()),
            analysis,
            paper: None,
            notes: None,
        }
    }

    /// What was settled before the start.
    pub fn header(&self) -> &Header {
        self.analysis.header()
    }

    /// The marks, where there is a key.
    pub fn marks(&self) -> Option<&Marks> {
        self.keyed.as_ref().map(|keyed| &keyed.marks)
    }
}
