//! What is read out: questions, the answer sheet, the time.

use crate::dialogue::Scene;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Sitting;
use crate::words::aloud as words;
use crate::words::numbers::marks_in_words;

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
            said.push(words::on_your_sheet(row));
        }
    }
    said
}

/// The whole answer sheet.
pub(super) fn sheet(sitting: &Sitting) -> Vec<String> {
    sitting.rows().iter().map(words::row).collect()
}

/// The time left.
pub(super) fn time(at: &Scene<'_>) -> String {
    let sitting = at.sitting;
    words::time(
        sitting.phase(),
        sitting.left(at.at),
        sitting.header().allowed,
    )
}
