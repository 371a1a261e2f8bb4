//! The marking rule of a paper: start marks and sections, exact.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::mark::{self, Mark};

/// A question's printed number, from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct QuestionNo(pub u16);

impl QuestionNo {
    /// The question whose place in a list from 0 is `index`.
    pub fn from_index(index: usize) -> Self {
        Self(u16::try_from(index + 1).unwrap_or(u16::MAX))
    }

    /// The place in a list from 0.
    pub fn index(self) -> usize {
        usize::from(self.0).saturating_sub(1)
    }
}

impl fmt::Display for QuestionNo {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// Questions next to one another that are worth the same.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Section {
    /// What the paper calls it.
    pub name: String,
    /// Its first question.
    pub first: QuestionNo,
    /// Its last question.
    pub last: QuestionNo,
    /// Marks for a right answer.
    pub right: Mark,
    /// Marks for a wrong answer, negative where the rule takes marks away.
    #[serde(default)]
    pub wrong: Mark,
    /// Marks for a blank.
    #[serde(default)]
    pub blank: Mark,
}

impl Section {
    /// Whether `question` lies in this section.
    pub fn holds(&self, question: QuestionNo) -> bool {
        (self.first..=self.last).contains(&question)
    }

    /// The most that one question of it can give.
    pub fn best(&self) -> Mark {
        self.right.max(self.wrong).max(self.blank)
    }
}

/// How answers become marks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Rule {
    /// Marks that everybody starts with.
    #[serde(default)]
    pub start: Mark,
    /// The sections, in order; they hold each question exactly once.
    pub sections: Vec<Section>,
}

/// What is wrong with a rule; `section` counts from 0.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum RuleProblem {
    /// There is no section at all.
    #[error("the rule has no sections; write at least one")]
    NoSection,
    /// A section's last question comes before its first, or its first is below 1.
    #[error("the section ends before it begins; write first and last as question numbers from 1")]
    Backwards {
        /// Which section.
        section: usize,
    },
    /// A section begins before the one before it has ended.
    #[error("the section overlaps the one before it; it should begin at question {expected}")]
    Overlap {
        /// Which section.
        section: usize,
        /// Where it should begin.
        expected: QuestionNo,
    },
    /// A question lies in no section.
    #[error("there is a gap before this section; it should begin at question {expected}")]
    Gap {
        /// The section after the gap.
        section: usize,
        /// Where it should begin.
        expected: QuestionNo,
    },
    /// The last section ends before or after the paper's last question.
    #[error("the last section should end at question {expected}, the paper's last")]
    Ends {
        /// Which section.
        section: usize,
        /// The paper's last question.
        expected: QuestionNo,
    },
    /// A right answer is worth no more than a wrong one.
    #[error(
        "a right answer must be worth more than a wrong one and than a blank; check right, wrong and blank"
    )]
    RightNotBest {
        /// Which section.
        section: usize,
    },
    /// The marks have no common grid that can be computed with.
    #[error("the marks need a finer grid than a millionth of a mark; use simpler fractions")]
    TooFine,
}

impl Rule {
    /// Everything that is wrong with the rule on a paper of so many questions.
    pub fn problems(&self, questions: usize) -> Vec<RuleProblem> {
        let mut problems = Vec::new();
        let mut expected = QuestionNo(1);
        for (section, part) in self.sections.iter().enumerate() {
            if part.first.0 == 0 || part.last < part.first {
                problems.push(RuleProblem::Backwards { section });
            } else if part.first < expected {
                problems.push(RuleProblem::Overlap { section, expected });
            } else if part.first > expected {
                problems.push(RuleProblem::Gap { section, expected });
            }
            if part.right <= part.wrong || part.right <= part.blank {
                problems.push(RuleProblem::RightNotBest { section });
            }
            expected = expected.max(QuestionNo(part.last.0.saturating_add(1)));
        }
        match self.sections.len().checked_sub(1) {
            None => problems.push(RuleProblem::NoSection),
            Some(section) if expected.index() != questions => {
                let expected = QuestionNo(u16::try_from(questions).unwrap_or(u16::MAX));
                problems.push(RuleProblem::Ends { section, expected });
            }
            Some(_) => {}
        }
        if self.grid().is_none() {
            problems.push(RuleProblem::TooFine);
        }
        problems
    }

    /// The section that `question` lies in.
    pub fn section(&self, question: QuestionNo) -> Option<&Section> {
        self.sections.iter().find(|section| section.holds(question))
    }

    /// The grid on which every mark of this rule lies: steps to the mark.
    pub fn grid(&self) -> Option<i64> {
        let marks = self
            .sections
            .iter()
            .flat_map(|s| [s.right, s.wrong, s.blank]);
        mark::common_grid(marks.chain([self.start]))
    }

    /// Whether any wrong answer is worth less than a blank.
    pub fn takes_marks_away(&self) -> bool {
        self.sections
            .iter()
            .any(|section| section.wrong < section.blank)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn section(first: u16, last: u16, right: i64, wrong: i64) -> Section {
        Section {
            name: format!("{first}-{last}"),
            first: QuestionNo(first),
            last: QuestionNo(last),
            right: Mark::whole(right),
            wrong: Mark::whole(wrong),
            blank: Mark::ZERO,
        }
    }

    fn problems(sections: &[Section], questions: usize) -> Vec<RuleProblem> {
        Rule {
            start: Mark::ZERO,
            sections: sections.to_vec(),
        }
        .problems(questions)
    }

    #[test]
    fn sections_hold_each_question_once() {
        assert_eq!(
            problems(&[section(1, 10, 4, 0), section(11, 25, 5, -1)], 25),
            []
        );
        assert_eq!(problems(&[], 25), [RuleProblem::NoSection]);
        assert_eq!(
            problems(&[section(1, 10, 4, 0), section(10, 25, 5, 0)], 25),
            [RuleProblem::Overlap {
                section: 1,
                expected: QuestionNo(11)
            }]
        );
        assert_eq!(
            problems(&[section(1, 10, 4, 0), section(12, 25, 5, 0)], 25),
            [RuleProblem::Gap {
                section: 1,
                expected: QuestionNo(11)
            }]
        );
        assert_eq!(
            problems(&[section(1, 10, 4, 0), section(11, 24, 5, 0)], 25),
            [RuleProblem::Ends {
                section: 1,
                expected: QuestionNo(25)
            }]
        );
        assert_eq!(
            problems(&[section(5, 1, 4, 4)], 0),
            [
                RuleProblem::Backwards { section: 0 },
                RuleProblem::RightNotBest { section: 0 },
                RuleProblem::Ends {
                    section: 0,
                    expected: QuestionNo(0)
                }
            ]
        );
    }
}
