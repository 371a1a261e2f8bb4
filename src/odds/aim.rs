//! What a mark takes: how many right, where, in which combinations, and how likely that is.
//!
//! Questions that are not right are left blank throughout: that is the best of what is not right
//! wherever marks are taken away, and where blanks earn something it is what they earn.

use num_integer::Integer;

use crate::domain::mark::Mark;
use crate::domain::paper::Outline;
use crate::domain::rule::{QuestionNo, Rule, Section};
use crate::odds::mark_distribution::{Attempt, MarkDistribution};

/// The most combinations that are listed.
pub const MOST_COMBINATIONS: usize = 100_000;
/// The most steps taken to find them.
const MOST_STEPS: usize = 20_000_000;

/// What a mark takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Needed {
    /// The mark.
    pub mark: Mark,
    /// The most that the paper gives.
    pub max: Mark,
    /// The fewest right answers, over any questions; `None` when everything right is not enough.
    pub fewest_right: Option<usize>,
    /// How many from question 1 on, none missed; `None` when everything right is not enough.
    pub in_order: Option<usize>,
    /// The minimal combinations: right answers in each section, of which none can be one less. In
    /// the order of counting; `None` when there are more than [`MOST_COMBINATIONS`].
    pub combinations: Option<Vec<Vec<usize>>>,
}

/// One more right answer in a section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OneMore {
    /// What it adds where the question would be blank.
    pub instead_of_blank: Mark,
    /// What it adds where the question would be wrong.
    pub instead_of_wrong: Mark,
    /// What it adds to the chance of the mark; `None` without chances, or when all are certain.
    pub chance: Option<f64>,
}

/// A section as the search sees it: how many questions, and what each right one gains over a blank.
#[derive(Clone, Copy)]
struct Part {
    questions: usize,
    gain: i128,
}

/// How many questions a section has.
pub fn size(section: &Section) -> usize {
    section.last.index() + 1 - section.first.index()
}

fn times(mark: Mark, count: usize) -> Mark {
    mark * i64::try_from(count).unwrap_or(i64::MAX)
}

/// The most that a paper under this rule gives: everything right.
pub fn max(rule: &Rule) -> Mark {
    rule.start
        + rule
            .sections
            .iter()
            .map(|part| times(part.right, size(part)))
            .sum()
}

/// The mark of a paper left blank.
pub fn all_blank(rule: &Rule) -> Mark {
    rule.start
        + rule
            .sections
            .iter()
            .map(|part| times(part.blank, size(part)))
            .sum()
}

/// The mark with so many right in each section, the rest blank.
pub fn mark_with(rule: &Rule, right: &[usize]) -> Mark {
    let gains = rule.sections.iter().zip(right);
    all_blank(rule)
        + gains
            .map(|(part, right)| times(part.right - part.blank, *right))
            .sum()
}

/// Works out what `mark` takes under a rule.
pub fn needed(rule: &Rule, mark: Mark) -> Needed {
    let grid = rule.grid().unwrap_or(1);
    let part = |section: &Section| Part {
        questions: size(section),
        gain: (section.right - section.blank)
            .steps(grid)
            .unwrap_or(0)
            .into(),
    };
    let parts: Vec<Part> = rule.sections.iter().map(part).collect();
    let short = short(mark - all_blank(rule), grid);
    let singles = parts
        .iter()
        .flat_map(|part| std::iter::repeat_n(part.gain, part.questions));
    let in_order: Vec<i128> = singles.collect();
    let mut dearest = in_order.clone();
    dearest.sort_unstable_by(|one, other| other.cmp(one));
    Needed {
        mark,
        max: max(rule),
        fewest_right: first_enough(&dearest, short),
        in_order: first_enough(&in_order, short),
        combinations: combinations(&parts, short),
    }
}

/// The steps of the grid that are missing, rounded up: marks move in whole steps.
fn short(by: Mark, grid: i64) -> i128 {
    let bottom = by.denominator();
    let top = by.steps(bottom).unwrap_or(0);
    Integer::div_ceil(&(i128::from(top) * i128::from(grid)), &i128::from(bottom))
}

/// How many from the front gain enough together.
fn first_enough(gains: &[i128], short: i128) -> Option<usize> {
    let mut sum = 0;
    let sums = std::iter::once(0).chain(gains.iter().map(|gain| {
        sum += gain;
        sum
    }));
    sums.into_iter().position(|sum| sum >= short)
}

fn combinations(parts: &[Part], short: i128) -> Option<Vec<Vec<usize>>> {
    let rest = |index: usize| {
        let later = parts.iter().skip(index);
        later
            .map(|part| part.gain * i128::try_from(part.questions).unwrap_or(0))
            .sum()
    };
    let mut search = Search {
        parts,
        short,
        most_after: (1..=parts.len()).map(rest).collect(),
        right: Vec::new(),
        found: Vec::new(),
        steps: 0,
    };
    search.go_on(0, i128::MAX)?;
    Some(search.found)
}

/// Goes through the sections, fewest right first.
struct Search<'a> {
    parts: &'a [Part],
    short: i128,
    /// What all sections after this one can gain.
    most_after: Vec<i128>,
    right: Vec<usize>,
    found: Vec<Vec<usize>>,
    steps: usize,
}

impl Search<'_> {
    /// Chooses for the next section, when those before gained `sum` and the cheapest question taken
    /// there gained `cheapest`. `None` when there is too much to list.
    fn go_on(&mut self, sum: i128, cheapest: i128) -> Option<()> {
        let index = self.right.len();
        let (Some(part), Some(after)) = (self.parts.get(index), self.most_after.get(index)) else {
            // One less of the cheapest is the least that can be taken away.
            if sum >= self.short && sum.saturating_sub(cheapest) < self.short {
                self.found.push(self.right.clone());
            }
            return (self.found.len() <= MOST_COMBINATIONS).then_some(());
        };
        let (part, lacking) = (*part, self.short - sum - after);
        let fewest = if lacking > 0 {
            Integer::div_ceil(&lacking, &part.gain.max(1))
        } else {
            0
        };
        let fewest = usize::try_from(fewest).unwrap_or(usize::MAX);
        for right in fewest..=part.questions {
            self.steps += 1;
            if self.steps > MOST_STEPS {
                return None;
            }
            let cheapest = if right > 0 {
                cheapest.min(part.gain)
            } else {
                cheapest
            };
            let sum = sum + part.gain * i128::try_from(right).unwrap_or(0);
            if sum.saturating_sub(cheapest) >= self.short {
                break;
            }
            self.right.push(right);
            self.go_on(sum, cheapest)?;
            self.right.pop();
        }
        Some(())
    }
}

/// The mark's distribution when `attempts` are answered and everything else is left blank.
pub fn totals(outline: &Outline, attempts: &[Attempt]) -> Option<MarkDistribution> {
    let blank = |number: QuestionNo| {
        let attempted = attempts.iter().any(|attempt| attempt.number == number);
        outline
            .rule
            .section(number)
            .filter(|_| !attempted)
            .map(|section| section.blank)
    };
    let base = outline.rule.start + outline.numbers().filter_map(blank).sum();
    MarkDistribution::new(base, attempts)
}

/// The chance of `mark` or more.
pub fn chance(outline: &Outline, attempts: &[Attempt], mark: Mark) -> Option<f64> {
    totals(outline, attempts).map(|totals| totals.at_least(mark))
}

/// What one more right answer in each section changes.
///
/// For the chance, one of the section's questions is made certain: one that would be left blank if
/// there is one, else the one least likely to be right.
pub fn one_more(outline: &Outline, attempts: &[Attempt], mark: Mark) -> Vec<OneMore> {
    let now = chance(outline, attempts, mark).filter(|_| !attempts.is_empty());
    let of = |section: &Section| {
        let then = certain(outline, section, attempts);
        let then = then.and_then(|attempts| chance(outline, &attempts, mark));
        OneMore {
            instead_of_blank: section.right - section.blank,
            instead_of_wrong: section.right - section.wrong,
            chance: now.zip(then).map(|(now, then)| then - now),
        }
    };
    outline.rule.sections.iter().map(of).collect()
}

/// The attempts with one more of a section's questions certain.
fn certain(outline: &Outline, section: &Section, attempts: &[Attempt]) -> Option<Vec<Attempt>> {
    let own = outline.numbers().filter(|number| section.holds(*number));
    let chance_of = |number: QuestionNo| {
        let attempt = attempts.iter().find(|attempt| attempt.number == number);
        attempt.map_or(-1.0, |attempt| attempt.p)
    };
    let least = own.min_by(|one, other| chance_of(*one).total_cmp(&chance_of(*other)))?;
    if chance_of(least) >= 1.0 {
        return None;
    }
    let others = attempts.iter().filter(|attempt| attempt.number != least);
    let sure = Attempt::new(outline, least, 1.0);
    Some(others.copied().chain(sure).collect())
}

#[cfg(test)]
mod tests;
