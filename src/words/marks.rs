//! A sitting's marks as its tutor reads them.

use std::fmt::Write as _;

use crate::analysis::{AwardMark, Marks};
use crate::domain::event::Ending;
use crate::domain::header::{Header, Mode};
use crate::domain::paper::Outline;
use crate::domain::time::Elapsed;
use crate::words::numbers::plain;
use crate::words::shortfall::ways;
use crate::words::text::cut;
use crate::words::time::{day, moment, time_in_words};

/// The rows of the three marks, and what is to be said of the last one.
pub const IN_TIME: &str = "Mark in time";
/// See [`IN_TIME`].
pub const WITH_GUESS_ROUND: &str = "With the guess round";
/// See [`IN_TIME`].
pub const WORKED_OUT: &str = "Worked out";
/// What [`WORKED_OUT`] leaves out.
pub const GUESSES_AS_BLANK: &str = "(guesses counted as blank)";

/// What the tables of sections and questions count.
pub const GUESS_ROUND_IN: &str = "Sections and questions include the guess round.";

/// When it was sat, and how long it took and ended where it was under the clock.
pub fn when(header: &Header, used: Elapsed, ending: Option<Ending>) -> String {
    let at = header.started.naive_local();
    if header.mode != Mode::Timed {
        return day(at.date());
    }
    let when = format!(
        "{}. {} allowed, {} used. {}",
        moment(at),
        time_in_words(header.allowed),
        time_in_words(used),
        self::ending(ending)
    );
    when.trim_end().to_owned()
}

const fn ending(ending: Option<Ending>) -> &'static str {
    match ending {
        Some(Ending::FinishedEarly) => "Finished early.",
        Some(Ending::TimeUp | Ending::GuessRoundDone) => "Time was up.",
        Some(Ending::Abandoned) => "Given up.",
        Some(Ending::Entered) => "",
        None => "No end recorded.",
    }
}

/// What the same answers make under another rule.
pub fn under(outline: &Outline, marks: &Marks) -> String {
    let mut sentence = format!(
        "Under the rule of {} this is {} of {} in time",
        cut(&outline.title, 60),
        plain(marks.in_time.total),
        plain(marks.with_guess_round.max)
    );
    if marks.with_guess_round.total != marks.in_time.total {
        let _ = write!(
            sentence,
            ", {} with the guess round",
            plain(marks.with_guess_round.total)
        );
    }
    if marks.worked.total != marks.in_time.total {
        let _ = write!(sentence, ", {} worked out", plain(marks.worked.total));
    }
    sentence + "."
}

/// What a column of marks under another rule holds.
pub fn under_column(outline: &Outline) -> String {
    let title = cut(&outline.title, 60);
    format!("Under: the mark in time under the rule of {title}.")
}

/// What stands above the awards under another rule: that it has none, or that they are its own.
pub fn awards_under(outline: &Outline, marks: &Marks) -> String {
    let title = cut(&outline.title, 60);
    if marks.awards.is_empty() {
        format!("{title} names no boundaries.")
    } else {
        format!("With the rule and the boundaries of {title}:")
    }
}

/// Whether an award was reached in time, in a cell of a table.
pub fn reached(award: &AwardMark) -> String {
    match &award.short {
        None => "reached".to_owned(),
        Some(short) => format!("{} short", plain(short.by)),
    }
}

/// What the next award in time would have taken, where there is one.
pub fn next_award(marks: &Marks) -> Option<String> {
    let award = marks.next_in_time()?;
    let short = award.short.as_ref()?;
    Some(format!(
        "For {} in time: {}.",
        cut(&award.name, 24),
        ways(short)
    ))
}
