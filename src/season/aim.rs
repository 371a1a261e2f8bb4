//! The chance of a mark from what a pupil's sittings say: a list of chances, one for each question.
//!
//! What the pupil is like is known only roughly, so the chance is averaged over all that they may be like, as in
//! [`crate::season::forecast`]; the list of single chances alone would make it look surer than it is.

use crate::domain::mark::Mark;
use crate::domain::paper::Paper;
use crate::domain::rule::{QuestionNo, Section};
use crate::odds::aim::OneMore;
use crate::season::estimate::Estimates;
use crate::season::forecast::{Forecast, ahead};

/// How likely a pupil is to reach a mark in time.
#[derive(Clone, Debug, PartialEq)]
pub struct Likely {
    /// The chance.
    pub chance: f64,
    /// The mark on average, and its SD.
    pub expected: (f64, f64),
    /// How likely each question is to be right in time.
    pub chances: Vec<(QuestionNo, f64)>,
    /// What one more right answer changes, section by section: the question least likely to be right made sure.
    pub more: Vec<OneMore>,
}

impl Likely {
    /// Works it out; `None` only where the rule's marks are too fine to compute with.
    pub fn new(paper: &Paper, estimates: &Estimates, mark: Mark) -> Option<Self> {
        let ahead = ahead(paper, estimates)?;
        let forecast = Forecast::with_sure(paper, &ahead, None)?;
        let chance = forecast.chance_of(mark);
        let chances = ahead.right(&ahead.in_order());
        let more = |section: &Section| {
            let own = chances.iter().filter(|(number, _)| section.holds(*number));
            let least = own.min_by(|one, other| one.1.total_cmp(&other.1));
            let sure =
                least.and_then(|(number, _)| Forecast::with_sure(paper, &ahead, Some(*number)));
            OneMore {
                instead_of_blank: section.right - section.blank,
                instead_of_wrong: section.right - section.wrong,
                chance: sure.map(|sure| sure.chance_of(mark) - chance),
            }
        };
        Some(Self {
            chance,
            expected: forecast.expected(),
            more: paper.outline.rule.sections.iter().map(more).collect(),
            chances,
        })
    }
}
