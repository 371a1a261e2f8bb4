//! What a tutor hears of a sitting line by line, where a page has a table or a picture.

use crate::analysis::Totals;
use crate::domain::labels::Label;
use crate::domain::mark::Mark;
use crate::domain::marking::{Outcome, SectionMark};
use crate::domain::notes::Cause;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::words::aloud::ranges_aloud;
use crate::words::count::counted;
use crate::words::numbers::{marks, plain, ranges_in_words};
use crate::words::text::capital;
use crate::words::time::time_in_words;

/// Before a question's own words.
pub const THE_QUESTION: &str = "The question:";

/// `Questions 1-10: 28 of 40 marks, 7 right, 3 wrong, 0 blank, in 8 min 32 s, 3.28 marks a minute.`
pub fn section(own: &SectionMark, time: Option<Elapsed>, rate: Option<f64>) -> String {
    let (right, wrong, blank) = (own.right, own.wrong, own.blank);
    let time = time.map_or_else(String::new, |time| format!(", in {}", time_in_words(time)));
    let rate = rate.map_or_else(String::new, |rate| format!(", {rate:.2} marks a minute"));
    format!(
        "Section {}: {} of {}, {right} right, {wrong} wrong, {blank} blank{time}{rate}.",
        own.name,
        plain(own.marks),
        marks(own.max),
    )
}

/// Which questions came to the same, `Wrong: 3, 7 and 11 to 14.`; nothing where none did.
pub fn with_outcome(outcome: Outcome, questions: &[QuestionNo]) -> Option<String> {
    let word = capital(outcome.word());
    (!questions.is_empty()).then(|| format!("{word}: {}.", ranges_in_words(questions)))
}

/// Which questions were answered after time was up.
pub fn after_time(questions: &[QuestionNo]) -> Option<String> {
    (!questions.is_empty()).then(|| {
        format!(
            "Answered after time was up: {}.",
            ranges_in_words(questions)
        )
    })
}

/// A cause that the tutor has set, the marks that it cost, and where.
pub fn cause(cause: Cause, lost: Mark, questions: &[QuestionNo]) -> Option<String> {
    (!questions.is_empty()).then(|| {
        format!(
            "Lost by {}: {}, on {}.",
            cause.word(),
            marks(lost),
            ranges_in_words(questions)
        )
    })
}

/// The cause set for one question.
pub fn set_cause(cause: Cause, means: &str) -> String {
    format!("Cause: {} ({means}).", cause.word())
}

/// The tutor's note.
pub fn note(by: &str, text: &str) -> String {
    let by = if by.is_empty() { "the tutor" } else { by };
    format!("Note by {by}: {}", text.trim())
}

/// The time on a question, with what it came to where it is marked.
pub fn time_on(question: QuestionNo, outcome: Option<&str>, effort: &str) -> String {
    let outcome = outcome.map_or_else(String::new, |word| format!(", {word}"));
    format!("Question {question}{outcome}: {effort}")
}

/// How long nobody worked, which no question's time holds.
pub fn breaks_apart(span: Elapsed) -> String {
    format!("Breaks and time away: {}.", time_in_words(span))
}

/// What a wrong option says about the mistake.
pub fn option_says(option: Label, says: &str) -> String {
    format!("{option} says: {says}.")
}

/// An option of a question, as the tutor hears it.
#[derive(Clone, Copy, Debug)]
pub struct OptionSaid<'a> {
    /// Its letter.
    pub label: Label,
    /// Its words; none where the paper is printed.
    pub text: &'a str,
    /// Whether it was chosen.
    pub chosen: bool,
    /// Whether the key accepts it.
    pub right: bool,
    /// What it says about the mistake.
    pub says: Option<&'a str>,
}

/// `C: 22½ km. Chosen, right.`
pub fn option(of: &OptionSaid<'_>) -> String {
    let state = match (of.chosen, of.right) {
        (true, true) => " Chosen, right.",
        (true, false) => " Chosen.",
        (false, true) => " Right.",
        (false, false) => "",
    };
    let says = of.says.map(|says| format!(" It says: {says}."));
    let says = says.unwrap_or_default();
    let text = if of.text.is_empty() {
        format!("{}.", of.label)
    } else {
        format!("{}: {}.", of.label, of.text.trim_end_matches('.'))
    };
    format!("{text}{state}{says}")
}

/// What a row of the list says of a sitting: `52 of 125 in time, 3 blanks, finished early`.
pub fn row(marks: Option<&Totals>, blanks: usize, end: &str) -> String {
    let mut said = Vec::new();
    if let Some(own) = marks {
        said.push(format!(
            "{} of {} in time",
            ranges_aloud(&plain(own.in_time)),
            plain(own.max)
        ));
        let round = own.with_guess_round;
        said.extend(
            round.map(|round| format!("{} with the guess round", ranges_aloud(&plain(round)))),
        );
    }
    said.push(counted(blanks, "blank"));
    said.push(end.to_owned());
    said.join(", ")
}
