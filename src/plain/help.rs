//! The words of use now, read out.

use super::word::{WORDS, Word};
use crate::domain::labels::Labels;
use crate::domain::sitting::Phase;
use crate::words::aloud::{QUESTION_MARK, letters_and_numbers};

/// The words of use in this phase of a sitting.
pub(super) fn lines(options: &Labels, phase: Phase) -> Vec<String> {
    let mut said = Vec::new();
    if matches!(phase, Phase::Running | Phase::GuessRound) {
        said.extend(letters_and_numbers(options, phase == Phase::Running));
    }
    let of_use = WORDS.iter().filter(|(_, word, _)| word.is_for(phase));
    said.extend(of_use.map(|(name, word, does)| {
        // A sign is not always read aloud.
        let name = if *word == Word::InTurn {
            QUESTION_MARK
        } else {
            name
        };
        format!("{name}: {does}.")
    }));
    said
}
