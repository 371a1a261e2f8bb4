//! The sheet for a talk about one sitting, for a pupil and the tutor together.

use std::path::Path;

use super::count::counted;
use super::numbers::marks_in_words;
use super::time::{day, time_in_words};
use crate::analysis::findings::Tone;
use crate::domain::character::ShownPath as _;
use crate::domain::header::{Alias, Header};
use crate::domain::labels::Label;
use crate::domain::mark::Mark;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;

/// The heading.
pub fn title(pupil: &Alias) -> String {
    format!("A talk with {pupil}")
}

/// Which sitting it is about.
pub fn about(header: &Header) -> String {
    let day = day(header.started.date_naive());
    format!("{}, {day}.", header.paper.title)
}

/// What the sheet is.
pub const WHAT_IT_IS: &str = "For pupil and tutor together, in about ten minutes. The pupil speaks first. Nothing on this sheet is an official result.";

/// Over what the pupil is asked first.
pub const PUPIL_FIRST: &str = "First, the pupil's own view";
/// What the pupil is asked first (common practice, no source).
pub const ASK_FIRST: [&str; 2] = [
    "Which three questions would you like to have back?",
    "What went well?",
];

/// Over what became of the step of the talk before.
pub const LAST_STEP: &str = "The step agreed last time";

/// Over the findings.
pub const FINDINGS: &str = "What the record shows";
/// Where there are none.
pub const NO_FINDINGS: &str = "Nothing stands out in this sitting.";
/// What the lines below a finding are.
pub fn what_lines_are(file: &Path) -> String {
    let name = Path::new(file.file_name().unwrap_or_default()).shown();
    format!(
        "Below each: the lines of {name} that it rests on, with the minutes and seconds since the start."
    )
}

/// What comes before a finding of a tone.
pub const fn tone(tone: Tone) -> &'static str {
    match tone {
        Tone::Praise => "Went well",
        Tone::Next => "To try next time",
        Tone::Know => "To know",
    }
}

/// One line of the log: `line 42, 12:05: Q8 opened`.
pub fn log_line(line: usize, at: Elapsed, event: &str) -> String {
    format!("line {line}, {}: {event}", at.stopwatch())
}

/// That more lines of the log say the same.
pub fn more_lines(more: usize) -> String {
    format!("and {}", counted(more, "more line"))
}

/// Where no line of the log says something: it never happened.
pub const NO_LINES: &str = "No single line: it rests on what isn't in the record.";

/// Over the lost marks.
pub const LOST: &str = "Each lost mark";
/// How they are gone through (common practice, no source).
pub const HOW_LOST: &str =
    "Say what you think happened first. Then the tutor says what they see. Agree on one cause.";
/// Where none was lost.
pub const NONE_LOST: &str = "No mark was lost.";
/// Where nobody can say which were.
pub const NO_KEY: &str = "There's no answer key for this paper, so lost marks can't be listed.";
/// Where the sitting was given up.
pub const GIVEN_UP: &str = "This sitting was stopped before its end, so no mark counts as lost.";
/// Over the causes to choose from.
pub const CAUSES: &str = "Causes to choose from";
/// Before the room for the pupil's cause.
pub const PUPILS_CAUSE: &str = "Pupil's cause:";
/// Before the tutor's cause, or the room for it.
pub const TUTORS_CAUSE: &str = "Tutor's cause:";

/// A question with a lost mark: `Question 8: you chose A. 5 marks. Open for 4 min 12 s, 2 visits.`
pub fn lost(
    question: QuestionNo,
    given: Option<Label>,
    marks: Mark,
    time: Option<Elapsed>,
    visits: Option<usize>,
) -> String {
    let given = given.map_or_else(
        || "left blank".to_owned(),
        |given| format!("you chose {given}"),
    );
    let time = match (time, visits) {
        (_, Some(0)) => " Never opened.".to_owned(),
        (Some(time), Some(visits)) => format!(
            " Open for {}, {}.",
            time_in_words(time),
            counted(visits, "visit")
        ),
        _ => String::new(),
    };
    format!(
        "Question {question}: {given}. {}.{time}",
        marks_in_words(marks)
    )
}

/// Over the step for the next sitting.
pub const STEP: &str = "One step for next time";
/// Where none is agreed yet.
pub const NO_STEP: &str = "Agree on one thing to try, and write it here in the pupil's words.";
/// Before the room for it.
pub const STEP_ROOM: &str = "Step:";

/// How a step is kept.
pub fn how_to_agree(file: &Path) -> String {
    format!(
        "To keep the step, type: pacebell talk {} --step \"sweep 3:00\" (or \"stay 4:00\", \"checkpoint 10 by 12:00\", \"checkpoints\", \"flags\"), or --step-text \"in your own words\"",
        file.shown()
    )
}

/// What judges an agreed step.
pub const JUDGED_LATER: &str = "The record of the next sitting will show whether this was done.";
/// The same of a step in words of their own.
pub const NOT_JUDGED: &str =
    "The record can't show whether this was done. Talk about it next time.";

/// That a step is kept.
pub fn kept(header: &Header, step: &str) -> String {
    let day = day(header.started.date_naive());
    format!(
        "Agreed with {} about the sitting of {day}: {step}.",
        header.pupil
    )
}

/// That a step is withdrawn.
pub fn withdrawn(header: &Header) -> String {
    let day = day(header.started.date_naive());
    format!(
        "The step agreed with {} about the sitting of {day} is withdrawn.",
        header.pupil
    )
}

/// Where the sheet is.
pub fn written(path: &Path) -> String {
    format!("Sheet to print: {}", path.shown())
}
