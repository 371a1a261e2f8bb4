//! As many questions to try again as two sides of A4 hold.
//!
//! Heights are reckoned in pixels of the style sheet, with lines as a wide sans-serif face breaks
//! them, so that a narrower one has room to spare. What does not fit is named by its number: nothing
//! that is worth another go is left out.

use super::captions::{MOST_BARS, SENTENCE, TITLE, remember, time_notes};
use super::tidy::tidy;

use crate::domain::header::INVENTED;
use crate::domain::rule::QuestionNo;
use crate::reports::feedback::content::{Again, Feedback};
use crate::words::feedback as words;
use crate::words::result::on_another_day;
use crate::words::text::wrap_whole;

/// The height of a side of A4 inside its margins, with a little kept free.
const SIDE: usize = 1020;
/// Characters of a line in one of two columns.
const HALF: usize = 38;
/// Characters of a line across the page.
const WHOLE: usize = 56;
/// A line of text.
const LINE: usize = 24;
/// The space after a paragraph.
const GAP: usize = 8;
/// A heading with the rule above it, and the space after its section.
const HEADING: usize = 42 + 14;
/// The picture of the curve.
const CURVE: usize = 264;
/// The most questions with a hint: a longer list is not worked through (common practice, no source).
const MOST: usize = 8;

const HINT: usize = 220;
const WORKING: usize = 400;
const STEM: usize = 70;
const TOPICS: usize = 60;

/// The questions to try again as the page has them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fitted<'a> {
    /// Those with their hints.
    pub shown: Vec<&'a Again>,
    /// Those named by number only.
    pub rest: Vec<QuestionNo>,
}

/// Takes as many from the front as there is room for, each whole in its column.
pub fn fitted(feedback: &Feedback) -> Fitted<'_> {
    let mut columns = columns(feedback).into_iter();
    let mut room = columns.next().unwrap_or_default();
    let mut shown = Vec::new();
    'questions: for again in feedback.again.iter().take(MOST) {
        let wanted = height(again);
        while wanted > room {
            let Some(next) = columns.next() else {
                break 'questions;
            };
            room = next;
        }
        room -= wanted;
        shown.push(again);
    }
    let rest = feedback.again.iter().skip(shown.len());
    Fitted {
        rest: rest.map(|again| again.number).collect(),
        shown,
    }
}

/// The heights that the list's columns have, two on the first side and two on the second, as a
/// browser fills them one after another.
fn columns(feedback: &Feedback) -> [usize; 4] {
    let before = head(feedback) + mark(feedback) + talk(feedback) + HEADING;
    let after = LINE + GAP + time(feedback) + tail(feedback);
    let first = SIDE.saturating_sub(before);
    // Where the first side overflows, the second has so much less.
    let second = SIDE.saturating_sub(after + before.saturating_sub(SIDE));
    [first, first, second, second]
}

fn height(again: &Again) -> usize {
    let own = lines(again);
    let lines: usize = own.iter().map(|line| rows(line, HALF)).sum();
    lines * LINE + GAP + 2
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
            lines.push(words::common_way(given, &tidy(lure, HINT)));
        }
    }
    lines
}

fn rows(text: &str, columns: usize) -> usize {
    let lines = wrap_whole(text, columns);
    let row = |line: &String| line.chars().count().div_ceil(columns).max(1);
    lines.iter().map(row).sum()
}

fn block(lines: impl IntoIterator<Item = impl AsRef<str>>, columns: usize) -> usize {
    let each = lines.into_iter().map(|line| {
        let line = tidy(line.as_ref(), 2 * SENTENCE);
        rows(&line, columns) * LINE + GAP
    });
    each.sum()
}

fn head(feedback: &Feedback) -> usize {
    let name = rows(&format!("Feedback for {}", feedback.pupil), 30) * 34 + 4;
    let title = tidy(&feedback.outline.title, TITLE) + ", 25 September 2026";
    let about = format!("{} {}", feedback.closing, feedback.done.join(" "));
    let invented = feedback.invented.then(|| INVENTED.to_owned());
    name + block([title, about].into_iter().chain(invented), WHOLE) + 16
}

fn mark(feedback: &Feedback) -> usize {
    let Some(marks) = &feedback.marks else {
        return 0;
    };
    let range = marks.range.map_or_else(String::new, on_another_day);
    let range = format!("Not timed{range}. ");
    let first = [range + &marks.beside.join(" ")];
    let alone = feedback.hour.curve.is_none() && !marks.boundaries.is_empty();
    let below = alone.then_some(words::BOUNDARIES);
    let texts = first.iter().chain(&marks.awards).map(String::as_str);
    let text = 44 + block(texts.chain(below), HALF);
    let under = format!("{} {}", words::CURVE, words::BOUNDARIES);
    let drawn = feedback.hour.curve.as_ref();
    let curve = drawn.map_or(0, |_| CURVE + block([under], HALF));
    HEADING + text.max(curve)
}

fn talk(feedback: &Feedback) -> usize {
    let list = |lines: &[String]| block(lines, HALF - 3);
    let next = list(&feedback.next) + block(&feedback.caution, HALF);
    HEADING + list(&feedback.well).max(next)
}

fn time(feedback: &Feedback) -> usize {
    let rows = feedback.hour.bars.len().min(MOST_BARS).div_ceil(2);
    HEADING + block(time_notes(&feedback.hour), WHOLE) + rows * LINE + 14
}

fn tail(feedback: &Feedback) -> usize {
    let habit = block(&feedback.habit, HALF);
    HEADING + habit.max(block(remember(feedback), HALF))
}
