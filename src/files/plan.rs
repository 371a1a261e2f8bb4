//! Pace plan files, `NAME.plan.ron`: `(format: 1, checkpoints: [(question: 10, minutes: 18)])`.

use std::path::Path;

use serde::Deserialize;

use super::form::{Number, Numbered};
use super::locate::Spot;
use super::problem::{FileTrouble, Findings};
use super::read::{self, Sound};
use crate::domain::header::{Checkpoint, PacePlan};
use crate::domain::paper::MOST_QUESTIONS;

/// The version of the plan file that this program writes; it reads all up to it.
pub const PLAN_FORMAT: u32 = 1;

/// Loads a pace plan that is sound.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn load(path: &Path) -> Result<PacePlan, FileTrouble> {
    from_bytes(path, &read::bytes(path)?).map(|sound| sound.value)
}

/// Reads a pace plan from the bytes of a file; `path` only names it.
///
/// # Errors
/// Everything that is wrong with them.
pub fn from_bytes(path: &Path, bytes: &[u8]) -> Result<Sound<PacePlan>, FileTrouble> {
    read::sound(path, bytes, PLAN_FORMAT, PlanForm::mean)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Plan")]
struct PlanForm {
    #[serde(rename = "format")]
    _format: u32,
    checkpoints: Vec<CheckpointForm>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Checkpoint")]
struct CheckpointForm {
    question: Numbered,
    minutes: Number,
}

impl PlanForm {
    fn mean(self, findings: &mut Findings<'_>) -> Option<PacePlan> {
        let list = Spot::top().at("checkpoints");
        if self.checkpoints.is_empty() {
            findings.wrong(&list, "the plan has no checkpoint; write one at the least");
            return None;
        }
        let mut checkpoints: Vec<Checkpoint> = Vec::new();
        for (index, form) in self.checkpoints.iter().enumerate() {
            let spot = list.item(index);
            let Some(next) = form.mean(&spot, findings) else {
                continue;
            };
            let before = checkpoints.last();
            if before.is_some_and(|before| before.question >= next.question) {
                findings.wrong(
                    &spot.at("question"),
                    "the checkpoint's question does not come after the one before it; write the checkpoints in the order of the paper",
                );
            }
            if before.is_some_and(|before| before.minutes >= next.minutes) {
                findings.wrong(
                    &spot.at("minutes"),
                    "the checkpoint's time is not after the one before it; give each a later moment",
                );
            }
            checkpoints.push(next);
        }
        Some(PacePlan { checkpoints })
    }
}

impl CheckpointForm {
    fn mean(&self, spot: &Spot, findings: &mut Findings<'_>) -> Option<Checkpoint> {
        let question = self.question.among(MOST_QUESTIONS);
        if question.is_none() {
            findings.wrong(
                &spot.at("question"),
                format!(
                    "{} is no question; write a number from 1 to {MOST_QUESTIONS}",
                    self.question.0
                ),
            );
        }
        let spot = spot.at("minutes");
        self.minutes.minutes(&spot, findings)?;
        let minutes = self.minutes.read(&spot, findings)?;
        Some(Checkpoint {
            question: question?,
            minutes,
        })
    }
}
