//! A sitting at its paper's standard time and at the time that was allowed: what extra time and rest breaks gave.

use std::collections::BTreeMap;

use super::fold::Analysis;
use super::timeline::GapKind;
use crate::domain::key::{Key, Mismatch};
use crate::domain::labels::Label;
use crate::domain::mark::Mark;
use crate::domain::marking::{Answer, Take, answers, mark};
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;

/// What was on the answer sheet at a moment of the clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SheetAt {
    /// The mark; nothing without a key.
    pub mark: Option<Mark>,
    /// How many questions were blank.
    pub blanks: usize,
}

/// A sitting at the standard time and at the time allowed. Rest breaks stop the clock: they are in neither.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandardTime {
    /// The paper's own time.
    pub standard: Elapsed,
    /// The time allowed.
    pub allowed: Elapsed,
    /// The time used.
    pub used: Elapsed,
    /// At the standard time, or at the end where that came first.
    pub at_standard: SheetAt,
    /// At the end.
    pub at_allowed: SheetAt,
    /// The most that the mark could be.
    pub max: Option<Mark>,
    /// Questions first answered once the standard time was used.
    pub first_after: Vec<QuestionNo>,
    /// Questions answered before and with another answer, or none, at the end.
    pub changed_after: Vec<QuestionNo>,
    /// How long each rest break was.
    pub breaks: Vec<Elapsed>,
}

impl StandardTime {
    /// Works it out from a log. An answer at the very end of the standard time comes too late, as at time up.
    ///
    /// # Errors
    /// A key that does not fit.
    pub fn of(analysis: &Analysis, key: Option<&Key>) -> Result<Self, Mismatch> {
        let header = analysis.header();
        let paper = &header.paper;
        if let Some(key) = key {
            key.fits(paper)?;
        }
        let mut then = BTreeMap::<QuestionNo, Option<Label>>::new();
        let in_standard = |at: Elapsed| at < header.standard;
        for choice in analysis
            .choices()
            .iter()
            .filter(|choice| in_standard(choice.used))
        {
            then.insert(choice.question, choice.option);
        }
        // A sheet that was typed in has no times: everything was there.
        let timed = analysis.is_timed();
        let now = answers(analysis.end(), Take::InTime);
        let before: Vec<Answer> = now
            .iter()
            .map(|answer| Answer {
                given: if timed {
                    then.get(&answer.number).copied().flatten()
                } else {
                    answer.given
                },
                ..*answer
            })
            .collect();
        let sheet = |answers: &[Answer]| SheetAt {
            mark: key.map(|key| mark(answers, key, &paper.rule).total),
            blanks: answers
                .iter()
                .filter(|answer| answer.given.is_none())
                .count(),
        };
        let both = || now.iter().zip(&before);
        let first = both().filter(|(now, then)| now.given.is_some() && then.given.is_none());
        let changed = both().filter(|(now, then)| then.given.is_some() && now.given != then.given);
        let was_answered = |number: QuestionNo| then.contains_key(&number);
        let gaps = analysis.gaps().iter();
        let breaks = gaps.filter(|gap| gap.kind == GapKind::Break);
        Ok(Self {
            standard: header.standard,
            allowed: header.allowed,
            used: analysis.whole().used,
            at_standard: sheet(&before),
            at_allowed: sheet(&now),
            max: key.map(|key| mark(&now, key, &paper.rule).max),
            first_after: first
                .map(|(now, _)| now.number)
                .filter(|number| !was_answered(*number))
                .collect(),
            changed_after: changed
                .map(|(now, _)| now.number)
                .chain(both().filter_map(|(now, then)| {
                    let again = now.given.is_some() && then.given.is_none();
                    (again && was_answered(now.number)).then_some(now.number)
                }))
                .collect(),
            breaks: breaks.map(|gap| gap.to.since(gap.from)).collect(),
        })
    }
}
