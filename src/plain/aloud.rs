//! What is read out: questions, the answer sheet, the time.

use crate::dialogue::Scene;
use crate::domain::paper::Question;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Sitting;
use crate::words::aloud as words;
use crate::words::guess::guess_loses_here;
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
    if let Some(question) = printed {
        said.extend(figure(question));
    }
    let crossed = sitting.row(number).map(|row| &row.crossed);
    match printed.filter(|question| !question.options.is_empty()) {
        Some(question) => {
            let options = labels.iter().zip(&question.options);
            said.extend(options.map(|(label, text)| {
                let out = crossed.is_some_and(|crossed| crossed.contains(&label));
                words::option(label, text, out)
            }));
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

/// A figure in its words; where it has none, as it is drawn.
fn figure(question: &Question) -> Vec<String> {
    match (&question.figure_words, &question.figure) {
        (Some(said), _) => vec![words::figure(said)],
        (None, Some(drawn)) => {
            let mut lines = vec!["Figure:".to_owned()];
            lines.extend(drawn.lines().map(str::to_owned));
            lines
        }
        (None, None) => Vec::new(),
    }
}

/// A question of a sweep: its number and what answers it.
pub(super) fn question_in_short(at: &Scene<'_>, number: QuestionNo) -> Vec<String> {
    let labels = at.sitting.header().paper.labels(number);
    let short = vec![words::in_short(number, labels)];
    let loses = guess_loses_here(at.sitting, number);
    short.into_iter().chain(loses).collect()
}

/// The whole answer sheet, blanks in a row together.
pub(super) fn sheet(sitting: &Sitting) -> Vec<String> {
    let rows = sitting.rows();
    let runs = rows.chunk_by(|one, other| {
        let blank = one.standing().is_none() && other.standing().is_none();
        blank && words::with_crosses(one) == words::with_crosses(other)
    });
    runs.filter_map(|run| Some(words::rows(run.first()?, run.last()?)))
        .collect()
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
