//! As many questions to try again as two sides of A4 hold.
//!
//! Lines are counted as a wide sans-serif face breaks them, so that a narrower one has room to
//! spare. What does not fit is named by its number: nothing that is worth another go is left out.

use super::tidy::tidy;
use super::{MOST_BARS, SENTENCE, TITLE};
use crate::coach::feedback::{Again, Feedback};
use crate::coach::ranges::wrapped;
use crate::domain::rule::QuestionNo;

/// Lines of one side.
const SIDE: usize = 40;
/// Characters of a line in one of two columns.
const HALF: usize = 34;
/// Characters of a line across the page.
const WHOLE: usize = 50;
/// The lines that a heading takes, with the space around it.
const HEADING: usize = 2;
/// The lines of the curve with the words below it.
const CURVE: usize = 14;
/// The most questions with a hint: a longer list is not worked through (common practice, no source).
const MOST: usize = 8;

const HINT: usize = 220;
const WORKING: usize = 400;
const STEM: usize = 90;
const TOPICS: usize = 60;

/// The questions to try again as the page has them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fitted<'a> {
    /// Those with their hints.
    pub shown: Vec<&'a Again>,
    /// Those named by number only.
    pub rest: Vec<QuestionNo>,
}

/// Takes as many from the front as there is room for.
pub fn fitted(feedback: &Feedback) -> Fitted<'_> {
    let mut room = room(feedback);
    let mut shown = Vec::new();
    for again in feedback.again.iter().take(MOST) {
        let wanted = lines(again)
            .iter()
            .map(|line| rows(line, HALF))
            .sum::<usize>()
            + 1;
        let Some(left) = room.checked_sub(wanted) else {
            break;
        };
        room = left;
        shown.push(again);
    }
    let rest = feedback.again.iter().skip(shown.len());
    Fitted {
        rest: rest.map(|again| again.number).collect(),
        shown,
    }
}

/// What stands under one question: its head first.
pub fn lines(again: &Again) -> Vec<String> {
    let chosen = again.given.map_or_else(
        || "left blank".to_owned(),
        |given| format!("you chose {given}"),
    );
    let mut lines = vec![format!("Question {}: {chosen}", again.number)];
    if let Some(stem) = &again.stem {
        lines.push(tidy(stem, STEM));
    } else if !again.topics.is_empty() {
        lines.push(tidy(&format!("About {}.", again.topics.join(", ")), TOPICS));
    }
    if let Some(hint) = &again.hint {
        lines.push(format!("Hint: {}", tidy(hint, HINT)));
    }
    if let Some(working) = &again.working {
        let answers: Vec<_> = working.answers.iter().map(ToString::to_string).collect();
        let text = working
            .text
            .as_ref()
            .map_or_else(String::new, |text| format!(" {}", tidy(text, WORKING)));
        lines.push(format!("Answer: {}.{text}", answers.join(" or ")));
        if let Some((lure, given)) = working.lure.as_ref().zip(again.given) {
            lines.push(format!("A common way to {given}: {}.", tidy(lure, HINT)));
        }
    }
    lines
}

/// Half lines that are left for the questions on the second side.
fn room(feedback: &Feedback) -> usize {
    let first = head(feedback) + mark(feedback) + talk(feedback);
    let over = first.saturating_sub(SIDE);
    let taken = over + time(feedback) + tail(feedback) + HEADING + 2;
    // Two columns never come out even: a line of each is kept free.
    (2 * SIDE.saturating_sub(taken)).saturating_sub(2)
}

fn rows(text: &str, columns: usize) -> usize {
    let lines = wrapped(text, columns);
    let row = |line: &String| line.chars().count().div_ceil(columns).max(1);
    lines.iter().map(row).sum()
}

fn block(lines: impl IntoIterator<Item = impl AsRef<str>>, columns: usize) -> usize {
    let each = lines.into_iter().map(|line| {
        let line = tidy(line.as_ref(), SENTENCE);
        // Three paragraphs' spaces make a line.
        3 * rows(&line, columns) + 1
    });
    each.sum::<usize>().div_ceil(3)
}

fn head(feedback: &Feedback) -> usize {
    let title = tidy(&feedback.outline.title, TITLE);
    let about = format!("{} {}", feedback.closing, feedback.done.join(" "));
    3 + block([title + " on 25 September 2026", about], WHOLE) + usize::from(feedback.invented)
}

fn mark(feedback: &Feedback) -> usize {
    let Some(marks) = &feedback.marks else {
        return 0;
    };
    let beside = "In time (about 100 to 120 on another day like this). ".to_owned();
    let boundaries = "By this paper's boundaries, which can move each year.".to_owned();
    let texts = [beside + &marks.beside.join(" "), boundaries];
    let text = HEADING + 2 + block(texts.iter().chain(&marks.awards), HALF);
    let curve = feedback.hour.curve.as_ref().map_or(0, |_| HEADING + CURVE);
    text.max(curve) + 1
}

fn talk(feedback: &Feedback) -> usize {
    let list = |lines: &[String]| block(lines, HALF - 3);
    let next = list(&feedback.next) + block(&feedback.caution, HALF);
    HEADING + list(&feedback.well).max(next) + 1
}

fn time(feedback: &Feedback) -> usize {
    let rows = feedback.hour.bars.len().min(MOST_BARS).div_ceil(2);
    HEADING + block(super::time_notes(&feedback.hour), WHOLE) + rows + 1
}

fn tail(feedback: &Feedback) -> usize {
    let habit = block(&feedback.habit, HALF);
    HEADING + habit.max(block(super::remember(feedback), HALF)) + 1
}
