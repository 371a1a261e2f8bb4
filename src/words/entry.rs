//! What is said while an answer sheet is typed in.

use std::fmt::Display;
use std::path::Path;

use chrono::NaiveDate;

use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::words::count::{agree, counted};
use crate::words::numbers::questions_within;
use crate::words::time::day;

/// Asked of a full sheet.
pub const IS_IT_RIGHT: &str = "Is this right? y saves, n starts again: ";

/// Asked of a full sheet that is to be typed a second time.
pub const IS_THE_FIRST_RIGHT: &str =
    "Is this right? y goes on to the second keying, n starts again: ";

/// How a sheet is typed in.
pub fn how_to_type(outline: &Outline) -> String {
    format!(
        "{} questions, {}. One letter for each question, - for a blank,\n\
         ? after an unsure answer, ?? after a guess. Spaces don't matter, and a line can\n\
         have any number of answers. `again` starts over; Ctrl-C leaves without saving.",
        outline.questions,
        outline.options.range()
    )
}

/// Asks for the answers from this question on.
pub fn from_question(next: QuestionNo) -> String {
    format!("from question {next}: ")
}

/// What to do about a line that is wrong.
pub fn type_it_again(wrong: impl Display) -> String {
    format!("  {wrong}. Type this line again.")
}

/// What to do about a line that goes on past the last question; of a sheet that is not full, from where.
pub fn past_the_end(wrong: impl Display, next: Option<QuestionNo>) -> String {
    match next {
        None => format!("  {wrong}. The sheet is full: type y if it is right, n to start again."),
        Some(next) => {
            format!("  {wrong}. Carry on from question {next}, or type `again` to start over.")
        }
    }
}

/// Asked for the second keying of a sheet.
pub const SECOND_TIME: &str = "Now type the same sheet a second time, from the paper.";

/// Asked for the second keying of an answer key.
pub const KEY_A_SECOND_TIME: &str =
    "Type the right answers a second time, without looking at the key.";

/// A second keying of a key that has everything the same.
pub fn same_key(answers: usize) -> String {
    format!("second keying: the same {}", counted(answers, "answer"))
}

/// Two keyings that have everything the same.
pub const KEYINGS_AGREE: &str = "Both keyings are the same.";

/// Whose sheet comes next.
pub fn sheet_of(pupil: &Alias) -> String {
    format!("{pupil}:")
}

/// The questions on which two keyings differ.
pub fn keyings_part_at(numbers: &[QuestionNo]) -> String {
    format!("The two keyings differ on {}.", questions_within(numbers))
}

/// Asks what is on the paper.
pub fn which_is_it(number: QuestionNo, first: impl Display, second: impl Display) -> String {
    format!("question {number}, first {first}, then {second}. What is on the paper? ")
}

/// One question on which two keyings differ.
pub fn typed_differently(number: QuestionNo, first: impl Display, second: impl Display) -> String {
    format!("question {number}: first {first}, then {second}")
}

/// One answer of a class on which two lists differ: each with the list and the line.
pub fn keyings_differ<T: Display>(
    pupil: &Alias,
    number: QuestionNo,
    (first, list, line): (T, &Path, usize),
    (second, other, other_line): (T, &Path, usize),
) -> String {
    let (list, other) = (list.shown(), other.shown());
    format!(
        "{pupil}, question {number}: {first} in {list}, line {line}; {second} in {other}, line {other_line}"
    )
}

/// A pupil whose sheet is in one of two lists.
pub fn in_one_only(pupil: &Alias, list: &Path) -> String {
    format!("{pupil}: the sheet is only in {}", list.shown())
}

/// That a sheet corrects one that was there.
const REPLACES: &str = "It replaces an earlier one.";

/// What became of a class's sheets.
pub fn class_saved(saved: usize, replaced: usize, known: usize) -> String {
    let all = format!("Saved {}.", counted(saved, "answer sheet"));
    let replaced = match (saved, replaced) {
        (_, 0) => None,
        (1, _) => Some(REPLACES.to_owned()),
        (_, some) => {
            let replace = agree(some, "replaces", "replace");
            Some(format!("{some} of them {replace} an earlier one."))
        }
    };
    let were = agree(known, "was", "were");
    let known =
        (known > 0).then(|| format!("{known} {were} saved already, with the same answers."));
    let said = [Some(all), replaced, known].into_iter().flatten();
    said.collect::<Vec<_>>().join(" ")
}

/// That pupils have the same answers to the paper under another day.
pub fn same_under_another_day(pupils: usize, date: NaiveDate) -> String {
    let have = agree(pupils, "has", "have");
    format!(
        "note: {} already {have} the same answers under {}. If that is the right day, set aside what was saved now.",
        counted(pupils, "pupil"),
        day(date)
    )
}

/// Pupils of whom nothing was known before: one of them may be a slip of the keys.
pub fn new_here(pupils: &[Alias]) -> String {
    let names: Vec<_> = pupils.iter().map(Alias::as_str).collect();
    format!("New here: {}.", names.join(", "))
}

/// That a new pupil's sheet says what other pupils' say, and what to do if two of them are one.
pub fn same_as_others(pupil: &Alias, others: &[Alias]) -> String {
    let names = names_and(others);
    let way_out = match others {
        [other] => format!("If they are one pupil, type: pacebell rename {pupil} {other} --join"),
        _ => format!(
            "If {pupil} is one of them, type: pacebell rename {pupil} ALIAS --join, with the alias to keep"
        ),
    };
    format!("note: {pupil} has the same answers as {names}, on the same day. {way_out}")
}

/// That sheets of one list have the same answers.
pub fn same_in_list(pupils: &[Alias]) -> String {
    format!(
        "note: {} have the same answers in this list. Look at the papers: if a row is wrong, correct it and type the same command with --again.",
        names_and(pupils)
    )
}

/// `aa, bb and cc`.
fn names_and(pupils: &[Alias]) -> String {
    let names: Vec<_> = pupils.iter().map(Alias::as_str).collect();
    match names.split_last() {
        Some((last, before)) if !before.is_empty() => format!("{} and {last}", before.join(", ")),
        _ => names.join(""),
    }
}

/// The pupils of a list who handed nothing in.
pub fn absent(pupils: &[Alias]) -> String {
    let names: Vec<_> = pupils.iter().map(Alias::as_str).collect();
    format!(
        "No sheet for {}: every cell is empty. Write - in a cell if the sheet was left blank.",
        names.join(", ")
    )
}

/// A sheet that is there to the letter, and where, unless that is printed beside it.
pub fn already_entered(path: Option<&Path>) -> String {
    let path = path.map(|path| path.shown().to_string());
    path.map_or_else(
        || "Saved already, with the same answers.".to_owned(),
        |path| format!("Saved already, with the same answers: {path}"),
    )
}

/// Where the sheet was saved, and whether it corrects another.
pub fn saved(path: &Path, replaces: bool) -> String {
    let saved = format!("Saved: {}", path.shown());
    if replaces {
        format!("{saved}\n{REPLACES}")
    } else {
        saved
    }
}
