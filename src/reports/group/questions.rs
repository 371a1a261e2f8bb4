//! What is worth a look, and the table of questions.

use super::GroupReport;
use super::page::Page;
use crate::cohort::items::{CorrelationSign, FEW, Figures, QuestionFigures, remarks, sign};
use crate::stats::interval::wilson;
use crate::words::group as words;
use crate::words::numbers::{decimals, percent_range};
use crate::words::sign::{ABOVE, BELOW, UNCLEAR};
use crate::words::text::{Side, columns, cut};

/// The level of the range beside a share.
const LEVEL: f64 = 0.95;

/// What is worth a look, the most pressing first.
pub(super) fn worth_a_look(figures: &Figures, page: &mut Page) {
    let remarks = remarks(figures);
    page.part(words::REMARKS_HEADING);
    for (place, remark) in (1..).zip(&remarks.told) {
        page.words(
            &format!("  {place}. "),
            &words::remark(remark, figures.people),
        );
    }
    for sentence in words::about_remarks(&remarks, figures.people) {
        page.words("  ", &sentence);
    }
}

/// The table.
pub(super) fn questions(report: &GroupReport<'_>, page: &mut Page) {
    let figures = report.figures;
    let shown = ShownFigures::of(figures);
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
        if let Some(void) = question.void {
            page.words("     ! ", words::void(void));
        }
    }
    for sentence in words::question_columns(figures) {
        page.words("  ", &sentence);
    }
}

/// Which columns there are.
struct ShownFigures {
    numbers: bool,
    scale: bool,
}

impl ShownFigures {
    fn of(figures: &Figures) -> Self {
        let enough = figures.people >= FEW;
        Self {
            numbers: enough,
            scale: enough && figures.rasch.is_ok(),
        }
    }

    fn heads(&self) -> Vec<String> {
        let mut heads = vec!["Q", "Key", "Right", "95% range", "Discr."];
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
            question
                .right
                .map_or_else(none, |right| words::of_people(right, people)),
            range.map_or_else(none, |range| percent_range(range.low, range.high)),
            question.discrimination.map_or_else(
                || words::NO_CORRELATION.to_owned(),
                |own| self.correlation(own, people),
            ),
        ];
        if self.numbers {
            let signed = |own: f64| decimals(own, 2);
            row.push(question.upper_lower.map_or_else(none, signed));
        }
        row.push(words::of_people(question.blanks.omitted, people));
        row.push(words::of_people(question.blanks.not_reached, people));
        if self.scale {
            let measure = figures.measure(question);
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
            CorrelationSign::Plus => ABOVE,
            CorrelationSign::Minus => BELOW,
            CorrelationSign::Unclear => UNCLEAR,
        }
        .to_owned()
    }
}
