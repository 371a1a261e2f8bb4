//! What the evidence sheet for arrangements says. It names no reason and gives no verdict.

use std::path::Path;

use super::count::counted;
use super::numbers::plain;
use super::time::{day, time_in_words};
use crate::analysis::standard_time::{SheetAt, StandardTime};
use crate::domain::character::ShownPath as _;
use crate::domain::header::{Alias, Header};
use crate::domain::mark::Mark;
use crate::domain::notes::Vouched;
use crate::domain::time::Elapsed;

/// The heading.
pub fn title(pupil: &Alias) -> String {
    format!("Evidence sheet for arrangements: {pupil}")
}

/// What the sheet is, under its heading.
pub const WHAT_IT_IS: &str = "How this pupil used the time in practice papers. It isn't an official result, gives no \
     reason for any arrangement, and makes no recommendation. Check the current rules before you use it.";
/// What the columns of marks mean.
pub const HOW_READ: &str = "At the standard time: the answers as they were when the paper's own time was used up. At \
     the time allowed: the answers at the end. Rest breaks stop the clock, so they are in neither.";
/// Above the tutor's ticks.
pub const TICKS: &str = "Timed and supervised";
/// The line for a signature.
pub const SIGNATURE: &str = "Signature and date:";
/// Where nothing was ticked yet, and how to do it.
pub const NOT_VOUCHED: &str = "not ticked yet";
/// Above the comparison.
pub const COMPARED: &str = "Under different arrangements";
/// That nothing can be compared.
pub const NONE: &str = "No finished sitting of this pupil counts, so there is nothing to show.";

/// How the tutor ticks a sitting.
pub fn how_to_tick(pupil: &Alias) -> String {
    format!(
        "To tick a sitting, type: pacebell evidence {pupil} --of FILE --timed --supervised --sentence \"in your own words\""
    )
}

/// The heads of the table's rows, in their order.
pub const ROWS: [&str; 13] = [
    "Date and paper",
    "Arranged",
    "Standard time",
    "Time allowed",
    "Time used",
    "Rest breaks (clock stopped)",
    "Mark at the standard time",
    "Mark at the time allowed",
    "First answered after the standard time",
    "Changed after the standard time",
    "Blank at the standard time, at the end",
    "Interruptions",
    "Times per question",
];

/// The date and the paper.
pub fn which(header: &Header) -> String {
    format!(
        "{}, {}",
        day(header.started.date_naive()),
        header.paper.title
    )
}

/// What was arranged.
pub fn arranged(header: &Header) -> String {
    let extra = header.arrangements.extra_percent;
    let extra = (extra > Mark::ZERO).then(|| format!("{}% extra time", plain(extra)));
    let breaks = header
        .arrangements
        .rest_breaks
        .then(|| "rest breaks".to_owned());
    let all: Vec<_> = extra.into_iter().chain(breaks).collect();
    if all.is_empty() {
        "nothing".to_owned()
    } else {
        all.join(", ")
    }
}

/// A span of time.
pub fn span(span: Elapsed) -> String {
    time_in_words(span)
}

/// How many rest breaks, how long each, and altogether.
pub fn breaks(breaks: &[Elapsed]) -> String {
    if breaks.is_empty() {
        return "none".to_owned();
    }
    let each: Vec<_> = breaks.iter().map(|span| time_in_words(*span)).collect();
    let total = breaks.iter().fold(Elapsed::ZERO, |sum, span| sum + *span);
    format!(
        "{}: {}; {} altogether",
        counted(breaks.len(), "break"),
        each.join(", "),
        time_in_words(total)
    )
}

/// A mark of the most there could be.
pub fn mark(sheet: &SheetAt, max: Option<Mark>) -> String {
    match (sheet.mark, max) {
        (Some(mark), Some(max)) => format!("{} of {}", plain(mark), plain(max)),
        _ => "no answer key".to_owned(),
    }
}

/// Questions, with their number before them.
pub fn questions(questions: &[crate::domain::rule::QuestionNo]) -> String {
    let list: Vec<_> = questions.iter().map(ToString::to_string).collect();
    match list.len() {
        0 => "none".to_owned(),
        count => format!("{count}: {}", list.join(", ")),
    }
}

/// What is said where only a clock could have told.
pub const NOT_KNOWN: &str = "not known";

/// Both numbers of blanks; of a sheet without times only the one at the end.
pub fn blanks(at: &StandardTime, timed: bool) -> String {
    let at_standard = if timed {
        at.at_standard.blanks.to_string()
    } else {
        "-".to_owned()
    };
    format!("{at_standard}, then {}", at.at_allowed.blanks)
}

/// How often the sitting was interrupted.
pub fn interruptions(away: usize, slept: usize, clock_changes: usize) -> String {
    if away + slept + clock_changes == 0 {
        return "none".to_owned();
    }
    format!(
        "program closed {away}, computer asleep {slept}, computer's clock changed {clock_changes}"
    )
}

/// Whether the times can be trusted.
pub const fn trusted(timed: bool, any: bool) -> &'static str {
    match (timed, any) {
        (false, _) => "none: the sheet was typed in",
        (true, true) => "can be trusted",
        (true, false) => "not trusted: answers were entered in batches",
    }
}

/// The tutor's ticks.
pub fn ticks(vouched: Option<&Vouched>) -> String {
    let Some(vouched) = vouched else {
        return NOT_VOUCHED.to_owned();
    };
    let sign = |on: bool| if on { "yes" } else { "no" };
    let day = day(vouched.at.date_naive());
    format!(
        "timed {}, supervised {} ({}, {day})",
        sign(vouched.timed),
        sign(vouched.supervised),
        vouched.by
    )
}

/// The arrangements that are compared.
pub const fn group(extra: bool, breaks: bool) -> &'static str {
    match (extra, breaks) {
        (true, true) => "extra time and rest breaks",
        (true, false) => "extra time",
        (false, true) => "rest breaks only",
        (false, false) => "neither",
    }
}

/// How many sittings there were, and between what their marks lay, in percent of the most there could be.
pub fn range(shares: &[f64]) -> String {
    let count = counted(shares.len(), "sitting");
    let low = shares.iter().copied().fold(f64::INFINITY, f64::min);
    let high = shares.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    match shares {
        [] => count,
        [_] => format!("{count}, {low:.0}% of the marks"),
        _ => format!("{count}, between {low:.0}% and {high:.0}% of the marks"),
    }
}

/// That the ticks were put down.
pub fn ticked(header: &Header) -> String {
    format!("Noted for the evidence sheet: {}.", which(header))
}

/// Where the page was written.
pub fn written(page: &Path) -> String {
    format!("The evidence sheet is in {}.", page.shown())
}

/// The table's title.
pub const TABLE: &str = "Evidence for arrangements: a row for each sitting";

/// The table's columns with what they mean.
pub const COLUMNS: [(&str, &str); 25] = [
    ("sitting", "The sitting's id"),
    ("pupil", "The pupil's alias"),
    ("date", "The day of the sitting"),
    ("paper", "The paper's id"),
    (
        "counts",
        "Whether the sitting counts: not where it is open, given up or set aside",
    ),
    (
        "extra_percent",
        "Extra time arranged, in percent of the standard time",
    ),
    ("rest_breaks_allowed", "Whether rest breaks were arranged"),
    ("standard_seconds", "The paper's own time, in seconds"),
    ("allowed_seconds", "The time allowed, in seconds"),
    ("used_seconds", "The time used, in seconds"),
    ("breaks", "How many rest breaks"),
    (
        "breaks_seconds",
        "Their length altogether, in seconds; the clock was stopped",
    ),
    ("mark_standard", "The mark at the standard time"),
    ("mark_allowed", "The mark at the time allowed"),
    ("max", "The most that the mark could be"),
    (
        "first_after_standard",
        "Questions first answered after the standard time",
    ),
    (
        "changed_after_standard",
        "Questions changed after the standard time",
    ),
    ("blank_standard", "Blanks at the standard time"),
    ("blank_allowed", "Blanks at the end"),
    (
        "interruptions",
        "Times closed, asleep or with the clock changed",
    ),
    ("times_trusted", "Whether times per question can be trusted"),
    ("timed", "Ticked by the tutor: timed"),
    ("supervised", "Ticked by the tutor: supervised"),
    ("sentence", "The tutor's sentence"),
    ("by", "Whose initials"),
];
