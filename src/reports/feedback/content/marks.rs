//! The mark and the awards in plain words.

use super::asked::Asked;
use crate::analysis;
use crate::domain::mark::Mark;
use crate::domain::marking::{Outcome, QuestionMark};
use crate::domain::paper::Award;
use crate::season::mark_range::AnotherDay;
use crate::words::feedback as words;

/// A sitting's marks as its pupil is told of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Marks {
    /// The mark in time.
    pub in_time: Mark,
    /// The most there could be.
    pub max: Mark,
    /// Whether it was reached under the clock.
    pub timed: bool,
    /// Where it would lie in 8 of 10 cases on another day.
    pub range: Option<AnotherDay>,
    /// What else is to be said of the mark.
    pub beside: Vec<String>,
    /// The best award reached in time, what the guess round would have made of the mark, and the next
    /// award in time, in words.
    pub awards: Vec<String>,
    /// The boundaries that those words speak of.
    pub boundaries: Vec<Award>,
    /// The best award reached in time, for the tutor's list.
    pub award: Option<String>,
    /// The mark with the guess round, where there was one.
    pub with_guess_round: Option<Mark>,
}

pub(super) fn told(asked: &Asked<'_>, of: &analysis::Marks) -> Marks {
    let with_guess_round = of.has_guess_round().then_some(of.with_guess_round.total);
    let timed = asked.analysis().is_timed();
    let mut marks = Marks {
        timed,
        in_time: of.in_time.total,
        max: of.max(),
        range: AnotherDay::after(&of.in_time, &asked.header().paper),
        beside: beside(of, timed),
        awards: Vec::new(),
        boundaries: Vec::new(),
        award: None,
        with_guess_round,
    };
    awards(asked, of, &mut marks);
    marks
}

fn beside(of: &analysis::Marks, timed: bool) -> Vec<String> {
    let questions = &of.in_time.questions;
    let counting = questions
        .iter()
        .filter(|question| question.outcome != Outcome::Void);
    let right = words::right(count(questions, Outcome::Right), counting.count(), timed);
    let luck = words::luck(&of.luck);
    std::iter::once(right).chain(luck).collect()
}

fn count(questions: &[QuestionMark], outcome: Outcome) -> usize {
    let same = questions
        .iter()
        .filter(|question| question.outcome == outcome);
    same.count()
}

fn awards(asked: &Asked<'_>, of: &analysis::Marks, marks: &mut Marks) {
    let paper = &asked.header().paper;
    let awards: Vec<_> = paper.awards.iter().zip(&of.awards).collect();
    let in_time = awards.iter().filter(|(_, told)| told.reached_in_time);
    let in_time = in_time.map(|(award, _)| *award);
    if let Some(award) = in_time.max_by_key(|award| award.boundary) {
        marks.award = Some(award.name.clone());
        marks.awards.push(words::reached(award, marks.timed));
        marks.boundaries.push(award.clone());
    }
    let guessed = awards
        .iter()
        .filter(|(_, told)| !told.reached_in_time && told.reached_with_guess_round)
        .map(|(award, _)| *award)
        .max_by_key(|award| award.boundary);
    if let Some(with) = marks.with_guess_round {
        marks.awards.push(words::with_guesses(with, guessed));
    }
    let next = awards.iter().filter(|(_, told)| !told.reached_in_time);
    let next = next.min_by_key(|(award, _)| award.boundary);
    if let Some((award, told)) = next {
        let far = words::next_award(award, told.short.as_ref());
        marks.awards.push(far);
        marks.boundaries.push((*award).clone());
    }
    let above = guessed.filter(|guessed| next.is_none_or(|(next, _)| next != guessed));
    marks.boundaries.extend(above.cloned());
}
