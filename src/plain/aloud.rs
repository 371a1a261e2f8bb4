//! What is read out: questions, the answer sheet, the time.

use crate::dialogue::Scene;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Phase, Row, RowState, Sitting};
use crate::words::how::unless_worked;
use crate::words::numbers::marks_in_words;
use crate::words::time::{left_in_words, time_in_words};

/// A question read out: number, marks, words, figure, options, and what stands on the sheet.
pub(super) fn question(at: &Scene<'_>, number: QuestionNo) -> Vec<String> {
    let (sitting, paper) = (at.sitting, at.paper);
    let outline = &sitting.header().paper;
    let worth = outline
        .rule
        .section(number)
        .map_or_else(String::new, |section| {
            format!(", {}", marks_in_words(section.right))
        });
    let mut said = vec![format!(
        "Question {number} of {}{worth}.",
        outline.questions
    )];
    let labels = outline.labels(number);
    let printed = paper.and_then(|paper| paper.question(number));
    if let Some(text) = printed.and_then(|question| question.stem.as_ref()) {
        said.extend(text.lines().map(str::to_owned));
    }
    if let Some(figure) = printed.and_then(|question| question.figure.as_ref()) {
        said.push("Figure:".to_owned());
        said.extend(figure.lines().map(str::to_owned));
    }
    match printed.filter(|question| !question.options.is_empty()) {
        Some(question) => {
            let options = labels.iter().zip(&question.options);
            said.extend(options.map(|(label, text)| format!("{label}: {text}")));
        }
        None => said.push(format!("Options {}.", labels.range())),
    }
    if let Some(row) = sitting.row(number) {
        let fresh = row.standing().is_none() && !row.skipped && !row.flagged;
        if !fresh {
            said.push(format!("On your sheet: {}.", state(row)));
        }
    }
    said
}

/// One row of the answer sheet as `label: value`.
pub(super) fn row(row: &Row) -> String {
    format!("Question {}: {}.", row.number, state(row))
}

fn state(row: &Row) -> String {
    let mut words = Vec::new();
    match (row.standing(), row.state()) {
        (Some(given), _) => {
            words.push(given.option.to_string());
            words.extend(unless_worked(given.how).map(str::to_owned));
            if row.in_time.is_none() {
                words.push("after time".to_owned());
            }
        }
        (None, RowState::Skipped) => words.push("blank, left for later".to_owned()),
        (None, RowState::NotSeen) => words.push("blank, not seen".to_owned()),
        (None, RowState::Seen | RowState::Answered) => words.push("blank".to_owned()),
    }
    if row.flagged {
        words.push("flag".to_owned());
    }
    words.join(", ")
}

/// The whole answer sheet.
pub(super) fn sheet(sitting: &Sitting) -> Vec<String> {
    sitting.rows().iter().map(row).collect()
}

/// The time left.
pub(super) fn time(at: &Scene<'_>) -> String {
    let sitting = at.sitting;
    let left = left_in_words(sitting.left(at.at));
    match sitting.phase() {
        Phase::Running => {
            let allowed = time_in_words(sitting.header().allowed);
            format!("{left} left of {allowed}.")
        }
        Phase::OnBreak => format!("The clock is stopped at {left} left."),
        Phase::TimeUp | Phase::GuessRound | Phase::Closed(_) => "Time is up.".to_owned(),
    }
}
