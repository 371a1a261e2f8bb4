//! What printed papers, answer sheets, homework, plan cards and keys say.

use std::path::Path;

use crate::domain::character::ShownPath as _;
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::words::numbers::questions_or_count;
use crate::words::time::time_in_words;

pub use crate::words::feedback::hint;

/// Before the alias, or the line for it.
pub const ALIAS: &str = "Alias:";
/// Before the line for the date.
pub const DATE: &str = "Date:";
/// Before the line for the time of day at the start.
pub const STARTED: &str = "Started at:";
/// Before the line for the time of day at the end.
pub const FINISHED: &str = "Finished at:";
/// Before the line for the letter.
pub const ANSWER: &str = "Answer:";
/// Before the line for what made the question hard.
pub const CATCH: &str = "What was the catch?";

/// What homework asks for.
pub const HOMEWORK: &str =
    "Take the time you need. Write your working under each question, then your answer.";
/// In the place of a question without words.
pub const ON_YOUR_PAPER: &str = "The question is on your printed paper.";
/// How an answer sheet is filled in; the signs are those of `enter`.
pub const HOW_TO_FILL: [&str; 3] = [
    "Circle one letter for each question.",
    "To change an answer, cross out the circle and circle another letter.",
    "If you aren't sure, write ? beside it. If you guess, write ?? beside it.",
];
/// What the columns of a plan card hold.
pub const PLAN_HEADS: [&str; 3] = ["Finish up to", "Time used", "By the clock"];
/// For whom a key is.
pub const FOR_THE_TUTOR: &str = "For the tutor only. Keep it where pupils can't find it.";

/// The heading of homework.
pub fn homework_on(title: &str) -> String {
    format!("Homework: {title}")
}

/// The heading of an answer sheet.
pub fn answer_sheet_for(title: &str) -> String {
    format!("Answer sheet: {title}")
}

/// The heading of a plan card.
pub fn plan_card_for(title: &str) -> String {
    format!("Plan card: {title}")
}

/// The heading of a key.
pub fn key_of(title: &str) -> String {
    format!("Answer key: {title}")
}

/// `Question 3`.
pub fn question(number: QuestionNo) -> String {
    format!("Question {number}")
}

/// A moment of the time used.
pub fn used(span: Elapsed) -> String {
    time_in_words(span)
}

/// Where the questions come from, and by which right they are used.
pub fn source(source: Option<&str>, right: Option<&str>) -> Vec<String> {
    let source = source.map(|source| format!("Source: {source}."));
    let right = right.map(|right| format!("Right to use: {right}."));
    source.into_iter().chain(right).collect()
}

/// The right option, or options; a question that does not count says so.
pub fn right_options(right: &[Label], dropped: bool) -> String {
    if dropped {
        return "void".to_owned();
    }
    let right: Vec<_> = right.iter().map(ToString::to_string).collect();
    right.join(" or ")
}

/// What a pupil who chose an option probably did.
pub fn lure(option: Label, lure: &str) -> String {
    format!("{option}: {lure}")
}

/// That a page was written, and how to print it.
pub fn written(page: &Path, key: Option<&Path>) -> String {
    let key = key.map_or_else(String::new, |key| {
        format!("\nFor you only, the answer key: {}", key.shown())
    });
    format!(
        "Written: {}. Open it in a browser and print it at 100%.{key}",
        page.shown()
    )
}

/// That questions are longer than a side of paper.
pub fn too_long(questions: &[QuestionNo], size: u16) -> String {
    format!(
        "{} may not fit on one side of paper at {size} pt; choose a smaller size, or print on A3",
        questions_or_count(questions, 6)
    )
}
