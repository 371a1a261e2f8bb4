//! Who chose what: every option with its count and the mean mark of its choosers on all other questions.

use super::GroupReport;
use super::page::Page;
use crate::cohort::items::OptionFigures;
use crate::reports::text::COLUMNS;
use crate::words::group as words;
use crate::words::numbers::decimals;
use crate::words::sign::KEY;

/// The table, a question a line or more where the options need them.
pub(super) fn options(report: &GroupReport<'_>, page: &mut Page) {
    page.part(words::OPTIONS_HEADING);
    let questions = &report.figures.questions;
    let cells: Vec<Vec<String>> = questions
        .iter()
        .map(|question| question.options.iter().map(cell).collect())
        .collect();
    let widest = cells.iter().flatten().map(String::len).max().unwrap_or(1);
    let indent = 5;
    let a_line = ((COLUMNS - indent + 2) / (widest + 2)).max(1);
    for (question, cells) in questions.iter().zip(&cells) {
        for (index, part) in cells.chunks(a_line).enumerate() {
            let number = if index == 0 {
                question.number.to_string()
            } else {
                String::new()
            };
            let padded: Vec<String> = part.iter().map(|cell| format!("{cell:<widest$}")).collect();
            page.line(&format!("{number:>3}  {}", padded.join("  ")));
        }
    }
    page.words("  ", words::OPTIONS_NOTE);
}

fn cell(option: &OptionFigures) -> String {
    let name = option
        .label
        .map_or_else(|| "blank".to_owned(), |label| label.to_string());
    let key = if option.is_right {
        format!(" {KEY}")
    } else {
        String::new()
    };
    let mean = option
        .mean_rest
        .map_or_else(String::new, |mean| format!(" ({})", decimals(mean, 1)));
    format!("{name}{key} {}{mean}", option.count)
}
