//! What a paper's rule makes of a blind guess on a blank.

use crate::domain::mark::Mark;
use crate::domain::rule::{QuestionNo, Section};
use crate::domain::sitting::Sitting;

/// What guessing a blank blindly is worth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Worth {
    /// A wrong answer costs nothing against a blank.
    NothingToLose,
    /// A wrong answer costs something; on average a guess still gains.
    WorthIt {
        /// Marks gained on average against leaving it blank.
        gain: Mark,
    },
    /// On average a guess gains as much as it loses.
    Even,
    /// On average a blind guess loses; it gains once so many options are known to be wrong.
    OnceOut {
        /// The fewest options to cross out first.
        options_to_cross_out: usize,
    },
    /// On average a guess gains nothing even between the last two options.
    NotWorth,
}

/// What a guess among `options` gains on average against a blank: `r/m + w(1 - 1/m) - b`.
///
/// The expected mark of a choice at random less the mark of a blank (common practice, as in
/// every account of formula scoring; exact here).
pub fn gain(section: &Section, options: usize) -> Mark {
    Mark::blind_guess(section.right, section.wrong, options) - section.blank
}

/// What a blind guess among `options`, one of them right, is worth in this section.
pub fn worth(section: &Section, options: usize) -> Worth {
    let blind = gain(section, options);
    if section.wrong >= section.blank {
        Worth::NothingToLose
    } else if blind > Mark::ZERO {
        Worth::WorthIt { gain: blind }
    } else if blind == Mark::ZERO {
        Worth::Even
    } else {
        let fewest =
            (1..=options.saturating_sub(2)).find(|out| gain(section, options - out) > Mark::ZERO);
        fewest.map_or(Worth::NotWorth, |options_to_cross_out| Worth::OnceOut {
            options_to_cross_out,
        })
    }
}

/// What a guess on one question of a sitting gains on average against a blank, with the options that
/// are crossed out taken for wrong; nothing for a question that is in no section.
pub fn gain_on(sitting: &Sitting, question: QuestionNo) -> Option<Mark> {
    let section = sitting.header().paper.rule.section(question)?;
    Some(gain(section, sitting.options_left(question)))
}

/// The blanks of a sitting on which a blind guess loses nothing on average, in order.
pub fn safe_blanks(sitting: &Sitting) -> Vec<QuestionNo> {
    let blanks = sitting.blanks();
    let loses = |blank: &QuestionNo| gain_on(sitting, *blank).is_some_and(|gain| gain < Mark::ZERO);
    blanks.filter(|blank| !loses(blank)).collect()
}

/// What guesses on all blanks of a sitting that are worth it gain on average against leaving them,
/// with the options that are crossed out taken for wrong.
pub fn expected_gain(sitting: &Sitting, blanks: impl IntoIterator<Item = QuestionNo>) -> Mark {
    let gains = blanks.into_iter();
    let gains = gains.filter_map(|blank| gain_on(sitting, blank));
    let gains = gains.filter(|gain| *gain > Mark::ZERO);
    gains.fold(Mark::ZERO, |sum, gain| sum + gain)
}

#[cfg(test)]
mod tests;
