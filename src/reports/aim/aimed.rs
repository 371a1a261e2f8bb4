//! What a report of an aim is made from.

use chrono::NaiveDate;

use super::pupil::OfPupil;
use crate::domain::paper::Outline;
use crate::odds::aim::{Needed, OneMore};
use crate::odds::mark_distribution::MarkDistribution;

/// A mark aimed at, with what it takes.
#[derive(Clone, Copy, Debug)]
pub struct Aimed<'a> {
    /// The paper.
    pub outline: &'a Outline,
    /// What the mark takes.
    pub needed: &'a Needed,
    /// The total under the chances given, where they were.
    pub totals: Option<&'a MarkDistribution>,
    /// The same from a pupil's sittings, where one was named.
    pub pupil: Option<&'a OfPupil<'a>>,
    /// What one more right answer changes, section by section.
    pub more: &'a [OneMore],
    /// How many are right in the third and later sections of the picture.
    pub others: &'a [usize],
    /// The day of the report.
    pub today: NaiveDate,
}
