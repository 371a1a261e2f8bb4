//! What is said of questions, of the answer sheet and of the time.

use super::typed::WORDS;
use crate::domain::event::How;
use crate::domain::paper::Paper;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Phase, Row, RowState, Sitting};
use crate::domain::time::Elapsed;
use crate::words::count::counted;
use crate::words::numbers::{marks_in_words, ranges_in_words};
use crate::words::time::{left_in_words, time_in_words};

/// While the clock is stopped.
pub(super) const ON_BREAK: &str = "Rest break: the clock is stopped. Type back to go on.";
/// At the beginning of the guess round.
pub(super) const GUESSING: &str = "Guess round. A letter guesses. Enter leaves a question blank. fill fills the rest at random. finish ends it.";

/// At time up; pens are for printed papers.
pub(super) fn time_up(sitting: &Sitting) -> &'static str {
    if sitting.header().paper.on_screen {
        "Time is up. Well worked."
    } else {
        "Time is up. Pens down. Well worked."
    }
}

/// A question read out: number, marks, words, figure, options, and what stands on the sheet.
pub(super) fn question(
    sitting: &Sitting,
    paper: Option<&Paper>,
    number: QuestionNo,
) -> Vec<String> {
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
            words.extend(how(given.how).map(str::to_owned));
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

/// How an answer was come by, where that is said at all.
pub(super) const fn how(how: How) -> Option<&'static str> {
    match how {
        How::Worked => None,
        How::Unsure => Some("unsure"),
        How::Guessed => Some("a guess"),
        How::Filled => Some("filled at random"),
    }
}

/// The whole answer sheet.
pub(super) fn sheet(sitting: &Sitting) -> Vec<String> {
    sitting.rows().iter().map(row).collect()
}

/// The blanks by number.
pub(super) fn blanks(sitting: &Sitting) -> String {
    let blanks: Vec<_> = sitting.blanks().collect();
    if blanks.is_empty() {
        return "Nothing is blank.".to_owned();
    }
    let many = counted(blanks.len(), "blank");
    format!("{many}: {}.", ranges_in_words(&blanks))
}

/// The time left.
pub(super) fn time(sitting: &Sitting, at: Elapsed) -> String {
    let left = left_in_words(sitting.left(at));
    match sitting.phase() {
        Phase::Running => {
            let allowed = time_in_words(sitting.header().allowed);
            format!("{left} left of {allowed}.")
        }
        Phase::OnBreak => format!("The clock is stopped at {left} left."),
        Phase::TimeUp | Phase::GuessRound | Phase::Closed(_) => "Time is up.".to_owned(),
    }
}

/// What leaving means, before it is done.
pub(super) fn leave(sitting: &Sitting) -> String {
    let clock = match sitting.phase() {
        Phase::Running if sitting.header().arrangements.away_counts => {
            "The clock runs on meanwhile."
        }
        Phase::Running => "The clock is stopped meanwhile.",
        Phase::OnBreak | Phase::TimeUp | Phase::GuessRound | Phase::Closed(_) => "",
    };
    let text = format!(
        "Leave the program? The sitting stays open, to be taken up again. {clock} Type leave again to leave."
    );
    text.replace("  ", " ")
}

/// The words of use now.
pub(super) fn help(sitting: &Sitting) -> Vec<String> {
    let phase = sitting.phase();
    let mut said = Vec::new();
    if matches!(phase, Phase::Running | Phase::GuessRound) {
        let outline = &sitting.header().paper;
        let jump = if outline.options.are_digits() {
            "# and a number: go to that question."
        } else {
            "A number: go to that question."
        };
        said.push(format!(
            "{}: answer the open question.",
            outline.options.range()
        ));
        said.push("Enter alone: go on to the next question.".to_owned());
        said.push(jump.to_owned());
    }
    let of_use = WORDS.iter().filter(|(_, word, _)| word.is_for(phase));
    said.extend(of_use.map(|(name, _, does)| format!("{name}: {does}.")));
    said
}
