//! The answer key of a paper: what is right, what is void, and what may be said about it.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::labels::Label;
use super::paper::{Fingerprint, Outline};
use super::rule::QuestionNo;

/// What becomes of a question that should not count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Void {
    /// Everyone gets the marks of a right answer.
    Credited,
    /// It counts for nobody; the maximum is lower.
    Dropped,
}

/// What the tutor has to say about a question.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Note {
    /// A nudge, no answer.
    pub hint: Option<String>,
    /// The working in full.
    pub working: Option<String>,
    /// For a wrong option: what a pupil who chose it probably did.
    pub distractors: BTreeMap<Label, String>,
}

/// A checked key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Key {
    /// The id of its paper.
    pub paper: String,
    /// The version of the questions that it belongs to, where it says.
    pub fingerprint: Option<Fingerprint>,
    /// The right answers; entry `i` is question `i + 1`.
    pub answers: Vec<Label>,
    /// Further answers that are right as well.
    pub also_right: BTreeMap<QuestionNo, BTreeSet<Label>>,
    /// Questions that do not count.
    pub voids: BTreeMap<QuestionNo, Void>,
    /// Hints, workings, reasons.
    pub notes: BTreeMap<QuestionNo, Note>,
}

/// Why a key cannot mark a paper.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Mismatch {
    /// It is another paper's.
    #[error("the key is for paper `{key}`, not for `{paper}`; give the key of `{paper}`")]
    OtherPaper {
        /// The key's paper.
        key: String,
        /// The paper at hand.
        paper: String,
    },
    /// It belongs to another version of the questions.
    #[error(
        "the key is for another version of the paper (fingerprint {key}, the paper's is {paper}); \
         if the key is still right, write fingerprint: \"{paper}\" in it"
    )]
    OtherVersion {
        /// The key's version.
        key: Fingerprint,
        /// The version at hand.
        paper: Fingerprint,
    },
    /// It has more or fewer answers than the paper has questions.
    #[error(
        "the key has {key} answers but the paper has {paper} questions; give one answer for each"
    )]
    Length {
        /// Answers in the key.
        key: usize,
        /// Questions on the paper.
        paper: usize,
    },
    /// It calls an option right that the question does not have.
    #[error(
        "the key's answer {label} to question {question} isn't one of its options; correct the key"
    )]
    NoOption {
        /// The question.
        question: QuestionNo,
        /// The key's answer.
        label: Label,
    },
}

impl Key {
    /// Whether `label` is right for `question`.
    pub fn accepts(&self, question: QuestionNo, label: Label) -> bool {
        self.answers.get(question.index()) == Some(&label)
            || self
                .also_right
                .get(&question)
                .is_some_and(|also| also.contains(&label))
    }

    /// How many of the options of `question` are right.
    pub fn right_options(&self, question: QuestionNo) -> usize {
        let main = self.answers.get(question.index());
        let also = self.also_right.get(&question);
        usize::from(main.is_some())
            + also.map_or(0, |also| {
                also.iter().filter(|label| Some(*label) != main).count()
            })
    }

    /// Whether this key can mark that paper.
    pub fn fits(&self, outline: &Outline) -> Result<(), Mismatch> {
        if self.paper != outline.id {
            return Err(Mismatch::OtherPaper {
                key: self.paper.clone(),
                paper: outline.id.clone(),
            });
        }
        if let Some(key) = self
            .fingerprint
            .as_ref()
            .filter(|own| **own != outline.fingerprint)
        {
            return Err(Mismatch::OtherVersion {
                key: key.clone(),
                paper: outline.fingerprint.clone(),
            });
        }
        if self.answers.len() != usize::from(outline.questions) {
            return Err(Mismatch::Length {
                key: self.answers.len(),
                paper: usize::from(outline.questions),
            });
        }
        let main = self
            .answers
            .iter()
            .enumerate()
            .map(|(i, label)| (QuestionNo::from_index(i), *label));
        let also = self
            .also_right
            .iter()
            .flat_map(|(q, labels)| labels.iter().map(|label| (*q, *label)));
        for (question, label) in main.chain(also) {
            if outline.labels(question).index(label).is_none() {
                return Err(Mismatch::NoOption { question, label });
            }
        }
        Ok(())
    }
}
