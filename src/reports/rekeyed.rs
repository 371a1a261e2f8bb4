//! What a corrected key changes: every mark that is another one now, sitting by sitting.

use serde::Serialize;

use super::Report;
use super::json::mark::ThreeMarks;
use super::json::{Exact, written};
use super::text::COLUMNS;
use crate::analysis::Marks;
use crate::domain::key::{Key, Mismatch};
use crate::domain::labels::Label;
use crate::domain::marking::QuestionMark;
use crate::domain::rule::QuestionNo;
use crate::words::rekeyed as words;
use crate::words::text::hanging;

/// A sitting marked with the key of before as well.
#[derive(Clone, Debug)]
pub struct Rekeyed<'a> {
    /// With the key of now.
    now: &'a Report,
    /// With the key of before.
    was: Marks,
}

/// A question that is marked otherwise now: as it was, and as it is.
type Changed<'a> = (&'a QuestionMark, &'a QuestionMark);

impl<'a> Rekeyed<'a> {
    /// Marks the sitting with the key of before.
    ///
    /// # Errors
    /// A key that does not fit the paper that was sat.
    pub fn new(now: &'a Report, was: &Key) -> Result<Self, Mismatch> {
        let was = Marks::of(now.subject.sitting(), was, &now.own.outline)?;
        Ok(Self { now, was })
    }

    /// The questions that are marked otherwise, guesses after time included.
    fn questions(&self) -> Vec<Changed<'_>> {
        let was = self.was.with_guess_round.questions.iter();
        let now = &self.now.own.marks.with_guess_round.questions;
        let pairs = was.zip(now);
        let differs = |(was, now): &Changed<'_>| {
            (was.outcome, was.marks, was.max) != (now.outcome, now.marks, now.max)
        };
        pairs.filter(differs).collect()
    }

    /// The awards whose reaching in time differs: the name, before, now.
    fn awards(&self) -> Vec<(&str, bool, bool)> {
        let was = self.was.awards.iter();
        let pairs = was.zip(&self.now.own.marks.awards);
        let reached =
            pairs.map(|(was, now)| (now.name.as_str(), was.reached_in_time, now.reached_in_time));
        reached.filter(|(_, was, now)| was != now).collect()
    }

    fn is_changed(&self) -> bool {
        !self.questions().is_empty() || !self.awards().is_empty()
    }
}

/// The page: each sitting that changes, then how many do not.
pub fn page(all: &[Rekeyed<'_>]) -> String {
    let changed: Vec<_> = all.iter().filter(|one| one.is_changed()).collect();
    let mut lines = vec![words::heading(changed.len(), all.len())];
    for one in changed {
        let header = one.now.subject.analysis.header();
        let now = &one.now.own.marks;
        lines.push(String::new());
        lines.extend(hanging("", &words::totals(header, &one.was, now), COLUMNS));
        for (was, now) in one.questions() {
            lines.extend(hanging("  ", &words::question(was, now), COLUMNS));
        }
        for (name, _, reached) in one.awards() {
            lines.extend(hanging("  ", &words::award(name, reached), COLUMNS));
        }
    }
    lines.join("\n") + "\n"
}

#[derive(Serialize)]
struct RekeyedOut<'a> {
    changed: Vec<SittingChange<'a>>,
    unchanged: usize,
}

#[derive(Serialize)]
struct SittingChange<'a> {
    sitting: &'a str,
    pupil: &'a str,
    paper: &'a str,
    was: ThreeMarks,
    now: ThreeMarks,
    questions: Vec<QuestionChange>,
    awards: Vec<AwardChange<'a>>,
}

#[derive(Serialize)]
struct QuestionChange {
    number: QuestionNo,
    given: Option<Label>,
    after_time: bool,
    was: OutcomeOut,
    now: OutcomeOut,
}

#[derive(Serialize)]
struct OutcomeOut {
    outcome: &'static str,
    marks: Exact,
}

#[derive(Serialize)]
struct AwardChange<'a> {
    name: &'a str,
    reached_was: bool,
    reached_now: bool,
}

/// The same as JSON: `{changed: [{sitting, pupil, paper, was: {in_time, with_guess_round, worked, max}, now: {…},
/// questions: [{number, given, after_time, was: {outcome, marks}, now: {…}}], awards: [{name, reached_was,
/// reached_now}]}], unchanged}`.
///
/// # Errors
/// What `serde_json` cannot write; with these fields there is nothing of the kind.
pub fn json(all: &[Rekeyed<'_>]) -> serde_json::Result<String> {
    let changed = all.iter().filter(|one| one.is_changed());
    let changed: Vec<_> = changed.map(sitting).collect();
    written(&RekeyedOut {
        unchanged: all.len() - changed.len(),
        changed,
    })
}

fn sitting<'a>(one: &'a Rekeyed<'a>) -> SittingChange<'a> {
    let header = one.now.subject.analysis.header();
    let outcome = |mark: &QuestionMark| OutcomeOut {
        outcome: mark.outcome.word(),
        marks: Exact(mark.marks),
    };
    let questions = one.questions().into_iter();
    let awards = one.awards().into_iter();
    SittingChange {
        sitting: &header.sitting,
        pupil: header.pupil.as_str(),
        paper: &header.paper.id,
        was: ThreeMarks::from(&one.was),
        now: ThreeMarks::from(&one.now.own.marks),
        questions: questions
            .map(|(was, now)| QuestionChange {
                number: now.answer.number,
                given: now.answer.given,
                after_time: now.answer.after_time,
                was: outcome(was),
                now: outcome(now),
            })
            .collect(),
        awards: awards
            .map(|(name, reached_was, reached_now)| AwardChange {
                name,
                reached_was,
                reached_now,
            })
            .collect(),
    }
}
