//! Hints, workings and what lies behind wrong options, in a key file.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::against::Against;
use super::answers;
use crate::domain::key::Note;
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::storage::files::locate::Spot;
use crate::storage::files::problem::Findings;
use crate::storage::files::text::Shape;

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Note")]
pub(super) struct NoteForm {
    hint: Option<String>,
    working: Option<String>,
    #[serde(default)]
    distractors: BTreeMap<String, String>,
}

impl NoteForm {
    pub(super) fn mean(
        self,
        spot: &Spot,
        question: QuestionNo,
        is_right: impl Fn(QuestionNo, Label) -> bool,
        against: &Against<'_>,
        findings: &mut Findings<'_>,
    ) -> Note {
        for (field, text) in [("hint", &self.hint), ("working", &self.working)] {
            if let Some(text) = text {
                findings.text(&spot.at(field), text, Shape::Lines);
            }
        }
        let mut distractors = BTreeMap::new();
        for (name, text) in self.distractors {
            let spot = spot.at("distractors").at(&name);
            findings.text(&spot, &text, Shape::Lines);
            match answers::one(question, &name, against) {
                Err(why) => findings.wrong(&spot, why),
                Ok(label) if is_right(question, label) => findings.wrong(
                    &spot,
                    format!("{label} is a right answer to question {question}, but this note explains it as a wrong one; delete the note on {label} from the distractors of question {question}"),
                ),
                Ok(label) => {
                    if distractors.insert(label, text).is_some() {
                        findings.wrong(&spot, format!("option {label} is explained twice; keep one of the two"));
                    }
                }
            }
        }
        Note {
            hint: self.hint,
            working: self.working,
            distractors,
        }
    }
}
