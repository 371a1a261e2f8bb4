//! What guesses should have brought, what they brought, and how often luck is at least as good.

use crate::domain::event::How;
use crate::domain::key::Key;
use crate::domain::mark::Mark;
use crate::domain::marking::{Marked, Outcome, QuestionMark};
use crate::domain::paper::Outline;
use crate::domain::rule::{QuestionNo, Section};
use crate::stats::luck::{Chance, total};

/// The luck of the guesses of one marked answer sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Luck {
    /// How many answers were guessed or filled, in time or after; void questions left out.
    pub guesses: usize,
    /// How many of them were made after time was up.
    pub after_time: usize,
    /// How many of them the program filled in at random.
    pub filled: usize,
    /// How many of them came out right.
    pub right: usize,
    /// How many of them come out right on average.
    pub expected_right: f64,
    /// The marks that so many blind guesses bring on average.
    pub expected: f64,
    /// The marks that they brought.
    pub actual: Mark,
    /// The chance of this many marks or more; `None` where the marks are too fine to say.
    pub at_least_this: Option<f64>,
    /// The chance of this many marks or fewer; `None` where the marks are too fine to say.
    pub at_most_this: Option<f64>,
    /// The chance that none of them comes out right.
    pub none_right: f64,
}

/// A blind guess: `right` of `options` are right.
struct Guess<'a> {
    section: &'a Section,
    right: usize,
    options: usize,
}

impl Guess<'_> {
    fn chance(&self) -> f64 {
        crate::stats::real(self.right) / crate::stats::real(self.options)
    }
}

/// Weighs the guesses of `marked`, which was marked with `key` under the rule of `outline`.
///
/// A guess among m options of which k are right is right with chance k/m, each by itself; the
/// distribution of their marks is the exact convolution (Poisson-binomial where all are worth the
/// same; see [`crate::stats::luck`]).
pub fn luck(marked: &Marked, key: &Key, outline: &Outline) -> Luck {
    let marked: Vec<_> = marked.questions.iter().filter(|q| is_guess(q)).collect();
    let guesses: Vec<_> = marked
        .iter()
        .filter_map(|question| guess(question.answer.number, key, outline))
        .collect();
    let actual: Mark = marked.iter().map(|question| question.marks).sum();
    let (at_least, at_most) = tails(actual, &guesses, outline).unzip();
    let count = |wanted: fn(&QuestionMark) -> bool| {
        let wanted = marked.iter().filter(|question| wanted(question));
        wanted.count()
    };
    Luck {
        guesses: marked.len(),
        after_time: count(|question| question.answer.after_time),
        filled: count(|question| question.answer.how == Some(How::Filled)),
        right: count(|question| question.outcome == Outcome::Right),
        expected_right: sum_of(guesses.iter().map(Guess::chance)),
        expected: expected(&guesses),
        actual,
        at_least_this: at_least,
        at_most_this: at_most,
        none_right: guesses.iter().map(|guess| 1.0 - guess.chance()).product(),
    }
}

fn is_guess(question: &QuestionMark) -> bool {
    question.answer.how.is_some_and(How::is_luck) && question.outcome != Outcome::Void
}

fn guess<'a>(question: QuestionNo, key: &Key, outline: &'a Outline) -> Option<Guess<'a>> {
    let options = outline.labels(question).len();
    Some(Guess {
        section: outline.rule.section(question)?,
        right: key.right_options(question).min(options),
        options,
    })
}

/// Exact sums for each number of options, divided once: a sum of thirds and fifths loses nothing
/// before its last step.
fn expected(guesses: &[Guess<'_>]) -> f64 {
    let mut sums = std::collections::BTreeMap::<usize, Mark>::new();
    for guess in guesses {
        let count = |n: usize| i64::try_from(n).unwrap_or(i64::MAX);
        let section = guess.section;
        let sum =
            section.right * count(guess.right) + section.wrong * count(guess.options - guess.right);
        let all = sums.entry(guess.options).or_default();
        *all = *all + sum;
    }
    sum_of(
        sums.iter()
            .map(|(options, sum)| sum.to_f64() / crate::stats::real(*options)),
    )
}

/// A sum of which nothing makes 0: the standard library's would make -0, which a table shows.
fn sum_of(parts: impl Iterator<Item = f64>) -> f64 {
    parts.fold(0.0, |sum, part| sum + part)
}

/// The chances of at least and of at most `actual`.
fn tails(actual: Mark, guesses: &[Guess<'_>], outline: &Outline) -> Option<(f64, f64)> {
    let grid = outline.rule.grid()?;
    let chance = |guess: &Guess<'_>| {
        Some(Chance {
            right: guess.section.right.steps(grid)?,
            wrong: guess.section.wrong.steps(grid)?,
            p: guess.chance(),
        })
    };
    let chances: Option<Vec<_>> = guesses.iter().map(chance).collect();
    let (all, steps) = (total(0, &chances?)?, actual.steps(grid)?);
    Some((all.at_least(steps), all.at_most(steps)))
}

#[cfg(test)]
mod tests;
