//! What is read out line by line beside the moves of a sitting: the sheet, the time, the words to type.

use crate::domain::labels::{Label, Labels};
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Phase, Row, RowState};
use crate::domain::time::Elapsed;
use crate::words::count::counted;
use crate::words::how::unless_worked;
use crate::words::time::{left_in_words, time_in_words};

/// How the sitting is begun, or not.
pub const START_OR_LEAVE: &str = "Type start to start the clock now, or leave to stop here.";

/// How the guess round is ended.
pub const ENDS_ROUND: &str = "Type finish when you're done.";

/// Where filling comes too early.
pub const FILLING_IS_LATER: &str = "You can fill the blanks once time's up.";

/// How a guess is made in the guess round.
pub const LETTER_GUESSES: &str = "This is the guess round. Type a letter to guess.";

/// What can be typed once time is up.
pub const GUESS_OR_FINISH: &str = "Time's up. Type guess, or finish.";

/// Of a line that is nothing.
pub const NO_WORD: &str = "That isn't one of the words. Type help to hear them.";

/// One row of the answer sheet as `label: value`.
pub fn row(row: &Row) -> String {
    format!("Question {}: {}.", row.number, state(row))
}

/// Rows of the answer sheet that are alike, from one to another.
pub fn rows(first: &Row, last: &Row) -> String {
    if first.number == last.number {
        return row(first);
    }
    let (from, to) = (first.number, last.number);
    format!("Questions {from} to {to}: {}.", state(first))
}

/// An option, or that it is crossed out.
pub fn option(label: Label, text: &str, out: bool) -> String {
    let out = if out { " (crossed out)" } else { "" };
    format!("{label}: {text}{out}")
}

/// A question that is guessed: its number and what answers it.
pub fn in_short(question: QuestionNo, labels: &Labels) -> String {
    format!("Question {question}, {}.", labels.range())
}

/// How an option is crossed out.
pub fn which_to_cross_out(labels: &Labels) -> String {
    format!(
        "Cross out which? Type out and a letter, {}.",
        labels.range()
    )
}

/// What stands on the sheet for the open question.
pub fn on_your_sheet(row: &Row) -> String {
    format!("On your sheet: {}.", state(row))
}

/// What stands on the sheet for a question.
pub fn state(row: &Row) -> String {
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

/// The time left.
pub fn time(phase: Phase, left: Elapsed, allowed: Elapsed) -> String {
    let left = left_in_words(left);
    match phase {
        Phase::Running => format!("{left} left of {}.", time_in_words(allowed)),
        Phase::OnBreak => format!("The clock is stopped at {left} left."),
        Phase::TimeUp | Phase::GuessRound | Phase::Closed(_) => "Time's up.".to_owned(),
    }
}

/// How a question is answered, and how one comes to the next and to any other.
pub fn letters_and_numbers(options: &Labels) -> [String; 3] {
    let jump = if options.are_digits() {
        "# and a number: go to that question."
    } else {
        "A number: go to that question."
    };
    [
        format!("{}: answer the open question.", options.range()),
        "Enter alone: go on to the next question.".to_owned(),
        jump.to_owned(),
    ]
}

/// That digits are answers here, and how a question is reached.
pub fn digits_answer(options: &Labels, typed: &str) -> String {
    format!(
        "Digits answer here: {}. To go to question {typed}, type #{typed}.",
        options.range()
    )
}

/// A figure for a listener.
pub fn figure(in_words: &str) -> String {
    format!("Figure: {in_words}")
}

/// That there is no question of a number.
pub fn no_such_question(questions: usize) -> String {
    format!(
        "There's no such question. This sitting has {}.",
        counted(questions, "question")
    )
}

/// Which options there are.
pub fn options(options: &Labels) -> String {
    format!("There's no such option. Type {}.", options.range())
}
