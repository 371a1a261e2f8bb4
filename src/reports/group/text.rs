//! A group's figures as a page of plain text, 80 columns wide.

use super::page::Page;
use super::{GroupReport, histogram, options, questions, times};
use crate::domain::header::INVENTED;
use crate::reports::text::COLUMNS;
use crate::words::group as words;
use crate::words::text::cut;

/// The page.
pub fn page(report: &GroupReport<'_>) -> String {
    let mut page = Page::default();
    heading(report, &mut page);
    histogram::histogram(report, &mut page);
    page.part(words::TRUST_HEADING);
    for sentence in words::trust(report.figures) {
        page.words("  ", &sentence);
    }
    questions::worth_a_look(report.figures, &mut page);
    questions::questions(report, &mut page);
    for sentence in words::end_reached(report.figures) {
        page.words("  ", &sentence);
    }
    if report.with_options {
        options::options(report, &mut page);
    }
    times::times(report, &mut page);
    page.line("");
    closing(report, &mut page);
    page.text
}

fn heading(report: &GroupReport<'_>, page: &mut Page) {
    let figures = report.figures;
    page.line(&cut(&report.paper.title, COLUMNS));
    page.words(
        "",
        &words::sheets(figures.people, report.source, figures.max),
    );
    if report.invented {
        page.words("! ", INVENTED);
    }
    page.line("");
    page.words("", &words::totals(&figures.totals));
}

fn closing(report: &GroupReport<'_>, page: &mut Page) {
    page.words("- ", &words::estimate_from(report.figures.people));
    page.words("- ", &words::not_for_publishing());
    if !report.with_options {
        page.words("- ", words::OPTIONS_HINT);
    }
}
