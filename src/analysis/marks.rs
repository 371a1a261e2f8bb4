//! A sitting's three marks, its awards and its luck: the one shape of a marked sitting.

use crate::domain::abridged::Abridged;
use crate::domain::key::{Key, Mismatch};
use crate::domain::mark::Mark;
use crate::domain::marking::{Answer, Marked, QuestionMark, Take, answers, mark};
use crate::domain::paper::{Award, Outline};
use crate::domain::rule::QuestionNo;
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

/// A sitting's marks under one rule; they exist only with a key that fits its paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Marks {
    /// The sheet as it stood in time.
    pub in_time: Marked,
    /// The same with the guess round.
    pub with_guess_round: Marked,
    /// What was worked out: guessed and filled answers counted as blank.
    pub worked: Marked,
    /// The awards, as the paper lists them; none for a sitting of a part of the paper, since
    /// boundaries belong to the whole.
    pub awards: Vec<AwardMark>,
    /// The luck of the guesses.
    pub luck: Luck,
}

/// The totals of a marked sitting, for lists.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Totals {
    /// The mark in time.
    pub in_time: Mark,
    /// The mark with the guess round, where there was one.
    pub with_guess_round: Option<Mark>,
    /// The most there could be.
    pub max: Mark,
}

impl Totals {
    /// Marks a sitting under its own paper's rule, and works out nothing but the totals.
    ///
    /// # Errors
    /// A key that does not fit the paper that was sat.
    pub fn of(sat: &Abridged, key: &Key) -> Result<Self, Mismatch> {
        key.fits(&sat.paper)?;
        let marked = |answers: &[Answer]| mark(answers, key, &sat.paper.rule);
        let in_time = marked(&sat.answers(Take::InTime));
        // Lists are long, and most sittings have no guess round: they are marked once.
        let with_guess_round = sat.answers(Take::WithGuessRound);
        Ok(if with_guess_round.iter().any(|own| own.after_time) {
            Self::between(&in_time, &marked(&with_guess_round))
        } else {
            Self::between(&in_time, &in_time)
        })
    }

    fn between(in_time: &Marked, with_guess_round: &Marked) -> Self {
        Self {
            in_time: in_time.total,
            with_guess_round: has_guess_round(with_guess_round).then_some(with_guess_round.total),
            max: in_time.max,
        }
    }
}

/// Whether something was guessed or filled after time was up.
fn has_guess_round(with_guess_round: &Marked) -> bool {
    let questions = &with_guess_round.questions;
    questions.iter().any(|question| question.answer.after_time)
}

impl Marks {
    /// Marks a sitting under the rule and the boundaries of `rule`: its own paper's, or another's.
    ///
    /// # Errors
    /// A key that does not fit the paper that was sat.
    pub fn of(end: &Sitting, key: &Key, rule: &Outline) -> Result<Self, Mismatch> {
        key.fits(&end.header().paper)?;
        let marked = |take| mark(&answers(end, take), key, &rule.rule);
        let (in_time, with_guess_round) = (marked(Take::InTime), marked(Take::WithGuessRound));
        let award = |award: &Award| AwardMark {
            name: award.name.clone(),
            boundary: award.boundary,
            reached_in_time: in_time.total >= award.boundary,
            reached_with_guess_round: with_guess_round.total >= award.boundary,
            short: short_of(award.boundary, &in_time, &rule.rule),
        };
        let whole = crate::domain::standing::is_whole(end.header());
        let awards = rule.awards.iter().filter(|_| whole);
        Ok(Self {
            awards: awards.map(award).collect(),
            luck: luck(&with_guess_round, key, rule),
            worked: marked(Take::Worked),
            in_time,
            with_guess_round,
        })
    }

    /// The totals alone.
    pub fn totals(&self) -> Totals {
        Totals::between(&self.in_time, &self.with_guess_round)
    }

    /// The most there could be.
    pub const fn max(&self) -> Mark {
        self.in_time.max
    }

    /// Whether something was guessed or filled after time was up.
    pub fn has_guess_round(&self) -> bool {
        has_guess_round(&self.with_guess_round)
    }

    /// One question as it stood in time.
    pub fn question_in_time(&self, number: QuestionNo) -> Option<&QuestionMark> {
        let questions = &self.in_time.questions;
        questions.iter().find(|own| own.answer.number == number)
    }

    /// One question with the guess round.
    pub fn question(&self, number: QuestionNo) -> Option<&QuestionMark> {
        let questions = &self.with_guess_round.questions;
        questions.iter().find(|own| own.answer.number == number)
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
