//! The words of use now, read out.

use super::word::WORDS;
use crate::domain::sitting::{Phase, Sitting};

/// The words of use now.
pub(super) fn lines(sitting: &Sitting) -> Vec<String> {
    let phase = sitting.phase();
    let mut said = Vec::new();
    if matches!(phase, Phase::Running | Phase::GuessRound) {
        let outline = &sitting.header().paper;
        let jump = if outline.options.are_digits() {
            "# and a number: go to that question."
        } else {
            "A number: go to that question."
        };
        said.push(format!(
            "{}: answer the open question.",
            outline.options.range()
        ));
        said.push("Enter alone: go on to the next question.".to_owned());
        said.push(jump.to_owned());
    }
    let of_use = WORDS.iter().filter(|(_, word, _)| word.is_for(phase));
    said.extend(of_use.map(|(name, _, does)| format!("{name}: {does}.")));
    said
}
