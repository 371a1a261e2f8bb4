//! The questions worth another go: with a hint, and with answer and working only where asked for.

use super::asked::Asked;
use crate::analysis::Keyed;
use crate::domain::key::Key;
use crate::domain::labels::Label;
use crate::domain::marking::Outcome;
use crate::domain::notes::Cause;
use crate::domain::rule::QuestionNo;
use crate::reports::question::Drawing;

/// A longer list than this is not worked through at once (common practice, no source).
pub const MOST_AT_ONCE: usize = 8;

/// A question worth another go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Again {
    /// The question.
    pub number: QuestionNo,
    /// What was chosen in time, or nothing.
    pub given: Option<Label>,
    /// What it is about, where the paper says.
    pub topics: Vec<String>,
    /// Its words, where the paper is at hand and has them.
    pub stem: Option<String>,
    /// Its figure.
    pub drawing: Option<Drawing>,
    /// Its options' texts.
    pub options: Vec<(Label, String)>,
    /// Why it was lost, as tutor and pupil agreed.
    pub cause: Option<Cause>,
    /// A nudge, no answer.
    pub hint: Option<String>,
    /// Answer and working, where they were asked for.
    pub working: Option<Working>,
}

/// A question's answer, and the way to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Working {
    /// The right option, or options.
    pub answers: Vec<Label>,
    /// The working.
    pub text: Option<String>,
    /// How one comes to the option that was chosen.
    pub lure: Option<String>,
}

/// The questions wrong or blank in time, in the paper's order: papers rise in difficulty, so the
/// first of them are the nearest.
pub fn try_again(asked: &Asked<'_>, keyed: &Keyed) -> Vec<Again> {
    let missed = keyed
        .marks
        .in_time
        .questions
        .iter()
        .filter(|question| matches!(question.outcome, Outcome::Wrong | Outcome::Blank));
    let mut again: Vec<_> = missed
        .map(|question| {
            one(
                asked,
                &keyed.key,
                question.answer.number,
                question.answer.given,
            )
        })
        .collect();
    again.sort_by_key(|again| again.number);
    again
}

fn one(asked: &Asked<'_>, key: &Key, number: QuestionNo, given: Option<Label>) -> Again {
    let note = key.notes.get(&number);
    let question = asked
        .studied
        .paper
        .as_ref()
        .and_then(|paper| paper.question(number));
    let working = || {
        let labels = asked.header().paper.labels(number).iter();
        Working {
            answers: labels.filter(|label| key.accepts(number, *label)).collect(),
            text: note.and_then(|note| note.working.clone()),
            lure: given
                .and_then(|given| note.and_then(|note| note.distractors.get(&given)))
                .cloned(),
        }
    };
    Again {
        number,
        given,
        topics: question.map_or_else(Vec::new, |question| question.topics.clone()),
        stem: question.and_then(|question| question.stem.clone()),
        drawing: question.and_then(Drawing::of),
        options: question.map_or_else(Vec::new, |question| {
            let labels = asked.header().paper.labels(number).iter();
            labels.zip(question.options.iter().cloned()).collect()
        }),
        cause: asked.notes().and_then(|notes| notes.cause(number)),
        hint: note.and_then(|note| note.hint.clone()),
        working: asked.with_working.then(working),
    }
}
