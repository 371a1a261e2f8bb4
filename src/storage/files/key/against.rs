//! What a key file is held against.

use crate::domain::labels::{Label, Labels};
use crate::domain::rule::QuestionNo;
use crate::storage::files::locate::Spot;
use crate::storage::files::outline_only::OutlineOnly;
use crate::storage::files::problem::Findings;
use crate::storage::files::raw::Numbered;

/// What a key is held against: the paper, or the key's own answers where there is none.
pub(super) struct Against<'a> {
    pub(super) paper: Option<&'a OutlineOnly>,
    /// Whether the paper says how many questions there are.
    pub(super) counted: bool,
    pub(super) questions: usize,
}

impl Against<'_> {
    /// The labels of a question, where the paper is known.
    fn labels(&self, question: QuestionNo) -> Option<&Labels> {
        self.paper?.labels(question)
    }

    /// Reads one character as an option of `question`, or says why it is none.
    pub(super) fn option(&self, question: QuestionNo, c: char) -> Result<Label, String> {
        match self.labels(question) {
            Some(labels) => labels.find(c).ok_or_else(|| {
                format!(
                    "question {question} has no option {c:?}; its options are {}",
                    labels.range()
                )
            }),
            None => Label::new(c).ok_or_else(|| {
                format!("{c:?}, at question {question}, isn't an option; write an option's letter or digit")
            }),
        }
    }

    /// The question of an entry, or a note that there is no such question.
    pub(super) fn question(
        &self,
        spot: &Spot,
        number: Numbered,
        findings: &mut Findings<'_>,
    ) -> Option<QuestionNo> {
        let question = number.among(self.questions);
        if question.is_none() {
            let whose = if self.counted { "paper" } else { "key" };
            findings.wrong(
                spot,
                format!(
                    "there's no question {}, since the {whose} has {} questions; correct the number",
                    number.0, self.questions
                ),
            );
        }
        question
    }
}
