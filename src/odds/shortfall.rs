//! How far a mark is from a boundary, in questions: `one more right in 21-25, or two in 1-10`.
//!
//! Papers grow harder from front to back, so what is advised is what comes first on the paper;
//! only where few questions are missing do the fewest stand first.

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

/// So many questions of one section are few: they may be advised wherever they stand.
pub const FEW: usize = 3;

/// What would have been enough.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ways {
    /// Each of these by itself, in one section: the fewest questions first where none takes more
    /// than [`FEW`], else in the order of the paper.
    Either(Vec<More>),
    /// These together, from the front of the paper: as few as possible of the last section named,
    /// then of the one before it, and so on. One question less anywhere falls short.
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
/// void questions gain nothing. Exact: gains are added up as fractions, and in each section the
/// dearest questions are counted first. A section that suffices by itself is named where the first
/// section with anything missed is among those, or where one of them takes few questions; else
/// the sections are taken together from the front.
pub fn short_of(boundary: Mark, marked: &Marked, rule: &Rule) -> Option<Short> {
    let by = boundary - marked.total;
    (by > Mark::ZERO).then(|| Short {
        by,
        ways: ways(by, &missed(marked, rule)),
    })
}

/// A missed question: what it would gain, and why it was missed.
#[derive(Clone, Copy)]
struct Missed {
    gain: Mark,
    outcome: Outcome,
}

/// The missed questions of each section, the dearest first.
struct Sections<'a> {
    rule: &'a Rule,
    missed: Vec<Vec<Missed>>,
}

fn missed<'a>(marked: &Marked, rule: &'a Rule) -> Sections<'a> {
    let of_section = |section: &crate::domain::rule::Section| {
        let own = |question: &&QuestionMark| section.holds(question.answer.number);
        let missed = |question: &QuestionMark| {
            let gain = match question.outcome {
                Outcome::Blank => section.right - section.blank,
                Outcome::Wrong => section.right - section.wrong,
                Outcome::Right | Outcome::Void => return None,
            };
            Some(Missed {
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
        missed: rule.sections.iter().map(of_section).collect(),
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
        .filter_map(|(index, missed)| Some((index, fewest(by, missed)?)));
    let mut single: Vec<_> = single.collect();
    let front = sections.missed.iter().position(|missed| !missed.is_empty());
    let within_reach = |(index, questions): &(usize, usize)| {
        *questions <= FEW || front.is_some_and(|front| front == *index)
    };
    if single.iter().any(within_reach) {
        if single.iter().all(|(_, questions)| *questions <= FEW) {
            single.sort_by_key(|(_, questions)| *questions);
        }
        let more = |(index, questions)| sections.more(index, questions);
        return Ways::Either(single.into_iter().filter_map(more).collect());
    }
    from_the_front(by, sections)
}

/// As few as possible of the last section, with everything before it; then of the one before.
fn from_the_front(by: Mark, sections: &Sections<'_>) -> Ways {
    let gain = |missed: &[Missed]| missed.iter().map(|missed| missed.gain).sum::<Mark>();
    let mut before: Mark = sections.missed.iter().map(|missed| gain(missed)).sum();
    if before < by {
        return Ways::OutOfReach;
    }
    let mut still = by;
    let mut together = Vec::new();
    for (index, missed) in sections.missed.iter().enumerate().rev() {
        before = before - gain(missed);
        let questions = if still > before {
            fewest(still - before, missed).unwrap_or(missed.len())
        } else {
            0
        };
        still = still - gain(missed.get(..questions).unwrap_or_default());
        together.extend((questions > 0).then(|| sections.more(index, questions)));
    }
    Ways::Together(together.into_iter().rev().flatten().collect())
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

#[cfg(test)]
mod tests;
