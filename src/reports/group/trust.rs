//! How far the marks can be trusted, and how far the time went, in words.

use super::GroupReport;
use super::histogram::share;
use super::page::Page;
use crate::cohort::items::FEW;
use crate::domain::key::Void;
use crate::words::numbers::{decimals, percent};

/// The word for a reliability (common practice, no source).
const fn word(reliability: f64) -> &'static str {
    match reliability {
        0.9.. => "very high",
        0.8..0.9 => "high",
        0.7..0.8 => "good enough for a class test",
        0.5..0.7 => "modest: compare groups rather than pupils",
        0.0..0.5 => "low: single marks say little",
        _ => "none: the questions do not go together",
    }
}

/// Reliability and the error of a mark.
pub(super) fn trust(report: &GroupReport<'_>, page: &mut Page) {
    let (figures, found) = (report.figures, &report.figures.reliability);
    page.part("How far the marks can be trusted");
    let number = |value: Option<f64>| value.map_or_else(|| "-".into(), |value| decimals(value, 2));
    match found.alpha {
        None => page.words(
            "  ",
            "Nothing can be said: it takes two questions that count and marks that differ.",
        ),
        Some(alpha) => {
            page.words(
                "  ",
                &format!(
                    "Alpha {} on the questions' marks, KR-20 {} on right or not: {}.",
                    decimals(alpha, 2),
                    number(found.kr20),
                    word(alpha)
                ),
            );
            if let Some(sem) = found.sem {
                page.words(
                    "  ",
                    &format!(
                        "One mark is uncertain by about {} either way (standard error of measurement, two times in three).",
                        decimals(sem, 1)
                    ),
                );
            }
            if figures.people < FEW {
                page.words(
                    "  ",
                    &format!("With {} people these are rough themselves.", figures.people),
                );
            }
        }
    }
}

/// How many came to the end; from 80 % on a paper is commonly called unhurried (a rule ascribed to
/// Swineford, from memory).
pub(super) fn end_reached(report: &GroupReport<'_>, page: &mut Page) {
    let people = report.figures.people;
    let questions = &report.figures.questions;
    let Some(last) = questions.last() else { return };
    let missed: usize = questions.iter().map(|one| one.blanks.not_reached).sum();
    let reached = people.saturating_sub(last.blanks.not_reached);
    page.words(
        "  ",
        &format!(
            "{} answered the last question; on average {} questions at the end were not reached.",
            percent(share(reached, people)),
            decimals(share(missed, people), 1)
        ),
    );
    let voids = questions
        .iter()
        .filter(|one| one.void == Some(Void::Dropped));
    if voids.count() > 0 {
        page.words("  ", "Dropped questions are in no mark.");
    }
}
