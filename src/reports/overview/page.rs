//! The term as a page to look at and to print.

use maud::{Markup, html};

use super::{OverviewReport, pictures, void};
use crate::domain::header::INVENTED;
use crate::domain::rule::QuestionNo;
use crate::reports::document::document;
use crate::reports::document::tidy::tidy;
use crate::season::overview::{OverviewSheet, PaperColumn, PupilRow};
use crate::words::overview as words;

/// So many papers stand beside each other.
const PAPERS: usize = 8;
/// So many letters of each head have room where one paper stands alone; the more papers, the fewer. A browser repeats
/// the heads of a table on every side only where they take no more than a quarter of it.
const HEAD_ROOM: usize = 400;
/// So many questions stand beside each other.
const QUESTIONS: usize = 25;

/// The page.
pub fn page(report: &OverviewReport) -> String {
    let overview = &report.overview;
    let group = report.group.as_deref();
    let heading = words::heading(group, overview.pupils.len(), report.days());
    let inside = html! {
        div class="term" {
            header {
                h1 { (tidy(&heading)) }
                @if report.invented { p { strong { (INVENTED) } } }
                p { (words::FOR_THE_TUTOR) }
                @for said in &report.remarks { p { (tidy(said)) } }
            }
            @if overview.columns.is_empty() {
                p { (words::NOTHING) }
            } @else {
                (needs(report))
                (marks(report))
                (ends(report))
                (letters(report))
                (habit(report))
            }
        }
    };
    document(words::TITLE, &inside)
}

fn needs(report: &OverviewReport) -> Markup {
    let overview = &report.overview;
    html! {
        section aria-labelledby="words" {
            h2 id="words" { (words::WORDS) }
            @if let Some(week) = overview.week {
                p { (words::week(week)) }
                @for said in report.cautions() { p { strong { (tidy(&said)) } } }
                @if overview.words.is_empty() { p { (words::NOBODY) } }
                @for own in &overview.words {
                    div class="print-whole" {
                        h3 { (tidy(&words::name(own))) }
                        ul {
                            @for reason in &own.reasons { li { (tidy(&words::reason(reason, week))) } }
                        }
                    }
                }
                @if !overview.words.is_empty() { p class="soft" { (words::HOW_CHOSEN) } }
            }
        }
    }
}

/// Whether papers beside each other have no room for their names in the heads, and are numbered instead.
fn are_numbered(report: &OverviewReport) -> bool {
    let mut parts = report.overview.columns.chunks(PAPERS);
    parts.any(|part| {
        let letters = part
            .iter()
            .map(|column| words::letters(column).chars().count());
        letters.max().unwrap_or(0) * part.len() > HEAD_ROOM
    })
}

/// A head of a column: the paper, or its number, with the days on which it was sat.
fn head(column: &PaperColumn, number: Option<usize>) -> Markup {
    let paper = number.map_or_else(|| words::paper(column), words::short_paper);
    html! {
        th scope="col" {
            (tidy(&paper))
            @if let Some(days) = column.days() { span class="under soft" { (words::span(days)) } }
        }
    }
}

/// The head of a last column, and what stands in it for a pupil.
type LastColumn<'a> = (&'a str, &'a dyn Fn(usize, &PupilRow) -> Markup);

/// A table of pupils by papers; what stands in a cell and behind the last column comes from the caller.
fn by_papers(
    report: &OverviewReport,
    caption: &str,
    last: LastColumn<'_>,
    cell: &dyn Fn(&OverviewSheet) -> Markup,
) -> Markup {
    let overview = &report.overview;
    let parts = overview.columns.chunks(PAPERS);
    let count = parts.len();
    let numbered = are_numbered(report);
    html! {
        @for (place, part) in parts.enumerate() {
            div class="wide" {
                table class="grid-table" {
                    caption { (caption) }
                    thead {
                        tr {
                            th scope="col" { (words::PUPIL) }
                            @for (column, number) in part.iter().zip(place * PAPERS + 1..) {
                                (head(column, numbered.then_some(number)))
                            }
                            @if place + 1 == count { th scope="col" { (last.0) } }
                        }
                    }
                    tbody {
                        @for (index, row) in overview.pupils.iter().enumerate() {
                            tr {
                                th scope="row" { (tidy(row.pupil.as_str())) }
                                @for column in part {
                                    @match column.sheets.get(&row.pupil) {
                                        Some(sheet) => td { (cell(sheet)) },
                                        None => td { (words::NONE) },
                                    }
                                }
                                @if place + 1 == count { td { (last.1(index, row)) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn marks(report: &OverviewReport) -> Markup {
    let cell = |sheet: &OverviewSheet| {
        let award = sheet.marks.as_ref().and_then(|own| own.award.as_deref());
        html! {
            strong { (words::mark_of(sheet)) }
            @if let Some(award) = award { span class="under" { (tidy(award)) } }
            @if let Some(range) = words::range_below(sheet) { span class="under soft" { (range) } }
        }
    };
    let picture = |index: usize, row: &PupilRow| {
        let drawn = pictures::season(index, &report.overview, row);
        drawn.unwrap_or_else(|| html! { (words::NONE) })
    };
    html! {
        section aria-labelledby="marks" {
            h2 id="marks" { (words::MARKS) }
            p { (words::MARKS_NOTE) }
            p { (words::SEASON_NOTE) }
            @if are_numbered(report) {
                ul {
                    @for (column, number) in report.overview.columns.iter().zip(1..) {
                        li { (tidy(&words::numbered_paper(number, column))) }
                    }
                }
            }
            (by_papers(report, words::MARKS_CAPTION, (words::SEASON, &picture), &cell))
        }
    }
}

fn ends(report: &OverviewReport) -> Markup {
    let near = report.near();
    let cell = |sheet: &OverviewSheet| {
        let lines = words::ended(sheet);
        html! {
            @for (place, line) in lines.iter().enumerate() {
                @if place == 0 { (line) } @else { span class="under" { (line) } }
            }
        }
    };
    let practice = |_: usize, row: &PupilRow| {
        html! {
            (words::practice(&row.practice, near))
            @if let Some(step) = words::step(row) { span class="under" { (tidy(&step)) } }
        }
    };
    html! {
        section aria-labelledby="ends" {
            h2 id="ends" { (words::ENDS) }
            p { (words::ENDS_NOTE) }
            (by_papers(report, words::ENDS_CAPTION, (words::PRACTICE, &practice), &cell))
        }
    }
}

fn letters(report: &OverviewReport) -> Markup {
    html! {
        section aria-labelledby="letters" {
            h2 id="letters" { (words::LETTERS) }
            p { (words::letters_note()) }
            @for column in &report.overview.columns { (letters_on(report, column)) }
        }
    }
}

fn letters_on(report: &OverviewReport, column: &PaperColumn) -> Markup {
    let numbers: Vec<_> = column.outline.numbers().collect();
    html! {
        @for part in numbers.chunks(QUESTIONS) {
            div class="wide" {
                table class="grid-table letters" {
                    caption { (tidy(&words::letters(column))) }
                    thead {
                        tr class="on-each-side" {
                            th scope="colgroup" colspan=(part.len() + 1) { (tidy(&words::letters(column))) }
                        }
                        tr {
                            th scope="col" { (words::PUPIL) }
                            @for number in part { th scope="col" { (number) } }
                        }
                        @if let Some(key) = &column.key {
                            tr {
                                th scope="row" { (words::KEY) }
                                @for number in part {
                                    td { (words::accepted(key, &column.outline, *number)) }
                                }
                            }
                        }
                    }
                    tbody {
                        @for row in &report.overview.pupils {
                            @if let Some(sheet) = column.sheets.get(&row.pupil) {
                                tr {
                                    th scope="row" { (tidy(row.pupil.as_str())) }
                                    @for number in part { td { (letter(sheet, *number)) } }
                                }
                            }
                        }
                        @if part.iter().any(|number| column.right(*number).is_some()) {
                            tr {
                                th scope="row" { (words::RIGHT) }
                                @for number in part {
                                    td { @if let Some(right) = column.right(*number) { (right) } }
                                }
                            }
                        }
                    }
                }
            }
        }
        @if let Some(void) = words::void(&void(column)) { p { (void) } }
    }
}

fn letter(sheet: &OverviewSheet, number: QuestionNo) -> Markup {
    let answer = sheet.answer(number);
    html! {
        (words::letter(answer))
        @if let Some(how) = answer.and_then(words::how) { span class="under" { (how) } }
    }
}

fn habit(report: &OverviewReport) -> Markup {
    let overview = &report.overview;
    html! {
        section aria-labelledby="habit" {
            h2 id="habit" { (words::HABIT) }
            p { (words::HABIT_NOTE) }
            div class="wide print-whole" { (pictures::habit(overview)) }
            div class=(if overview.columns.len() > PAPERS { "wide" } else { "wide print-whole" }) {
                table class="grid-table" {
                    caption { (words::HABIT) }
                    thead {
                        tr {
                            th scope="col" { (words::PAPER) }
                            @for (_, says) in words::ENDINGS { th scope="col" { (says) } }
                        }
                    }
                    tbody {
                        @for (column, number) in overview.columns.iter().zip(1..) {
                            tr {
                                th scope="row" { (tidy(&words::name_with_number(number, column))) }
                                @for (end, _) in words::ENDINGS { td { (column.ended(end)) } }
                            }
                        }
                    }
                }
            }
        }
    }
}
