//! The total that questions answered with known chances give: every mark it can be, and how likely.

use std::collections::BTreeMap;

use num_integer::gcd;

use crate::domain::key::{Key, Void};
use crate::domain::mark::{Mark, common_grid};
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::stats::luck::{Chance, Distribution, total};
use crate::stats::real;

/// A question that is answered, and right with a known chance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Attempt {
    /// The question.
    pub number: QuestionNo,
    /// What a right answer gives.
    pub right: Mark,
    /// What a wrong answer gives.
    pub wrong: Mark,
    /// The chance of being right, from 0 to 1.
    pub p: f64,
}

impl Attempt {
    /// Answers `number` of a paper with chance `p`; `None` when the paper has no such question.
    pub fn new(outline: &Outline, number: QuestionNo, p: f64) -> Option<Self> {
        let section = outline.rule.section(number)?;
        Some(Self {
            number,
            right: section.right,
            wrong: section.wrong,
            p,
        })
    }
}

/// The chances of every total, in exact marks.
///
/// A total is `lowest + step * n`: only the differences between right and wrong have to share a
/// grid, so that fine fractions that all questions have in common cost nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkDistribution {
    lowest: Mark,
    step: Mark,
    steps: Distribution,
    mean: f64,
}

impl MarkDistribution {
    /// The total of `base` and of independent attempts: exact convolution, see [`crate::stats::luck`].
    ///
    /// `None` when a chance is not a number from 0 to 1, or the marks are too fine and too far apart.
    pub fn new(base: Mark, attempts: &[Attempt]) -> Option<Self> {
        let gains = attempts.iter().map(|attempt| attempt.right - attempt.wrong);
        let gains: Vec<Mark> = gains.collect();
        let grid = common_grid(gains.iter().copied())?;
        let steps: Option<Vec<i64>> = gains.iter().map(|gain| gain.steps(grid)).collect();
        let steps = steps?;
        let shared = steps.iter().fold(0, |shared, step| gcd(shared, *step));
        let shared = shared.max(1);
        let chances: Vec<Chance> = attempts
            .iter()
            .zip(&steps)
            .map(|(attempt, step)| Chance {
                right: step / shared,
                wrong: 0,
                p: attempt.p,
            })
            .collect();
        let lowest = base + attempts.iter().map(|attempt| attempt.wrong).sum();
        Some(Self {
            lowest,
            step: Mark::from_steps(shared, grid),
            steps: total(0, &chances)?,
            mean: mean(lowest, attempts),
        })
    }

    /// The totals that can happen, lowest first, each with its chance.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (Mark, f64)> + '_ {
        self.steps.iter().map(|(n, p)| (self.at(n), p))
    }

    /// The chance of this total or a higher one, summed from the high end.
    pub fn at_least(&self, mark: Mark) -> f64 {
        let reached = self.iter().rev().take_while(|(total, _)| *total >= mark);
        reached.map(|(_, p)| p).sum::<f64>().min(1.0)
    }

    /// The expected total.
    pub const fn mean(&self) -> f64 {
        self.mean
    }

    /// The standard deviation of the total.
    pub fn sd(&self) -> f64 {
        self.step.to_f64() * self.steps.sd()
    }

    /// The lowest total with at least half of the chance at or below it.
    pub fn median(&self) -> Mark {
        self.at(self.steps.median())
    }

    /// The likeliest total, the lowest of them when several are equally likely.
    pub fn mode(&self) -> Mark {
        self.at(self.steps.mode())
    }

    fn at(&self, steps: i64) -> Mark {
        self.lowest + self.step * steps
    }
}

/// The expected total. What has the same chance is summed exactly first, so that twenty-five blind
/// guesses at one in five are worth 27 and not a hair more.
fn mean(lowest: Mark, attempts: &[Attempt]) -> f64 {
    let mut gains = BTreeMap::<u64, Mark>::new();
    for attempt in attempts {
        let sum = gains.entry(attempt.p.to_bits()).or_default();
        *sum = *sum + (attempt.right - attempt.wrong);
    }
    let likely = gains
        .iter()
        .map(|(p, gain)| f64::from_bits(*p) * gain.to_f64());
    lowest.to_f64() + likely.sum::<f64>()
}

/// What is known of each guess, where it is not a blind one among all options.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Known {
    /// How many options are left, the right one among them.
    pub options_left: BTreeMap<QuestionNo, usize>,
    /// The chance of being right; options left go before it.
    pub chance: BTreeMap<QuestionNo, f64>,
}

/// The guesses on some questions of a paper, each right with chance 1/m of m options unless more is
/// known. With a key, a question on which k answers are right has k/m, and a void one is left out.
pub fn guesses(
    outline: &Outline,
    key: Option<&Key>,
    numbers: &[QuestionNo],
    known: &Known,
) -> Vec<Attempt> {
    let void = |number: &QuestionNo| key.is_some_and(|key| key.voids.contains_key(number));
    let counted = numbers.iter().filter(|number| !void(number));
    let attempt = |number: &QuestionNo| {
        let right = key.map_or(1, |key| key.right_options(*number));
        let options = outline.labels(*number).len();
        let among = |left: usize| real(right.min(left)) / real(left.max(1));
        let p = known.options_left.get(number).map(|left| among(*left));
        let p = p.or_else(|| known.chance.get(number).copied());
        Attempt::new(outline, *number, p.unwrap_or_else(|| among(options)))
    };
    counted.filter_map(attempt).collect()
}

/// What a paper gives apart from some guesses: start marks, full marks where an answer is known to be
/// right or its question is void and credited, and what the rule gives for leaving the rest blank.
pub fn apart_from(
    outline: &Outline,
    key: Option<&Key>,
    guesses: &[Attempt],
    known_right: &[QuestionNo],
) -> Mark {
    let of = |number: QuestionNo| {
        let void = key.and_then(|key| key.voids.get(&number));
        let section = outline.rule.section(number)?;
        Some(match void {
            Some(Void::Dropped) => Mark::ZERO,
            Some(Void::Credited) => section.right,
            None if guesses.iter().any(|guess| guess.number == number) => Mark::ZERO,
            None if known_right.contains(&number) => section.right,
            None => section.blank,
        })
    };
    outline.rule.start + outline.numbers().filter_map(of).sum()
}

/// What some questions give when they are left blank.
pub fn left_blank(outline: &Outline, guesses: &[Attempt]) -> Mark {
    let section = |guess: &Attempt| outline.rule.section(guess.number);
    guesses
        .iter()
        .filter_map(section)
        .map(|section| section.blank)
        .sum()
}
