//! The first try, in a sitting, beside the second, in practice.

use super::missed::{MissKind, RetriedHow, SeasonQuestion};
use crate::stats::luck::{Chance, total};
use crate::stats::{real, significance};

/// How many questions were right at the first try, at the second, at both or at neither.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SecondTries {
    /// Right at both.
    pub both: usize,
    /// Right at the first only.
    pub first_only: usize,
    /// Right at the second only.
    pub second_only: usize,
    /// Right at neither.
    pub neither: usize,
}

/// What guessing alone would have brought at the second try of questions that were missed at the first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ByGuessing {
    /// How many were missed at the first try, and tried again.
    pub missed: usize,
    /// How many of these were right at the second.
    pub right: usize,
    /// How many would be right on average by guessing among the options left.
    pub expected: f64,
    /// As many as this are looked at: what was right, and at least one standard deviation above the average.
    pub at_least: usize,
    /// How often guessing brings as many or more.
    pub chance: f64,
}

impl SecondTries {
    /// Counts the questions that have both tries.
    pub fn of<'a>(questions: impl IntoIterator<Item = &'a SeasonQuestion>) -> Self {
        let mut table = Self::default();
        for (first, second) in questions.into_iter().filter_map(tries) {
            let cell = match (first, second) {
                (true, true) => &mut table.both,
                (true, false) => &mut table.first_only,
                (false, true) => &mut table.second_only,
                (false, false) => &mut table.neither,
            };
            *cell += 1;
        }
        table
    }

    /// How many questions have both tries.
    pub const fn all(&self) -> usize {
        self.both + self.first_only + self.second_only + self.neither
    }

    /// How often chance alone parts the two tries so far, either way.
    pub fn chance(&self) -> Option<f64> {
        significance::mcnemar(self.first_only, self.second_only)
    }
}

/// Whether a question was right at the first try, and at the second.
fn tries(question: &SeasonQuestion) -> Option<(bool, bool)> {
    let first = question.first?;
    Some((first.is_right(), question.second()? == RetriedHow::Right))
}

impl ByGuessing {
    /// Of the questions that were missed at the first try and have a second; nothing where there are none.
    pub fn of<'a>(questions: impl IntoIterator<Item = &'a SeasonQuestion>) -> Option<Self> {
        let mut right = 0;
        let mut chances = Vec::new();
        for question in questions {
            let Some((false, second)) = tries(question) else {
                continue;
            };
            right += usize::from(second);
            chances.push(question.chance_again());
        }
        Self::from_chances(right, &chances)
    }

    fn from_chances(right: usize, chances: &[f64]) -> Option<Self> {
        if chances.is_empty() {
            return None;
        }
        let expected: f64 = chances.iter().sum();
        let variance: f64 = chances.iter().map(|p| p * (1.0 - p)).sum();
        let high = expected + variance.sqrt();
        let above = (1..=chances.len()).find(|count| real(*count) > high);
        let at_least = right.max(above.unwrap_or(chances.len()));
        let each: Vec<Chance> = chances
            .iter()
            .map(|p| Chance {
                right: 1,
                wrong: 0,
                p: *p,
            })
            .collect();
        let chance = total(0, &each)?.at_least(i64::try_from(at_least).ok()?);
        Some(Self {
            missed: chances.len(),
            right,
            expected,
            at_least,
            chance,
        })
    }
}

impl MissKind {
    /// The options that are left for a guess, where so many are to choose from: a wrong one is out.
    pub(super) const fn options_left(self, options: usize) -> usize {
        match self {
            Self::WrongWorked | Self::Wrong => options.saturating_sub(1),
            Self::Blank => options,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Binomial with ten tries and a chance of 1/4: 2.5 on average, SD 1.37, so that four is the first count beyond;
    /// four or more come in 1 - (3^10 + 10 * 3^9 + 45 * 3^8 + 120 * 3^7) / 4^10 = .2241 (by hand).
    #[test]
    fn ten_missed_and_three_right_is_what_guessing_brings() {
        let told = ByGuessing::from_chances(3, &[0.25; 10]).unwrap();
        assert_eq!((told.missed, told.right, told.at_least), (10, 3, 4));
        assert!((told.expected - 2.5).abs() < 1e-12);
        assert!((told.chance - 0.2241).abs() < 5e-5, "{}", told.chance);
        let more = ByGuessing::from_chances(8, &[0.25; 10]).unwrap();
        assert_eq!(more.at_least, 8);
        assert!((more.chance - 0.000_416).abs() < 1e-6, "{}", more.chance);
        assert_eq!(ByGuessing::from_chances(0, &[]), None);
    }

    #[test]
    fn a_wrong_letter_leaves_one_option_less_and_a_blank_all() {
        assert_eq!(MissKind::Wrong.options_left(5), 4);
        assert_eq!(MissKind::WrongWorked.options_left(2), 1);
        assert_eq!(MissKind::Blank.options_left(5), 5);
    }
}
