//! The table of questions, with a remark where a number is worth a look.

use super::GroupReport;
use super::histogram::share;
use super::page::Page;
use crate::cohort::items::{CorrelationSign, FEW, Figures, QuestionFigures, remarks, sign};
use crate::stats::interval::wilson;
use crate::words::count::counted;
use crate::words::numbers::{decimals, percent, percent_range};
use crate::words::sign::Sign;
use crate::words::text::{Side, columns, cut};

/// The level of the range beside a share.
const LEVEL: f64 = 0.95;

/// The table.
pub(super) fn questions(report: &GroupReport<'_>, page: &mut Page) {
    let figures = report.figures;
    let shown = Shown::of(figures);
    page.part("Questions");
    let mut rows = vec![shown.heads()];
    rows.extend(figures.questions.iter().map(|one| shown.row(figures, one)));
    let mut sides = vec![Side::Right; rows.first().map_or(0, Vec::len)];
    if let Some(key) = sides.get_mut(1) {
        *key = Side::Left;
    }
    let mut lines = columns(&sides, &rows).into_iter();
    if let Some(head) = lines.next() {
        page.line(&head);
    }
    for (line, question) in lines.zip(&figures.questions) {
        page.line(&line);
        for remark in remarks(figures, question) {
            page.words("     ! ", &remark.to_string());
        }
    }
    for sentence in shown.legend(figures) {
        page.words("  ", &sentence);
    }
}

/// Which columns there are.
struct Shown {
    numbers: bool,
    scale: bool,
}

impl Shown {
    fn of(figures: &Figures) -> Self {
        let enough = figures.people >= FEW;
        Self {
            numbers: enough,
            scale: enough && figures.rasch.is_ok(),
        }
    }

    fn heads(&self) -> Vec<String> {
        let mut heads = vec!["Q", "Key", "Right", "95 % range", "Discr."];
        if self.numbers {
            heads.push("Top-low");
        }
        heads.extend(["Omitted", "Not reached"]);
        if self.scale {
            heads.push("Difficulty");
        }
        heads.into_iter().map(str::to_owned).collect()
    }

    fn row(&self, figures: &Figures, question: &QuestionFigures) -> Vec<String> {
        let people = figures.people;
        let none = || "-".to_owned();
        let range = question
            .right
            .and_then(|right| wilson(right, people, LEVEL));
        let mut row = vec![
            question.number.to_string(),
            cut(&question.key(), 5),
            question.facility.map_or_else(none, percent),
            range.map_or_else(none, |range| percent_range(range.low, range.high)),
            question
                .discrimination
                .map_or_else(none, |own| self.correlation(own, people)),
        ];
        if self.numbers {
            let signed = |own: f64| decimals(own, 2);
            row.push(question.upper_lower.map_or_else(none, signed));
        }
        row.push(percent(share(question.blanks.omitted, people)));
        row.push(percent(share(question.blanks.not_reached, people)));
        if self.scale {
            let measure = question.rasch.and_then(Result::ok);
            row.push(measure.map_or_else(none, |measure| {
                format!(
                    "{} +-{}",
                    decimals(measure.difficulty, 2),
                    decimals(measure.error, 2)
                )
            }));
        }
        row
    }

    fn correlation(&self, own: f64, people: usize) -> String {
        if self.numbers {
            return decimals(own, 2);
        }
        match sign(own, people) {
            CorrelationSign::Plus => Sign::Positive,
            CorrelationSign::Minus => Sign::Negative,
            CorrelationSign::Unclear => Sign::Unclear,
        }
        .mark()
        .to_owned()
    }

    fn legend(&self, figures: &Figures) -> Vec<String> {
        let mut sentences = Vec::new();
        if self.numbers {
            sentences.push(format!(
                "Discr.: correlation of right or not with the marks on all other questions. Top-low: share right among the {} with the highest marks less that among the {0} with the lowest.",
                figures.group_size()
            ));
        } else {
            sentences.push(format!(
                "Discr.: whether those who had it right did better on all other questions: + yes, - no, ? not clear. The number is not shown below {FEW} people, since it would be mostly chance (standard error about {}).",
                decimals(1.0 / (share(figures.people.max(2) - 1, 1)).sqrt(), 2)
            ));
        }
        sentences.push(
            "Omitted: left out with an answer further on. Not reached: blank with nothing answered after it.".into(),
        );
        sentences.push(scale(figures, self.scale));
        sentences
    }
}

/// What the difficulties are, or why there are none.
fn scale(figures: &Figures, shown: bool) -> String {
    match &figures.rasch {
        Err(shortage) => format!("No difficulties on a scale: {shortage}."),
        Ok(_) if !shown => format!(
            "No difficulties on a scale: {} are too few, about {FEW} are needed.",
            counted(figures.people, "answer sheet")
        ),
        Ok(people) => {
            let every = &figures.questions;
            let missing = every.iter().filter_map(|one| {
                let why = one.rasch?.err()?;
                Some(format!(" Question {}: {why}.", one.number))
            });
            let missing: String = missing.collect();
            format!(
                "Difficulty: Rasch, in logits about their mean, with its standard error; from {people} sheets with some right and some not, blanks as not right.{missing}"
            )
        }
    }
}
