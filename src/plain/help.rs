//! The words of use now, read out.

use super::word::WORDS;
use crate::domain::sitting::{Phase, Sitting};
use crate::words::aloud::letters_and_numbers;

/// The words of use now.
pub(super) fn lines(sitting: &Sitting) -> Vec<String> {
    let phase = sitting.phase();
    let mut said = Vec::new();
    if matches!(phase, Phase::Running | Phase::GuessRound) {
        said.extend(letters_and_numbers(&sitting.header().paper.options));
    }
    let of_use = WORDS.iter().filter(|(_, word, _)| word.is_for(phase));
    said.extend(of_use.map(|(name, _, does)| format!("{name}: {does}.")));
    said
}
