//! How far a mark is from a boundary, in questions: `one more right in 21-25, or two in 1-10`.

use std::cmp::Reverse;

use crate::domain::mark::Mark;
use crate::domain::marking::{Marked, Outcome, QuestionMark};
use crate::domain::rule::Rule;

/// So many missed questions of one section, right instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct More {
    /// The section's name.
    pub section: String,
    /// How many of its missed questions.
    pub questions: usize,
    /// Which of them to count first, where it matters: those that were wrong, or those left blank.
    pub first: Option<Outcome>,
}

/// What would have been enough.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ways {
    /// Each of these by itself, in one section; the fewest questions first.
    Either(Vec<More>),
    /// No single section, but these together: the fewest questions that do.
    Together(Vec<More>),
    /// Not even everything right.
    OutOfReach,
}

/// How far a mark is from a boundary that it does not reach.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Short {
    /// The marks missing.
    pub by: Mark,
    /// The questions that would have made them up.
    pub ways: Ways,
}

/// How far `marked` is from `boundary`; `None` where it is reached.
///
/// A blank made right gains right less blank, a wrong answer made right gains right less wrong;
/// void questions gain nothing. Exact: the fewest questions whose gains make up the marks missing.
pub fn short_of(boundary: Mark, marked: &Marked, rule: &Rule) -> Option<Short> {
    let by = boundary - marked.total;
    (by > Mark::ZERO).then(|| Short {
        by,
        ways: ways(by, &missed(marked, rule)),
    })
}

/// A missed question: what it would gain, why it was missed, and which section it is in.
#[derive(Clone, Copy)]
struct Missed {
    section: usize,
    gain: Mark,
    outcome: Outcome,
}

/// The missed questions of each section, the dearest first.
struct Sections<'a> {
    rule: &'a Rule,
    missed: Vec<Vec<Missed>>,
}

fn missed<'a>(marked: &Marked, rule: &'a Rule) -> Sections<'a> {
    let of_section = |(index, section): (usize, &crate::domain::rule::Section)| {
        let own = |question: &&QuestionMark| section.holds(question.answer.number);
        let missed = |question: &QuestionMark| {
            let gain = match question.outcome {
                Outcome::Blank => section.right - section.blank,
                Outcome::Wrong => section.right - section.wrong,
                Outcome::Right | Outcome::Void => return None,
            };
            Some(Missed {
                section: index,
                gain,
                outcome: question.outcome,
            })
        };
        let mut own: Vec<_> = marked
            .questions
            .iter()
            .filter(own)
            .filter_map(missed)
            .collect();
        own.sort_by_key(|missed| Reverse(missed.gain));
        own
    };
    Sections {
        rule,
        missed: rule.sections.iter().enumerate().map(of_section).collect(),
    }
}

impl Sections<'_> {
    /// The dearest `questions` missed ones of a section, in words' terms.
    fn more(&self, index: usize, questions: usize) -> Option<More> {
        let missed = self.missed.get(index)?;
        let sum = |taken: &[Missed]| taken.iter().map(|missed| missed.gain).sum::<Mark>();
        let dearest = missed.get(..questions)?;
        let cheapest = missed.get(missed.len() - questions..)?;
        let matters = sum(dearest) != sum(cheapest);
        Some(More {
            section: self.rule.sections.get(index)?.name.clone(),
            questions,
            first: missed
                .first()
                .filter(|_| matters)
                .map(|missed| missed.outcome),
        })
    }
}

fn ways(by: Mark, sections: &Sections<'_>) -> Ways {
    let single = sections
        .missed
        .iter()
        .enumerate()
        .filter_map(|(index, missed)| {
            fewest(by, missed).and_then(|questions| sections.more(index, questions))
        });
    let mut single: Vec<_> = single.collect();
    if !single.is_empty() {
        single.sort_by_key(|more| more.questions);
        return Ways::Either(single);
    }
    let mut all: Vec<_> = sections.missed.iter().flatten().copied().collect();
    // Stable: of questions that gain the same, those of the earlier section are taken.
    all.sort_by_key(|missed| Reverse(missed.gain));
    let Some(taken) = fewest(by, &all).and_then(|questions| all.get(..questions)) else {
        return Ways::OutOfReach;
    };
    let together = (0..sections.missed.len()).filter_map(|index| {
        let questions = taken
            .iter()
            .filter(|missed| missed.section == index)
            .count();
        (questions > 0).then(|| sections.more(index, questions))?
    });
    Ways::Together(together.collect())
}

/// How many from the front gain `by` or more, where all together do.
fn fewest(by: Mark, missed: &[Missed]) -> Option<usize> {
    let mut sum = Mark::ZERO;
    let enough = missed.iter().position(|missed| {
        sum = sum + missed.gain;
        sum >= by
    });
    enough.map(|index| index + 1)
}

impl Short {
    /// The ways in words: `one more right in 21-25, or two in 1-10`.
    pub fn said(&self) -> String {
        let (ways, joint) = match &self.ways {
            Ways::Either(ways) => (ways, ", or "),
            Ways::Together(ways) => (ways, " and "),
            Ways::OutOfReach => return "more than these questions could give".into(),
        };
        let mut parts = Vec::new();
        for (index, more) in ways.iter().enumerate() {
            let right = if index == 0 { " more right" } else { "" };
            let first = match more.first {
                Some(Outcome::Wrong) => " (wrong ones first)",
                Some(Outcome::Blank) => " (blank ones first)",
                Some(Outcome::Right | Outcome::Void) | None => "",
            };
            let count = number(more.questions);
            parts.push(format!("{count}{right} in {}{first}", more.section));
        }
        parts.join(joint)
    }
}

/// A small number as a word.
fn number(count: usize) -> String {
    let words = [
        "none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    ];
    words
        .get(count)
        .map_or_else(|| count.to_string(), |word| (*word).to_owned())
}

#[cfg(test)]
mod tests;
