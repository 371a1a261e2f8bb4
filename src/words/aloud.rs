//! What is read out line by line beside the moves of a sitting: the sheet, the time, the words to type.

use crate::domain::event::How;
use crate::domain::labels::{Label, Labels};
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Phase, Row, RowState};
use crate::domain::time::Elapsed;
use crate::words::count::agree;
use crate::words::how::unless_worked;
use crate::words::numbers::ranges_in_words;
use crate::words::time::{left_in_words, time_in_words};

/// How the sitting is begun, or not.
pub const START_OR_LEAVE: &str =
    "Type start to start the clock now, again to hear this once more, or leave to stop here.";

/// Before the words of a sitting, while it has not begun or gone on.
pub const ONCE_IT_RUNS: &str = "In the sitting you can type:";

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

/// Of a blank that is passed by in the guess round.
pub fn stays_blank(question: QuestionNo) -> String {
    format!("Question {question} stays blank.")
}

/// One row of the answer sheet as `label: value`.
pub fn row(row: &Row) -> String {
    format!("Question {}: {}.", row.number, with_crosses(row))
}

/// The same as [`state`], with what is crossed out: `blank, B and C crossed out`.
pub fn with_crosses(row: &Row) -> String {
    let out: Vec<_> = row.crossed.iter().map(ToString::to_string).collect();
    let state = state(row);
    if out.is_empty() {
        return state;
    }
    format!("{state}, {} crossed out", all_of(&out))
}

/// `B`, `B and C`, `B, C and D`
fn all_of(names: &[String]) -> String {
    match names.split_last() {
        Some((last, front)) if !front.is_empty() => format!("{} and {last}", front.join(", ")),
        _ => names.concat(),
    }
}

/// What was filled at random, question by question: `Filled at random: 3 B, 4 A and 7 C.`
pub fn filled(rows: &[Row]) -> String {
    let own = rows.iter().filter_map(|row| {
        let given = row.standing().filter(|given| given.how == How::Filled)?;
        Some(format!("{} {}", row.number, given.option))
    });
    let own: Vec<_> = own.collect();
    match own.as_slice() {
        [] => "Nothing was filled.".to_owned(),
        own => format!("Filled at random: {}.", all_of(own)),
    }
}

/// Rows of the answer sheet that are alike, from one to another.
pub fn rows(first: &Row, last: &Row) -> String {
    if first.number == last.number {
        return row(first);
    }
    let (from, to) = (first.number, last.number);
    format!("Questions {from} to {to}: {}.", with_crosses(first))
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

/// That there is no such option to cross out.
pub fn no_option_to_cross_out(labels: &Labels) -> String {
    format!(
        "There's no such option. To cross one out, type out and a letter, {}.",
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

/// The name of a sign that is typed, where it may not be read aloud.
pub const QUESTION_MARK: &str = "question mark";

/// How a question is answered, and how one comes to the next and to any other; `says_how` where an
/// answer can be called unsure or a guess.
pub fn letters_and_numbers(options: &Labels, says_how: bool) -> Vec<String> {
    let letters = options.range();
    let first = options.iter().next();
    let first = first.map_or_else(String::new, |label| label.to_string().to_lowercase());
    let (jump, at) = if options.are_digits() {
        ("A hash sign and a number", format!("#4 {first}"))
    } else {
        ("A number", format!("4{first}"))
    };
    let mut said = vec![format!("{letters}: answer the open question.")];
    if says_how {
        said.push(format!(
            "{first} and a question mark: an answer that you aren't sure of. With two question marks: a guess."
        ));
    }
    said.push(format!("{jump}: go to that question."));
    said.push(format!("{at}: answer question 4 and stay there."));
    said.push("Enter alone: go on to the next question.".to_owned());
    said
}

/// That digits are answers here, and how a question is reached.
pub fn digits_answer(options: &Labels, typed: &str) -> String {
    format!(
        "Digits answer here: {}. To go to question {typed}, type #{typed}.",
        options.range()
    )
}

/// A text with `1-10` as `1 to 10` and `-4` as `minus 4`: a stroke is often not read aloud.
pub fn ranges_aloud(text: &str) -> String {
    let mut said = String::with_capacity(text.len());
    let mut left = text.chars().peekable();
    let mut before = None;
    while let Some(c) = left.next() {
        let is_digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
        let begins = before.is_none_or(|before: char| before.is_whitespace() || before == '(');
        if c == '-' && is_digit(before) && is_digit(left.peek().copied()) {
            said.push_str(" to ");
        } else if c == '-' && begins && is_digit(left.peek().copied()) {
            said.push_str("minus ");
        } else {
            said.push(c);
        }
        before = Some(c);
    }
    said
}

/// The same, with what is short of an award as questions: `two in 1-10` as `two in questions 1 to 10`.
pub fn awards_aloud(text: &str) -> String {
    let mut parts = text.split(" in ");
    let first = parts.next().unwrap_or_default().to_owned();
    let said = parts.fold(first, |said, part| {
        let is_span = part.split_once('-').is_some_and(|(from, to)| {
            !from.is_empty()
                && from.chars().all(|c| c.is_ascii_digit())
                && to.starts_with(|c: char| c.is_ascii_digit())
        });
        let word = if is_span { " in questions " } else { " in " };
        said + word + part
    });
    ranges_aloud(&said)
}

/// The same, with `Q7` as `question 7`.
pub fn questions_aloud(text: &str) -> String {
    let mut said = String::with_capacity(text.len());
    let mut left = text.chars().peekable();
    while let Some(c) = left.next() {
        let is_word = !said.ends_with(char::is_alphanumeric);
        if c == 'Q' && is_word && left.peek().is_some_and(char::is_ascii_digit) {
            let begins = said.is_empty() || said.ends_with(". ");
            said.push_str(if begins { "Question " } else { "question " });
        } else {
            said.push(c);
        }
    }
    ranges_aloud(&said)
}

/// A line of advice on guesses, whose questions may stand first as bare numbers.
pub fn advice_aloud(line: &str) -> String {
    let said = ranges_aloud(line);
    if !said.starts_with(|c: char| c.is_ascii_digit()) {
        return said;
    }
    let one = said
        .split(':')
        .next()
        .is_some_and(|first| first.chars().all(|c| c.is_ascii_digit()));
    let word = if one { "Question" } else { "Questions" };
    format!("{word} {said}")
}

/// A figure for a listener.
pub fn figure(in_words: &str) -> String {
    format!("Figure: {in_words}")
}

/// That there is no question of a number; which there are.
pub fn no_such_question(all: &[QuestionNo]) -> String {
    format!(
        "There's no such question. This sitting has {} {}.",
        agree(all.len(), "question", "questions"),
        ranges_in_words(all)
    )
}

/// That a word is about the open question, so that a number goes there first.
pub fn number_first(question: QuestionNo, word: &str) -> String {
    format!("To go to question {question}, type {question} alone. Then type {word}.")
}

/// That a question was opened without being read out.
pub fn is_open_now(question: QuestionNo) -> String {
    format!("Question {question} is open now.")
}

/// That what was asked is not done, and where one is.
pub fn carrying_on(open: Option<QuestionNo>) -> String {
    match open {
        Some(open) => format!("No. Carrying on: question {open} is open."),
        None => "No. Carrying on.".to_owned(),
    }
}

/// That an answer was only heard as a no.
pub fn not_answered(label: Label) -> String {
    format!("{label} wasn't taken as an answer. To answer, type {label} again.")
}

/// Of a yes to nothing.
pub const NOTHING_ASKED: &str = "There's nothing to say yes to just now.";

/// That the clock is hidden, or no longer.
pub const CLOCK_IS_HIDDEN: &str = "Clock hidden. Type time to hear the time left.";
/// See [`CLOCK_IS_HIDDEN`].
pub const CLOCK_IS_SHOWN: &str = "Times are said again.";

/// Which options there are.
pub fn options(options: &Labels) -> String {
    format!("There's no such option. Type {}.", options.range())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_are_read_out_and_other_strokes_stay() {
        assert_eq!(
            ranges_aloud("two more right in 11-20, or one in 1-4"),
            "two more right in 11 to 20, or one in 1 to 4"
        );
        assert_eq!(
            questions_aloud("Q21 took 5 min. Q3 and IQ4 (Q5): 1-4."),
            "Question 21 took 5 min. Question 3 and IQ4 (question 5): 1 to 4."
        );
        for (line, said) in [
            (
                "4-20: nothing to lose.",
                "Questions 4 to 20: nothing to lose.",
            ),
            ("22: nothing to lose.", "Question 22: nothing to lose."),
            (
                "3, 7-9: nothing to lose.",
                "Questions 3, 7 to 9: nothing to lose.",
            ),
            ("Guess every blank.", "Guess every blank."),
        ] {
            assert_eq!(advice_aloud(line), said);
        }
        assert_eq!(
            ranges_aloud("-4 of 125 in time, -1 1/4 (-2)"),
            "minus 4 of 125 in time, minus 1 1/4 (minus 2)"
        );
        assert_eq!(
            awards_aloud("dunlin, from 38 marks: ten more right in 1-10, or one in Part B"),
            "dunlin, from 38 marks: ten more right in questions 1 to 10, or one in Part B"
        );
        for other in ["a 1-in-5 guess", "- 3", "saltmarsh-2", "3-"] {
            assert_eq!(ranges_aloud(other), other);
        }
    }
}
