//! A group's figures as a page of plain text, 80 columns wide.

use super::page::Page;
use super::{GroupReport, Source, histogram, options, questions, times, trust};
use crate::cohort::items::LEAST_TO_PUBLISH;
use crate::domain::header::INVENTED;
use crate::reports::text::COLUMNS;
use crate::words::count::counted;
use crate::words::numbers::{decimals, plain, short};
use crate::words::text::cut;

/// The page.
pub fn page(report: &GroupReport<'_>) -> String {
    let mut page = Page::default();
    heading(report, &mut page);
    histogram::histogram(report, &mut page);
    trust::trust(report, &mut page);
    questions::questions(report, &mut page);
    trust::end_reached(report, &mut page);
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
    let source = match report.source {
        Source::AnswerList => "from a list, so there are no times",
        Source::WithGuessRound => "with what was guessed after time was up",
        Source::InTime => "with what was answered in time alone",
    };
    page.words(
        "",
        &format!(
            "{}, {source}. Marks are out of {}.",
            counted(figures.people, "answer sheet"),
            plain(figures.max)
        ),
    );
    if report.invented {
        page.words("! ", INVENTED);
    }
    let (totals, quartiles) = (&figures.totals, &figures.totals.quartiles);
    let sd = totals
        .sd
        .map_or_else(String::new, |sd| format!(", SD {}", decimals(sd, 1)));
    page.line("");
    page.words(
        "",
        &format!(
            "Mean {}{sd}, median {}; the middle half lies from {} to {}.",
            decimals(totals.mean, 1),
            short(quartiles.median, 2),
            short(quartiles.lower, 2),
            short(quartiles.upper, 2)
        ),
    );
}

fn closing(report: &GroupReport<'_>, page: &mut Page) {
    page.words(
        "- ",
        &format!(
            "A practice estimate from {}; not an official result.",
            counted(report.figures.people, "answer sheet")
        ),
    );
    page.words(
        "- ",
        &format!(
            "Numbers of fewer than {LEAST_TO_PUBLISH} people are not for publishing: a reader could tell who they are."
        ),
    );
    if !report.with_options {
        page.words("- ", "With --options: who chose what.");
    }
}
