//! What the pages of a sitting say by themselves: their lines, what they ask, why a key does nothing.

use std::cmp::Ordering;
use std::collections::BTreeSet;

use super::Reminder;
use crate::domain::labels::{Label, Labels};
use crate::domain::mark::Mark;
use crate::domain::rule::{QuestionNo, Section};
use crate::domain::time::Elapsed;
use crate::words::count::counted;
use crate::words::guess::GuessWorth;
use crate::words::numbers::{marks_in_words, ranges_in_words};
use crate::words::text::width;
use crate::words::time::{left_in_words, span, whole_minutes_left};

/// Of a sitting that is over.
pub const OVER: &str = "You've finished.";

/// What the menu says of the clock and of leaving.
pub const CLOCK_RUNS_ON: &str = "The clock keeps running while this menu is open.";
/// See [`CLOCK_RUNS_ON`].
pub const LEAVE: &str = "Leave now and carry on later?";
/// See [`CLOCK_RUNS_ON`].
pub const ANSWERS_KEPT: &str = "Your answers are kept.";

/// Where every question has an answer.
pub const NOTHING_BLANK: &str = "Nothing is blank.";
/// See [`NOTHING_BLANK`].
pub const EVERY_ANSWER: &str = "Every question has an answer.";

/// Asks whether to give up, and what that means.
pub const GIVE_UP: &str = "Give up this sitting?";
/// See [`GIVE_UP`].
pub const GIVING_UP: &str = "Your answers are kept, but it won't count. You can't come back to it.";
/// See [`GIVE_UP`].
pub const ANOTHER_TIME: &str = "To carry on another time instead, press l.";

/// Asks whether to end with blanks, and without.
pub const END_WITH_BLANKS: &str = "Finish with blanks left?";
/// See [`END_WITH_BLANKS`].
pub const END_ROUND: &str = "Finish the guess round?";

/// Asks whether to finish.
pub const FINISH_NOW: &str = "Finish now?";
/// Of a rest break.
pub const REST_BREAK: &str = "Rest break";
/// What a rest break is for.
pub const REST: &str = "The questions are hidden. Take the rest you need.";

/// What can be done about blanks once time is up.
pub const GUESS_NOW: &str =
    "You can guess the blanks now. These guesses are counted separately from your answers in time.";

/// Of what was typed before a page could say that time is up.
pub(super) const TOO_LATE: &str = "That came as time ran out, so it doesn't count.";

/// Of filling at random, where it would cost marks.
pub(super) const NOTHING_TO_FILL: &str =
    "On average a guess loses marks on every blank left, so none is filled.";

/// See [`TOO_LATE`]: of a word that is no answer.
pub(super) const NOT_DONE: &str = "What you typed came as time ran out, so nothing was done.";

/// What the guess round is, and what is left to do once all is filled.
pub const GUESS_ROUND: &str = "Guess round: counted separately from your answers in time.";
/// See [`GUESS_ROUND`].
pub const ALL_FILLED: &str = "No blanks left. A letter changes one. Esc, then F to finish.";

/// Where no question is open, and how one is opened.
pub const NONE_OPEN: &str = "No question is open.";
/// See [`NONE_OPEN`].
pub const ENTER_OPENS: &str = "Enter opens the first question.";
/// See [`NONE_OPEN`].
pub const READ_AND_TYPE: &str = "Read the printed paper.\n\nWhen you start a question, type its number, then Enter. \
Then type a letter to answer it.";

/// Where a question's words are not shown.
pub const WORDS_NOT_HERE: &str =
    "The questions of this paper aren't on this computer. Ask your tutor for them.";
/// See [`WORDS_NOT_HERE`].
pub const ON_PAPER: &str = "Read it on the printed paper.";

/// The clock where it shows no time.
pub const CLOCK_HIDDEN: &str = "clock hidden: . shows it";
/// See [`CLOCK_HIDDEN`].
pub const CLOCK_STOPPED: &str = "the clock is stopped";
/// See [`CLOCK_HIDDEN`].
pub const TIME_IS_UP: &str = "time's up";
/// See [`CLOCK_HIDDEN`].
pub const CLOCK_OVER: &str = "you've finished";

/// What a question's number does.
pub const GO_TO_12: &str = "go to question 12";
/// The same where only blanks can be gone to.
pub const NUMBER_ENTER: &str = "number, Enter";
/// See [`NUMBER_ENTER`].
pub const GO_TO_A_BLANK: &str = "go to a blank";

/// What `?` does on an answer, and on a blank.
pub const QUESTION_MARK_SAYS: &str = "unsure, a guess; help if blank";

/// In a window too small to work in.
pub const KEYS_WORK: &str = "Keys work here too.";

/// Why a key does nothing, where that is more than that the page has another one.
pub const NO_CTRL_Z: &str = "Ctrl-Z doesn't work here: you couldn't see the clock.";
/// See [`NO_CTRL_Z`].
pub const NO_OTHER_PLACE: &str = "There's nowhere else to save. Tell your tutor.";
/// See [`NO_CTRL_Z`].
pub const NO_TROUBLE: &str = "That key is only for trouble with saving. There's none.";
/// See [`NO_CTRL_Z`].
pub const NOT_PASTED: &str = "You can't paste here. Press the keys yourself.";
/// See [`NO_CTRL_Z`].
pub const ALL_ON_THE_PAGE: &str = "Everything already fits on the page.";

/// What works where a key does nothing.
pub const F1_SHOWS: &str = "F1 shows the keys.";
/// See [`F1_SHOWS`].
pub const ESC_F_ASKS: &str = "Esc, then F to finish; it asks first.";
/// See [`F1_SHOWS`].
pub const ENTER_ENDS_BREAK: &str = "Enter ends the break.";
/// See [`F1_SHOWS`].
pub const ESC_GOES_BACK: &str = "Esc goes back.";
/// See [`F1_SHOWS`].
pub const KEY_OF_THE_LIST: &str = "Press a key from the list, or Esc to carry on.";
/// See [`F1_SHOWS`].
pub const Y_FIRST: &str = "Type y first, then press Enter.";
/// See [`F1_SHOWS`].
pub const NUMBER_FIRST: &str = "Type a question's number first, or Esc.";

/// The two keys that finish the guess round, the second of them on the menu.
pub const ESC_THEN_F: &str = "Esc then F";
/// No, to what was asked.
pub const NO_GO_BACK: &str = "No, go back";
/// The same at the foot.
pub const NO_GO_ON: &str = "no, go on";

/// What keys do that do not leave the result by themselves.
pub const HOW_TO_LEAVE: &str = "how to leave";

/// Before the result is left.
pub const KEPT: &str = "Everything is saved. Press Q to leave.";
/// Where Q leads when the pupil's own questions come next.
pub const ON_TO_QUESTIONS: &str = "on to your questions";
/// See [`KEPT`].
pub const KEPT_BEFORE_QUESTIONS: &str = "Everything is saved. Press Q to go on to your questions.";

/// Below answers of which some came after time.
pub const LATE_MEANS: &str = "late: answered after time was up";

/// Below what does not fit on a page: where there is more of it.
pub const fn more(above: bool, below: bool) -> &'static str {
    match (above, below) {
        (true, true) => "Up and Down: more above and below",
        (true, false) => "Up: more above",
        _ => "Down: more below",
    }
}

/// At time up; pens are for printed papers.
pub const fn time_is_up(on_screen: bool) -> &'static str {
    if on_screen {
        "Time's up."
    } else {
        "Time's up. Pens down."
    }
}

/// Which questions are blank: `3 blanks: 4, 9 and 11.`
pub fn blanks(blanks: &[QuestionNo]) -> String {
    let list = ranges_in_words(blanks);
    format!("{}: {list}.", counted(blanks.len(), "blank"))
}

/// What finishing early gives away; the time stays hidden where the clock is.
pub fn finishing(left: Option<Elapsed>) -> String {
    let left = left.map(|left| format!("You still have {}. ", left_in_words(left)));
    left.unwrap_or_default() + "You can't come back after this."
}

/// The clock in a rest break; the time stays hidden where the clock is.
pub fn clock_stopped_at(left: Option<Elapsed>) -> String {
    let left = left.map(|left| format!(" with {} left", left_in_words(left)));
    format!("The clock is stopped{}.", left.unwrap_or_default())
}

/// The band of the last minutes: the blanks, the time unless the clock is hidden, and the sweep
/// where a guess may gain; as much of it as fits in so many columns.
pub fn band(reminder: &Reminder, columns: usize) -> String {
    let blanks = counted(reminder.blanks.len(), "blank");
    let left = reminder.left.map(whole_minutes_left);
    let left = left.map_or_else(String::new, |left| format!(", {left} left"));
    let said = format!("{blanks}{left}.");
    // What guesses bring is said in the line above.
    let offers = match reminder.guesses {
        GuessWorth::Marks(_) | GuessWorth::Partly { .. } | GuessWorth::Unchecked => {
            ["! goes through them one by one.", "! goes through them."]
        }
        GuessWorth::Nothing => ["/ goes to the next blank.", "/ goes to the next."],
    };
    let mut whole = offers.iter().map(|offer| format!("{said} {offer}"));
    let fits = |line: &String| width(line) <= columns;
    whole.find(fits).unwrap_or(said)
}

/// The band of the sweep; where a guess on the open question loses marks, it asks for none.
pub fn sweep_band(blanks: usize, loses: bool) -> String {
    let blanks = counted(blanks, "blank");
    let what = if loses {
        "Every letter is a guess. Enter passes on."
    } else {
        "A letter each, every one a guess."
    };
    format!("Sweep: {blanks} left. {what}")
}

/// What a question of a section is worth; in figures where a line of so many columns is too short.
pub fn worth(section: &Section, columns: usize) -> String {
    let Section {
        right,
        wrong,
        blank,
        ..
    } = section;
    let answer = match wrong.cmp(&Mark::ZERO) {
        Ordering::Less => format!("A wrong answer loses {}.", -*wrong),
        Ordering::Equal if *blank == Mark::ZERO => "A wrong answer loses nothing.".to_owned(),
        Ordering::Equal => "A wrong answer gives 0.".to_owned(),
        Ordering::Greater => format!("A wrong answer gives {wrong}."),
    };
    let mut whole = format!("Worth {}. {answer}", marks_in_words(*right));
    if *blank != Mark::ZERO {
        whole = format!("{whole} A blank gives {blank}.");
    }
    if width(&whole) <= columns {
        whole
    } else {
        format!("Right {right}, wrong {wrong}, blank {blank}")
    }
}

/// How to say that another question of a printed paper is begun.
pub fn starting_another(digits_answer: bool) -> String {
    let jump = if digits_answer {
        "#, its number, then Enter"
    } else {
        "its number, then Enter"
    };
    format!("Starting another? Type {jump}.")
}

/// In the place of an option's letter where it is crossed out.
pub const OUT: &str = "out";
/// See [`OUT`].
pub const OUT_MEANS: &str = "crossed out; no letter on the sheet";

/// What is crossed out, where no option is on the page.
pub fn crossed_out_list(crossed: &BTreeSet<Label>) -> String {
    let letters: Vec<String> = crossed.iter().map(Label::to_string).collect();
    format!("Crossed out: {}.", letters.join(", "))
}

/// A question and its answer, where one line is all there is.
pub fn question_in_short(question: QuestionNo, given: Option<Label>, flagged: bool) -> String {
    let given = given.map_or_else(|| "blank".to_owned(), |given| given.to_string());
    let flag = if flagged { ", flag" } else { "" };
    format!("Question {question}: {given}{flag}")
}

/// Above all questions at a glance.
pub fn all_questions(blank: usize, flags: usize) -> String {
    match flags {
        0 => format!("All questions: {blank} blank"),
        flags => format!("All questions: {blank} blank, {}", counted(flags, "flag")),
    }
}

/// Below all questions at a glance.
pub const LETTER_IS_ANSWER: &str = "A letter beside a number is your answer.";

/// What would answer a question.
pub fn no_answer_yet(labels: &Labels) -> String {
    format!("Press {} to answer.", labels.range())
}

/// A question's answer, how it was come by, and that it is crossed out where it is.
pub fn your_answer(option: Label, how: &str, crossed_out: bool) -> String {
    let crossed = if crossed_out { ", crossed out" } else { "" };
    format!("Your answer: {option}{how}{crossed}")
}

/// Digits of a question's number.
pub fn go_to(typed: &str) -> String {
    format!("Go to question: {typed}_   Enter goes there, Esc cancels.")
}

/// That a number is half typed.
pub fn goes_first(typed: &str) -> String {
    format!("Press Enter to go to {typed}, or Esc to cancel.")
}

/// That a number that was typed is no question's: none was typed, or those there are lie between two.
pub fn no_question(typed: &str, ends: Option<(QuestionNo, QuestionNo)>) -> String {
    match (typed, ends) {
        ("", _) => "Type a number first.".to_owned(),
        (typed, Some((first, last))) => {
            format!("There's no question {typed}. Type {first} to {last}.")
        }
        (_, None) => "There's no question here.".to_owned(),
    }
}

/// Whether a letter is of an alphabet other than the Latin one.
const fn is_of_another_alphabet(typed: char) -> bool {
    /// Behind all Latin letters with their accents (Unicode, Latin Extended-B).
    const LATIN_ENDS: char = '\u{24f}';
    typed > LATIN_ENDS
}

/// Why a letter may be none of those expected: the keyboard's own setting.
pub fn another_alphabet(typed: char) -> Option<&'static str> {
    (typed.is_alphabetic() && is_of_another_alphabet(typed)).then_some(ANOTHER_ALPHABET)
}

/// See [`another_alphabet`].
const ANOTHER_ALPHABET: &str =
    "The keyboard is set to another alphabet. Switch it to Latin letters.";

/// Asks for the letter of the option to cross out.
pub fn which_to_cross_out(labels: &Labels) -> String {
    format!("Cross out which? Type {}, or Esc.", labels.range())
}

/// Before an option is chosen that nobody could have read; in a small window nothing shows it.
pub fn not_on_the_page_yet(option: Label, can_show: bool) -> String {
    let shows = if can_show { ": Down shows it" } else { "" };
    format!("You haven't seen {option} yet{shows}. Press {option} again to choose it.")
}

/// That a letter is no option.
pub fn no_option(typed: char, labels: &Labels) -> String {
    if let Some(why) = another_alphabet(typed) {
        return why.to_owned();
    }
    format!(
        "There's no option {}. Press {}.",
        typed.to_uppercase(),
        labels.range()
    )
}

/// The same where one is to be crossed out, which is still asked.
pub fn no_option_to_cross_out(typed: char, labels: &Labels) -> String {
    let which = which_to_cross_out(labels);
    format!("There's no option {}. {which}", typed.to_uppercase())
}

/// That a key does nothing, and what works.
pub fn does_nothing(key: &str, what_works: &str) -> String {
    format!("{key} does nothing here. {what_works}")
}

/// What can be done about trouble with saving; there may be another place to save in.
pub fn way_out(elsewhere: Option<&str>) -> String {
    match elsewhere {
        None => "Your answers are safe here. F3 tries again. Tell your tutor.".to_owned(),
        Some(place) => {
            format!("Your answers are safe here. F3 tries again. F2 saves in {place}")
        }
    }
}

/// How large a window would do.
pub fn larger_window(columns: u16, rows: u16) -> String {
    format!("Make this window at least {columns} columns by {rows} rows.")
}

/// Where the plan says that one would be: done by now, done in fact, and whether that is ahead, on plan or behind.
pub fn plan_by_now(due: u64, done: Option<u64>, standing: &str) -> String {
    let you = done.map_or_else(|| "You".to_owned(), |done| format!("You: {done}"));
    format!("Plan: {due} done by now. {you}, {standing}.")
}

/// How one stands against the plan.
pub const AHEAD: &str = "ahead";
/// See [`AHEAD`].
pub const ON_PLAN: &str = "on plan";
/// See [`AHEAD`].
pub const BEHIND: &str = "a little behind";
/// What helps when one is behind.
pub const LEAVE_HARD_ONES: &str = "Leave hard ones for later.";

/// The next checkpoint, or the first one.
pub fn next_checkpoint(question: u64, left: Elapsed, first: bool) -> String {
    let what = if first { "Plan" } else { "Next" };
    let left = span(left);
    format!("{what}: {question} done with {left} left.")
}
