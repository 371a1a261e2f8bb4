//! Time on each question against the share who had it right.

use super::GroupReport;
use super::page::{Page, bar};
use crate::cohort::items::QuestionFigures;
use crate::words::group as words;
use crate::words::text::Side;
use crate::words::time::clock_of;

/// The widest bar: two of them and times of ten minutes and more fit in the page's columns.
const WIDEST: u8 = 16;

/// The table, where there are times.
pub(super) fn times(report: &GroupReport<'_>, page: &mut Page) {
    if !report.figures.has_times() {
        return;
    }
    page.part(words::TIMES_HEADING);
    let longest = report
        .figures
        .questions
        .iter()
        .filter_map(|question| question.seconds)
        .map(|seconds| seconds.quartiles.median)
        .fold(1.0, f64::max);
    let mut rows = vec![
        ["Q", "Median", "Middle half", "People", "Time", "Right", ""]
            .map(str::to_owned)
            .to_vec(),
    ];
    rows.extend(
        report
            .figures
            .questions
            .iter()
            .map(|one| row(one, report.figures.people, longest)),
    );
    let [left, right] = [Side::Left, Side::Right];
    page.table(&[right, right, right, right, left, right, left], &rows);
    page.words("  ", words::TIMES_NOTE);
    if !report.paper.on_screen {
        page.words("  ", words::TIMES_OF_A_PRINTED_PAPER);
    }
}

fn row(question: &QuestionFigures, people: usize, longest: f64) -> Vec<String> {
    let mut row = vec![question.number.to_string()];
    match question.seconds {
        Some(seconds) => {
            let quartiles = seconds.quartiles;
            row.push(clock_of(quartiles.median));
            row.push(format!(
                "{} to {}",
                clock_of(quartiles.lower),
                clock_of(quartiles.upper)
            ));
            row.push(seconds.people.to_string());
            row.push(bar(quartiles.median / longest, WIDEST));
        }
        None => row.extend(["-", "-", "0", ""].map(str::to_owned)),
    }
    let right = question.right;
    row.push(right.map_or_else(|| "-".into(), |right| words::of_people(right, people)));
    row.push(bar(question.facility.unwrap_or(0.0), WIDEST));
    row
}
