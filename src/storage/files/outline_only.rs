//! As much of a paper as a key can be held against, however wrong the paper's file is otherwise.

use std::collections::BTreeMap;

use crate::domain::labels::Labels;
use crate::domain::paper::{Award, Fingerprint, Outline};
use crate::domain::rule::{QuestionNo, Rule};

/// What of a paper could be read; nothing for what could not.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OutlineOnly {
    /// The paper's id.
    pub id: Option<String>,
    /// How many questions it has.
    pub questions: Option<usize>,
    /// The labels of its options.
    pub options: Option<Labels>,
    /// The labels of questions that have their own.
    pub own_options: BTreeMap<QuestionNo, Option<Labels>>,
    /// The fingerprint of its questions.
    pub fingerprint: Option<Fingerprint>,
    /// The marking rule, of a paper that is sound.
    pub rule: Option<Rule>,
    /// The awards, of a paper that is sound.
    pub awards: Vec<Award>,
}

impl OutlineOnly {
    /// The labels of a question.
    pub fn labels(&self, question: QuestionNo) -> Option<&Labels> {
        match self.own_options.get(&question) {
            Some(own) => own.as_ref(),
            None => self.options.as_ref(),
        }
    }

    /// What a key cannot be held against, in words.
    pub fn unread(&self) -> Vec<&'static str> {
        let letters = self.options.is_none() || self.own_options.values().any(Option::is_none);
        let parts = [
            (self.questions.is_none(), "the number of answers"),
            (letters, "the letters of each question"),
            (self.fingerprint.is_none(), "the fingerprint"),
        ];
        parts
            .into_iter()
            .filter_map(|(unread, what)| unread.then_some(what))
            .collect()
    }
}

impl From<&Outline> for OutlineOnly {
    fn from(outline: &Outline) -> Self {
        let own = outline.own_options.iter();
        Self {
            id: Some(outline.id.clone()),
            questions: Some(usize::from(outline.questions)),
            options: Some(outline.options.clone()),
            own_options: own
                .map(|(question, labels)| (*question, Some(labels.clone())))
                .collect(),
            fingerprint: Some(outline.fingerprint.clone()),
            rule: Some(outline.rule.clone()),
            awards: outline.awards.clone(),
        }
    }
}
