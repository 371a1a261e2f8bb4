//! One encouraging sentence and one thing to do next time, each true of the sitting it is said of.
//!
//! Both are chosen from plain facts, the first that holds: what the pupil did comes before how much
//! was right, and nobody is told how others did.

mod gather;

use crate::analysis::stay::Long;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::words::count::counted;
use crate::words::feedback::STOPPED;
use crate::words::findings::{took_about, unused};
use crate::words::numbers::{it_or_them, questions_or_count};
use crate::words::time::time_in_words;

/// More questions than this are counted instead of named.
const NAMED: usize = 4;

/// What is known of a sitting that is over.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Facts {
    /// How many questions were sat.
    pub questions: usize,
    /// How many were answered in time.
    pub answered: usize,
    /// Those blank when time was up or when it was handed in.
    pub blanks: Vec<QuestionNo>,
    /// Those never opened.
    pub not_seen: Vec<QuestionNo>,
    /// Those with a flag.
    pub flags: Vec<QuestionNo>,
    /// Whether some wrong answer is worth less than a blank.
    pub wrong_costs: bool,
    /// Whether it was given up.
    pub stopped: bool,
    /// How it was worked.
    pub habits: Habits,
    /// What the key says, where it is at hand.
    pub key: Option<KeyFacts>,
}

/// How a sitting was worked.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Habits {
    /// Filled in a sweep that is praise: on each a blind guess gains, and no time was left unused.
    pub swept: Vec<QuestionNo>,
    /// Gone back to: left without an answer, answered on a later visit by thought.
    pub came_back: Vec<QuestionNo>,
    /// How many answers the pupil, and not a sweep, called unsure or a guess.
    pub said: usize,
    /// The longest stay that earned nothing while others were blank.
    pub long_stay: Option<Long>,
    /// Whether every question was opened, where that is known.
    pub saw_all: bool,
    /// Whether the sheet was typed in afterwards, so that nothing is known of any clock.
    pub typed_in: bool,
    /// Whether it was worked until time was up, and never left.
    pub until_time_up: bool,
    /// The time left, where it was handed in early.
    pub time_left: Option<Elapsed>,
    /// The same where so much was left that it is unused, and the questions that it could have been for.
    pub unused: Option<(Elapsed, Vec<QuestionNo>)>,
    /// How long before time up the reminder comes; nothing where the questions are not on the screen.
    pub reminder: Elapsed,
}

/// What the key says of the answers in time.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct KeyFacts {
    /// How many questions from the first on are right without a gap.
    pub front_right: usize,
    /// Right ones whose answer was wrong before, and was changed by thought.
    pub changed_to_right: Vec<QuestionNo>,
    /// Right ones that had been left and come back to.
    pub came_back_right: Vec<QuestionNo>,
    /// All right ones.
    pub right: Vec<QuestionNo>,
    /// Wrong ones.
    pub wrong: Vec<QuestionNo>,
}

impl Facts {
    /// Whether every question has an answer, where that is good: no wrong answer costs more than a blank, and no
    /// time was left that thought could have had.
    fn no_blank_is_praise(&self) -> bool {
        let full = self.questions > 0 && self.answered == self.questions;
        full && !self.wrong_costs && self.habits.unused.is_none()
    }
}

/// Says what went well.
pub fn encouraging(facts: &Facts) -> String {
    let habits = &facts.habits;
    let key = facts.key.clone().unwrap_or_default();
    let came_back = &habits.came_back;
    if facts.questions > 0 && key.front_right == facts.questions {
        "Every answer is right.".to_owned()
    } else if !habits.swept.is_empty() && facts.blanks.is_empty() {
        let left = counted(habits.swept.len(), "blank");
        format!("You filled the last {left} before time was up.")
    } else if !key.came_back_right.is_empty() {
        let right = &key.came_back_right;
        format!(
            "You left {}, came back and got {} right.",
            questions_or_count(right, NAMED),
            it_or_them(right)
        )
    } else if key.front_right >= 3 {
        front(key.front_right)
    } else if !key.changed_to_right.is_empty() {
        let right = &key.changed_to_right;
        format!(
            "You looked again at {} and got {} right.",
            questions_or_count(right, NAMED),
            it_or_them(right)
        )
    } else if facts.no_blank_is_praise() {
        "Every question has an answer.".to_owned()
    } else if !came_back.is_empty() && facts.key.is_none() {
        format!(
            "You left {}, came back and answered {}.",
            questions_or_count(came_back, NAMED),
            it_or_them(came_back)
        )
    } else if habits.said > 0 {
        let answers = counted(habits.said, "answer");
        format!("You marked {answers} as unsure or a guess. That shows what to look at.")
    } else if !key.right.is_empty() {
        format!("You got {} right.", questions_or_count(&key.right, NAMED))
    } else if facts.key.is_some() && facts.answered > 0 {
        without_a_right_answer(facts)
    } else if facts.answered > 0 {
        let answered = counted(facts.answered, "question");
        let clock = if habits.typed_in {
            ""
        } else {
            "worked by the clock and "
        };
        format!("You {clock}answered {answered}.")
    } else {
        format!("You sat down to {}. That's a start.", paper(habits))
    }
}

/// What can be said for a sitting in which, as the key has it, no answer in time is right: what was
/// done, never how many were answered, since that would praise wrong answers.
fn without_a_right_answer(facts: &Facts) -> String {
    if facts.habits.saw_all && facts.questions > 1 {
        "You looked at every question.".to_owned()
    } else if facts.habits.until_time_up {
        "You stayed with the paper until time was up.".to_owned()
    } else {
        let paper = paper(&facts.habits);
        format!("You sat down to {paper}. Now you know where to begin.")
    }
}

const fn paper(habits: &Habits) -> &'static str {
    if habits.typed_in {
        "a paper"
    } else {
        "a paper with a clock"
    }
}

/// Says the one thing to do next time.
pub fn next_time(facts: &Facts) -> String {
    let habits = &facts.habits;
    let wrong = facts.key.as_ref().map_or(&[][..], |key| &key.wrong);
    let blanks = &facts.blanks;
    let many = counted(blanks.len(), "question");
    let in_time = if habits.typed_in { "" } else { " in time" };
    if facts.stopped {
        STOPPED.to_owned()
    } else if let Some(left) = habits.time_left.filter(|_| !blanks.is_empty()) {
        let left = time_in_words(left);
        format!(
            "You finished with {left} left and {many} blank. Next time, use that time for {}.",
            it_or_them(blanks)
        )
    } else if let Some(long) = habits.long_stay {
        let took = took_about(long);
        if long.only_open {
            format!("{took} Next time, leave a question sooner and come back.")
        } else {
            format!("{took} What told you to stay? Next time, leave it sooner and come back.")
        }
    } else if !blanks.is_empty() && facts.wrong_costs {
        format!(
            "{many} had no answer{in_time}. Next time, look at the blanks once more before time is up, and answer where you can cross options out."
        )
    } else if !blanks.is_empty() && habits.reminder >= Elapsed::minutes(1) {
        let last = time_in_words(habits.reminder);
        format!("{many} had no answer{in_time}. Next time, keep the last {last} for the blanks.")
    } else if !blanks.is_empty() {
        format!("{many} had no answer{in_time}. Next time, fill the blanks before time is up.")
    } else if let Some(left) = habits.time_left.filter(|_| !facts.flags.is_empty()) {
        let (left, flags) = (time_in_words(left), questions_or_count(&facts.flags, NAMED));
        format!(
            "You finished with {left} left. Next time, look at {flags} again first: the flag is still up."
        )
    } else if let Some((left, questions)) = &habits.unused {
        unused(*left, questions)
    } else if !wrong.is_empty() {
        let first = wrong.get(..NAMED).unwrap_or(wrong);
        format!("Try {} again.", questions_or_count(first, NAMED))
    } else if facts.key.is_some() && habits.said == 0 {
        "Next time, try a paper with harder questions.".to_owned()
    } else if habits.said > 0 {
        "Go through the answers that you were not sure of first, with your tutor.".to_owned()
    } else {
        "Tell your tutor which three questions you would like to look at again.".to_owned()
    }
}

/// That the first questions are all right.
pub fn front(right: usize) -> String {
    format!("Questions 1 to {right} are all right.")
}

#[cfg(test)]
mod tests;
