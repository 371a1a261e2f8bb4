//! A sitting's marks, awards and luck under one rule.

use crate::domain::header::Header;
use crate::domain::key::Key;
use crate::domain::mark::Mark;
use crate::domain::marking::{SittingMark, Take, answers, mark, mark_sitting};
use crate::domain::paper::Outline;
use crate::domain::sitting::Sitting;
use crate::odds::luck::{Luck, luck};
use crate::odds::shortfall::{Short, short_of};

/// One award, and how far the sitting is from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AwardMark {
    /// What the paper calls it.
    pub name: String,
    /// The lowest mark for it.
    pub boundary: Mark,
    /// Whether the mark in time reaches it.
    pub reached_in_time: bool,
    /// Whether the mark with the guess round reaches it.
    pub reached_with_guess_round: bool,
    /// How far the mark in time falls short; `None` where it reaches.
    ///
    /// In time, since that is the mark a real sitting would have had.
    pub short: Option<Short>,
}

impl AwardMark {
    /// The marks missing in time; none where it is reached.
    pub fn short_by(&self) -> Mark {
        self.short.as_ref().map_or(Mark::ZERO, |short| short.by)
    }
}

/// Whether a sitting leaves out questions of its paper.
pub fn is_part(header: &Header) -> bool {
    header.paper.numbers().any(|number| !header.asks(number))
}

/// A sitting marked under one rule.
#[derive(Clone, Debug)]
pub struct Scored {
    /// The paper whose rule and boundaries were taken.
    pub outline: Outline,
    /// The three marks.
    pub marks: SittingMark,
    /// The awards, as the paper lists them; none for a sitting of a part of the paper, since
    /// boundaries belong to the whole.
    pub awards: Vec<AwardMark>,
    /// The luck of its guesses.
    pub luck: Luck,
}

impl Scored {
    /// Marks `sitting` under the rule and the boundaries of `outline`.
    pub fn new(sitting: &Sitting, key: &Key, outline: &Outline) -> Self {
        let rule = &outline.rule;
        let marks = mark_sitting(sitting, key, rule);
        let in_time = mark(&answers(sitting, Take::InTime), key, rule);
        let award = |award: &crate::domain::paper::Award| AwardMark {
            name: award.name.clone(),
            boundary: award.boundary,
            reached_in_time: marks.in_time >= award.boundary,
            reached_with_guess_round: marks.with_guess_round.total >= award.boundary,
            short: short_of(award.boundary, &in_time, rule),
        };
        let whole = !is_part(sitting.header());
        let awards = outline.awards.iter().filter(|_| whole);
        Self {
            awards: awards.map(award).collect(),
            luck: luck(&marks.with_guess_round, key, outline),
            marks,
            outline: outline.clone(),
        }
    }

    /// The best award that the mark in time reaches.
    pub fn best_in_time(&self) -> Option<&AwardMark> {
        let reached = self.awards.iter().filter(|award| award.reached_in_time);
        reached.max_by_key(|award| award.boundary)
    }

    /// The nearest award that the mark in time does not reach.
    pub fn next_in_time(&self) -> Option<&AwardMark> {
        let missing = self.awards.iter().filter(|award| !award.reached_in_time);
        missing.min_by_key(|award| award.boundary)
    }
}
