//! The mark and the awards in plain words.

use super::asked::Asked;
use crate::analysis::{self, AwardMark};
use crate::domain::mark::Mark;
use crate::domain::marking::{Outcome, QuestionMark};
use crate::domain::paper::Award;
use crate::odds::luck::Luck;
use crate::words::count::counted;
use crate::words::numbers::{marks_in_words, plain};
use crate::words::result::another_day;
use crate::words::shortfall::ways;

/// So few guesses that nothing is to be said of their luck.
const FEW_GUESSES: usize = 3;

/// A sitting's marks as its pupil is told of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Marks {
    /// The mark in time.
    pub in_time: Mark,
    /// The most there could be.
    pub max: Mark,
    /// The range of another day, such as `54 to 70`.
    pub range: Option<String>,
    /// What else is to be said of the mark.
    pub beside: Vec<String>,
    /// The best award reached, the mark with the guess round, and the next award, in words.
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
    let mut marks = Marks {
        in_time: of.in_time.total,
        max: of.max(),
        range: another_day(&of.in_time),
        beside: beside(of),
        awards: Vec::new(),
        boundaries: Vec::new(),
        award: None,
        with_guess_round,
    };
    awards(asked, of, &mut marks);
    marks
}

fn beside(of: &analysis::Marks) -> Vec<String> {
    let questions = &of.in_time.questions;
    let counting = questions
        .iter()
        .filter(|question| question.outcome != Outcome::Void);
    let right = format!(
        "{} of {} right in time.",
        count(questions, Outcome::Right),
        counted(counting.count(), "question")
    );
    let luck = luck(&of.luck);
    std::iter::once(right).chain(luck).collect()
}

fn count(questions: &[QuestionMark], outcome: Outcome) -> usize {
    let same = questions
        .iter()
        .filter(|question| question.outcome == outcome);
    same.count()
}

/// `10 answers were guesses. About 2 of 10 usually come right; 3 did.`: a blind guess among m
/// options of which k are right comes right k times in m (the binomial's mean, question by question).
fn luck(luck: &Luck) -> Option<String> {
    let (all, right) = (luck.guesses, luck.right);
    if all < FEW_GUESSES {
        return None;
    }
    let expected = luck.expected_right.round();
    let usually = if expected < 1.0 {
        format!("Of {all}, fewer than 1 usually comes right")
    } else if expected < 2.0 {
        format!("About 1 of {all} usually comes right")
    } else {
        format!("About {expected} of {all} usually come right")
    };
    Some(format!(
        "{all} answers were guesses. {usually}; {right} did."
    ))
}

fn awards(asked: &Asked<'_>, of: &analysis::Marks, marks: &mut Marks) {
    let paper = &asked.header().paper;
    let awards: Vec<_> = paper.awards.iter().zip(&of.awards).collect();
    let best = |wanted: fn(&AwardMark) -> bool| {
        let same = awards.iter().filter(|(_, told)| wanted(told));
        same.map(|(award, _)| *award)
            .max_by_key(|award| award.boundary)
    };
    let from = |award: &Award| marks_in_words(award.boundary);
    let in_time = best(|award| award.reached_in_time);
    if let Some(award) = in_time {
        marks.award = Some(award.name.clone());
        let line = format!("You reached {} (from {}) in time.", award.name, from(award));
        marks.awards.push(line);
        marks.boundaries.push(award.clone());
    }
    let guessed = best(|award| !award.reached_in_time && award.reached_with_guess_round);
    if let Some(with) = marks.with_guess_round {
        let award = guessed.map_or_else(String::new, |award| {
            format!(", which is {} (from {})", award.name, plain(award.boundary))
        });
        let with = plain(with);
        let line = format!("With the guesses after time was up it is {with}{award}.");
        marks.awards.push(line);
    }
    marks.boundaries.extend(guessed.cloned());
    let next = awards
        .iter()
        .filter(|(_, told)| !told.reached_with_guess_round);
    let next = next.map(|(award, told)| (*award, told.short.as_ref().map(ways)));
    if let Some((award, far)) = next.min_by_key(|(award, _)| award.boundary) {
        let far = far
            .as_ref()
            .map_or_else(String::new, |far| format!(" Enough for it: {far}."));
        let line = format!("Next is {} (from {}).{far}", award.name, from(award));
        marks.awards.push(line);
        marks.boundaries.push(award.clone());
    }
}
