//! A sitting's marks as progress needs them: in time, worked, luck taken out, over the boundaries.

use std::collections::BTreeMap;

use crate::analysis::evidence::place;
use crate::analysis::{AwardMark, Keyed, Marks};
use crate::domain::event::How;
use crate::domain::key::Key;
use crate::domain::mark::Mark;
use crate::domain::marking::{Marked, Outcome};
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::season::mark_range::{AnotherDay, NextMark};

/// How far a mark is over a boundary; below it the figure is negative.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Margin {
    /// The award.
    pub award: String,
    /// Its boundary.
    pub boundary: Mark,
    /// The mark in time less the boundary.
    pub over: Mark,
}

/// The marks of a sitting.
#[derive(Clone, Debug, PartialEq)]
pub struct LineMarks {
    /// In time.
    pub in_time: Mark,
    /// With the guess round.
    pub with_guess_round: Mark,
    /// Worked: guesses counted as blank.
    pub worked: Mark,
    /// In time with luck taken out.
    pub luck_out: Mark,
    /// The most there was.
    pub max: Mark,
    /// The best award that the mark in time reaches.
    pub award: Option<String>,
    /// Over the boundaries of the paper's awards, the lowest first; none where only a part of the
    /// paper was sat.
    pub margins: Vec<Margin>,
    /// The standard error of the mark in time, and where another sitting's would lie in 8 of 10 cases; none for
    /// fewer than ten questions and for marks too fine to compute with.
    pub error: Option<f64>,
    /// See [`LineMarks::error`].
    pub range: Option<AnotherDay>,
}

impl LineMarks {
    /// Takes what progress needs of a marked sitting.
    pub fn new(keyed: &Keyed, outline: &Outline) -> Self {
        let marks = &keyed.marks;
        let in_time = marks.in_time.total;
        let next = NextMark::after(&marks.in_time, outline);
        let margin = |award: &AwardMark| Margin {
            award: award.name.clone(),
            boundary: award.boundary,
            over: in_time - award.boundary,
        };
        Self {
            in_time,
            with_guess_round: marks.with_guess_round.total,
            worked: marks.worked.total,
            luck_out: luck_taken_out(&marks.in_time, &keyed.key, outline),
            max: marks.max(),
            award: marks.best_in_time().map(|award| award.name.clone()),
            margins: marks.awards.iter().map(margin).collect(),
            error: next.as_ref().map(NextMark::standard_error),
            range: AnotherDay::after(&marks.in_time, outline),
        }
    }
}

/// A mark with luck taken out: what each guess brought is replaced by what a blind guess there
/// brings on average, `(k r + (m - k) w) / m` with k of m options right. Exact.
///
/// A guess is an answer that the pupil called one, or that the program filled in.
pub fn luck_taken_out(marked: &Marked, key: &Key, outline: &Outline) -> Mark {
    let guesses = marked.questions.iter().filter(|question| {
        let luck = question.answer.how.is_some_and(How::is_luck);
        luck && question.outcome != Outcome::Void
    });
    let luck = guesses.filter_map(|question| {
        let number = question.answer.number;
        let section = outline.rule.section(number)?;
        let options = outline.labels(number).len();
        let right = i64::try_from(key.right_options(number).min(options)).ok()?;
        let one = Mark::blind_guess(section.right, section.wrong, options) - section.wrong;
        Some(question.marks - (section.wrong + one * right))
    });
    marked.total - luck.sum()
}

/// What a question brought when only worked answers count.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MissedMark {
    /// Whether it was right.
    pub right: bool,
    /// The marks missed.
    pub missed: Mark,
    /// What right brings over blank.
    pub gain: Mark,
    /// Where the question stands in its paper, from 0 to 1.
    pub place: f64,
}

/// Each question that counts, guesses taken as blank.
pub(super) fn missed(marks: &Marks, outline: &Outline) -> BTreeMap<QuestionNo, MissedMark> {
    let counting = marks
        .worked
        .questions
        .iter()
        .filter(|q| q.outcome != Outcome::Void);
    let missed = counting.filter_map(|question| {
        let number = question.answer.number;
        let section = outline.rule.section(number)?;
        let missed = MissedMark {
            right: question.outcome == Outcome::Right,
            missed: question.max - question.marks,
            gain: section.right - section.blank,
            place: place(number, outline.questions),
        };
        Some((number, missed))
    });
    missed.collect()
}
