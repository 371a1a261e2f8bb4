//! What the drills say.

use crate::domain::drill::{Drill, SWEEP_TIME};
use crate::domain::time::Elapsed;
use crate::words::count::counted;
use crate::words::time::seconds;

/// Where one is.
pub const SWEEP_TITLE: &str = "Drill: the sweep";
/// See [`SWEEP_TITLE`].
pub const KEYS_TITLE: &str = "Drill: the keys";

/// What a sweep is.
pub const WHAT_A_SWEEP_IS: &str = "A sweep fills every blank before time's up. One letter fills one blank, then the next one opens.";

/// How a sweep starts on a page, and in lines.
pub const SWEEP_READY: &str = "Press S, then Enter to start.";
/// See [`SWEEP_READY`].
pub const SWEEP_SURE: &str = "Enter starts the 90 seconds. Any other key goes back.";
/// See [`SWEEP_READY`].
pub const SWEEP_LINES: &str =
    "Each blank takes one letter, then Enter. Type start to begin, or leave to stop here.";

/// The sheet that a sweep fills, and how long there is.
pub fn sheet(title: Option<&str>, blanks: usize) -> String {
    let blanks = counted(blanks, "blank");
    let time = counted(SWEEP_TIME.as_millis() / 1000, "second");
    match title {
        Some(title) => format!("{title}: {blanks}, {time}. Nothing here is marked."),
        None => format!("{blanks}, {time}. Nothing here is marked."),
    }
}

/// What is left while a sweep is on.
pub fn blanks_left(left: usize) -> String {
    format!("{} left", counted(left, "blank"))
}

/// The time left of a sweep.
pub fn sweep_left(left: Elapsed) -> String {
    format!(
        "{} left",
        counted(left.as_millis().div_ceil(1000), "second")
    )
}

/// That a key is no option.
pub fn no_option(range: &str) -> String {
    format!("Only letters count here: {range}.")
}

/// That a line filled nothing, since one letter fills a blank.
pub fn not_one_letter(range: &str) -> String {
    format!("Nothing filled. Type one letter, {range}, then Enter. Or type time or leave.")
}

/// The words of a sweep that is on, in lines.
pub fn sweep_help(range: &str) -> Vec<String> {
    vec![
        format!("Type one letter, {range}, then Enter: it fills the blank."),
        "time: hear the time left. leave: stop; this try is not kept.".to_owned(),
    ]
}

/// Once the time is over, in lines.
pub const SWEEP_TIME_UP: &str = "Time's up.";

/// That a drill that never began is left.
pub const NOT_BEGUN: &str = "Stopped. Nothing was started.";

/// That the words were left before their end.
pub const WORDS_STOPPED: &str = "Stopped here.";

/// The next blank, in lines.
pub fn next_blank(question: impl std::fmt::Display) -> String {
    format!("Next: question {question}.")
}

/// What came of a sweep, and of the one before.
pub fn sweep_result(drill: &Drill, before: Option<&Drill>) -> Vec<String> {
    let filled = format!(
        "You filled {} of {}.",
        drill.filled,
        counted(drill.blanks, "blank")
    );
    let mut lines = vec![filled];
    lines.extend(each_and_left(drill).map(|said| format!("{said}.")));
    if let Some(said) = before.and_then(each_and_left) {
        lines.push(format!("Last time: {said}."));
    }
    lines
}

/// `1.9 seconds a blank, 4 blanks left`
fn each_and_left(drill: &Drill) -> Option<String> {
    let each = drill.each()?;
    Some(format!(
        "{} seconds a blank, {}",
        seconds(each),
        blanks_left(usize::from(drill.left()))
    ))
}

/// What one who would leave early is told.
pub const STOPPED: &str = "Stopped. This try is not kept.";

/// After a drill.
pub const LEAVE: &str = "Press Q to leave, or Enter twice.";
/// See [`LEAVE`].
pub const ONCE_MORE: &str = "Press it once more to leave.";

/// Above the keys that are tried.
pub const NO_CLOCK: &str = "There's no clock here. Take your time.";
/// The way out, in lines.
pub const LEAVE_LINES: &str = "Type leave to stop at any time.";

/// The keys that are tried on a page, each by its name, and what they do in a sitting.
pub const KEYS: [(&str, &str); 16] = [
    ("b", "Press B: a letter answers the open question."),
    ("d", "Press D: another letter changes the answer."),
    ("?", "Press ?: you aren't sure of this answer."),
    ("Enter", "Press Enter: the next question opens."),
    ("Space", "Press Space: leave a question for later."),
    ("Tab", "Press Tab: put a flag beside a question."),
    (",", "Press , (comma): cross out an option, by its letter."),
    ("c", "Press C: option C is crossed out."),
    ("7", "Press 7: a question's number. Enter comes next."),
    ("Enter", "Press Enter: question 7 opens."),
    ("/", "Press /: go to the next blank question."),
    ("!", "Press !: sweep the blanks, a letter for each."),
    ("=", "Press =: see all questions at a glance."),
    ("-", "Press -: rub an answer out."),
    (".", "Press . (full stop): hide or show the clock."),
    ("F1", "Press F1: help, with every key."),
];

/// The words that are tried in lines, and what they do in a sitting.
pub const WORDS: [(&str, &str); 14] = [
    (
        "b",
        "Type b, then Enter: a letter answers the open question.",
    ),
    ("d", "Type d: another letter changes the answer."),
    ("unsure", "Type unsure: you aren't sure of this answer."),
    ("", "Press Enter alone: the next question opens."),
    ("skip", "Type skip: leave a question for later."),
    ("flag", "Type flag: put a flag beside a question."),
    (
        "out c",
        "Type the word out, a space, and c: option C is crossed out.",
    ),
    ("7", "Type 7: a number opens that question."),
    ("4b", "Type 4b: question 4 opens and its answer is B."),
    ("rub", "Type rub: rub an answer out."),
    ("blanks", "Type blanks: hear which questions are blank."),
    (
        "sweep",
        "Type sweep: guess the blanks one by one, a letter each.",
    ),
    ("time", "Type time: hear the time left."),
    ("help", "Type help: hear all the words."),
];

/// That the right key was pressed.
pub const RIGHT_KEY: &str = "Right.";

/// That another key was pressed; an arrow's name alone would read as praise.
pub fn other_key(pressed: &str, wanted: &str) -> String {
    match pressed {
        "Left" | "Right" | "Up" | "Down" => format!("That was the {pressed} arrow. {wanted}"),
        pressed => format!("That was {pressed}. {wanted}"),
    }
}

/// The same in lines; nothing where Enter alone was pressed.
pub fn other_word(typed: &str, wanted: &str) -> String {
    if typed.is_empty() {
        format!("That was Enter alone. {wanted}")
    } else {
        other_key(typed, wanted)
    }
}

/// What can be typed while a word is tried.
pub fn help_in_lines(wanted: &str) -> String {
    format!("{wanted} {LEAVE_LINES}")
}

/// A word to try, by its place, in lines; with a word of praise after the first.
pub fn word_to_try(place: usize, of: usize, says: &str) -> String {
    let step = place + 1;
    let right = if place == 0 { "" } else { "Right. " };
    format!("{right}{step} of {of}. {says}")
}

/// After the last key.
pub const KEYS_DONE: &str = "That's all. Esc opens the menu: finish early or leave. You don't need to remember it all: F1 shows the keys.";

/// See [`KEYS_DONE`], in lines.
pub const WORDS_DONE: &str = "Right. That's all. Type help in a sitting to hear the words again.";

/// Offers a new pupil the keys.
pub const LEARN_FIRST: &str = "Would you like to learn the keys first? It takes a minute.";
/// See [`LEARN_FIRST`].
pub const LEARN: &str = "Learn the keys";
/// See [`LEARN_FIRST`].
pub const STRAIGHT_ON: &str = "Go straight to the papers";

/// That a drill could not be kept.
pub fn not_kept(reason: impl std::fmt::Display) -> String {
    format!("Not saved: {reason}")
}

/// Which step of how many.
pub fn step(at: usize, of: usize) -> String {
    format!("Key {at} of {of}")
}
