//! The marking rule of a paper file.

use serde::Deserialize;

use crate::domain::mark::Mark;
use crate::domain::rule::{QuestionNo, Rule, RuleProblem, Section};
use crate::storage::files::locate::Spot;
use crate::storage::files::problem::Findings;
use crate::storage::files::raw::{Number, Numbered};
use crate::storage::files::text::Shape;

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Rule")]
pub(super) struct RuleForm {
    start: Option<Number>,
    sections: Vec<SectionForm>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Section")]
struct SectionForm {
    name: Option<String>,
    first: Numbered,
    last: Numbered,
    right: Number,
    wrong: Option<Number>,
    blank: Option<Number>,
}

impl RuleForm {
    /// The rule, if it is sound for a paper of so many questions.
    pub(super) fn mean(self, questions: usize, findings: &mut Findings<'_>) -> Option<Rule> {
        let spot = Spot::top().at("rule");
        let start = number(&spot.at("start"), self.start.as_ref(), findings);
        let mut unread = start.is_none();
        let mut sections = Vec::new();
        let mut marks_read = Vec::new();
        let most = findings.within(&spot.at("sections"), self.sections.len());
        for (index, form) in self.sections.iter().take(most).enumerate() {
            let (section, read) = form.mean(&spot.at("sections").item(index), findings);
            unread |= !read;
            marks_read.push(read);
            sections.push(section);
        }
        let rule = Rule {
            start: start.unwrap_or_default(),
            sections,
        };
        for (index, section) in rule.sections.iter().enumerate() {
            if section.wrong > Mark::ZERO {
                findings.note(
                    &spot.at("sections").item(index).at("wrong"),
                    format!(
                        "a wrong answer earns {} here; check the sign",
                        section.wrong
                    ),
                );
            }
        }
        let problems = rule.problems(questions);
        for problem in &problems {
            let spot = spot_of(problem, &rule, &spot);
            match problem {
                // What could not be read is no reason to call the marks unfit as well.
                RuleProblem::RightNotBest { section }
                    if marks_read.get(*section) != Some(&true) => {}
                // A paper without questions, or with too many, is told so already.
                RuleProblem::Ends { .. } if questions == 0 || questions > usize::from(u16::MAX) => {
                }
                _ => findings.wrong(&spot, problem),
            }
        }
        (problems.is_empty() && !unread).then_some(rule)
    }
}

impl SectionForm {
    /// The section, and whether all its numbers could be read.
    fn mean(&self, spot: &Spot, findings: &mut Findings<'_>) -> (Section, bool) {
        if let Some(name) = &self.name {
            findings.text(&spot.at("name"), name, Shape::Line);
        }
        let right = self.right.read(&spot.at("right"), findings);
        let wrong = number(&spot.at("wrong"), self.wrong.as_ref(), findings);
        let blank = number(&spot.at("blank"), self.blank.as_ref(), findings);
        // Anything below 1 becomes 0 and anything too large the largest: the rule finds fault with both.
        let question = |n: Numbered| QuestionNo(u16::try_from(n.0.max(0)).unwrap_or(u16::MAX));
        let (first, last) = (question(self.first), question(self.last));
        let name = self.name.clone();
        let section = Section {
            name: name.unwrap_or_else(|| format!("{first}-{last}")),
            first,
            last,
            right: right.unwrap_or_default(),
            wrong: wrong.unwrap_or_default(),
            blank: blank.unwrap_or_default(),
        };
        (
            section,
            right.is_some() && wrong.is_some() && blank.is_some(),
        )
    }
}

/// A number that is 0 when nothing is said.
fn number(spot: &Spot, written: Option<&Number>, findings: &mut Findings<'_>) -> Option<Mark> {
    match written {
        Some(number) => number.read(spot, findings),
        None => Some(Mark::ZERO),
    }
}

/// The field that a problem of the rule is best mended in.
fn spot_of(problem: &RuleProblem, rule: &Rule, spot: &Spot) -> Spot {
    let sections = spot.at("sections");
    match problem {
        RuleProblem::NoSection => sections,
        RuleProblem::Backwards { section } => {
            let first = rule.sections.get(*section).map(|section| section.first);
            let field = if first == Some(QuestionNo(0)) {
                "first"
            } else {
                "last"
            };
            sections.item(*section).at(field)
        }
        RuleProblem::Overlap { section, .. } | RuleProblem::Gap { section, .. } => {
            sections.item(*section).at("first")
        }
        RuleProblem::Ends { section, .. } => sections.item(*section).at("last"),
        RuleProblem::RightNotBest { section } => sections.item(*section).at("right"),
        RuleProblem::TooFine => spot.clone(),
    }
}
