//! What is said before the clock starts and after the sitting is over.

use chrono::NaiveDate;

use super::help;
use crate::domain::header::Arrangements;
use crate::domain::labels::Labels;
use crate::domain::marking::Outcome;
use crate::domain::paper::Paper;
use crate::domain::sitting::Phase;
use crate::domain::time::Elapsed;
use crate::words::aloud::{ONCE_IT_RUNS, START_OR_LEAVE, awards_aloud};
use crate::words::instructions::{OwnAims, TextBlock, read_out};
use crate::words::result::Ended;

/// What a line typed before the start asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BeforeStart {
    /// The clock starts.
    Start,
    /// Nothing starts; the program ends.
    Leave,
    /// Everything is said once more.
    Again,
    /// What can be typed now and in the sitting is said.
    Help,
    /// None of them: the last line of [`read_out_lines`] is said again.
    Unclear,
}

/// Reads a line typed before the start. Enter alone starts nothing, since it may be a held key.
pub fn before_start(typed: &str) -> BeforeStart {
    match typed.trim().to_lowercase().as_str() {
        "s" | "start" => BeforeStart::Start,
        "leave" => BeforeStart::Leave,
        "again" | "read" => BeforeStart::Again,
        "help" => BeforeStart::Help,
        _ => BeforeStart::Unclear,
    }
}

/// The words of a sitting on a paper with these options, before its clock runs.
pub fn words_before_start(options: &Labels) -> Vec<String> {
    let mut said = vec![ONCE_IT_RUNS.to_owned()];
    said.extend(help::lines(options, Phase::Running));
    said
}

/// Everything read out before the start; `standard` is the time before extra time.
pub fn read_out_lines(
    paper: &Paper,
    standard: Elapsed,
    arranged: &Arrangements,
    own: OwnAims<'_>,
    today: NaiveDate,
) -> Vec<String> {
    let mut said = vec![format!("{}.", paper.outline.title)];
    said.extend(lines(read_out(paper, standard, arranged, own, today)));
    said.push(START_OR_LEAVE.to_owned());
    said
}

/// Everything said after a sitting.
pub fn result_lines(ended: &Ended) -> Vec<String> {
    let mut said = vec![ended.closing().to_owned()];
    said.extend(ended.caution().map(str::to_owned));
    said.extend(lines(ended.blocks()).map(|line| awards_aloud(&line)));
    let marks = ended.marks.iter();
    let questions = marks.flat_map(|marks| &marks.with_guess_round.questions);
    // The blanks have been told by number.
    for question in questions.filter(|question| question.outcome != Outcome::Blank) {
        let answer = question.answer;
        let given = answer
            .given
            .map_or_else(String::new, |label| format!("{label}, "));
        let after = if answer.after_time {
            ", after time"
        } else {
            ""
        };
        let word = question.outcome.word();
        said.push(format!("Question {}: {given}{word}{after}.", answer.number));
    }
    said.extend(ended.last_lines());
    said
}

/// Blocks as lines, each heading before its first line.
fn lines(blocks: Vec<TextBlock>) -> impl Iterator<Item = String> {
    blocks.into_iter().flat_map(|TextBlock { heading, lines }| {
        let with_heading = move |(place, line): (usize, String)| match place {
            0 => format!("{heading}: {line}"),
            _ => line,
        };
        lines.into_iter().enumerate().map(with_heading)
    })
}
