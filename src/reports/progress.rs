//! A pupil's season as a page of plain text, 80 columns wide; [`json`] has the same figures as JSON.

pub mod json;
mod scale;

use super::text::COLUMNS;
use crate::domain::header::INVENTED;
use crate::domain::mark::Mark;
use crate::season::progress::{Apart, Conditions, Error, Line, Of, Progress, Trend};
use crate::words::count::counted;
use crate::words::numbers::{
    decimals, marks_in_total, percent, percent_range, plain, plain_total, ranges_in_words, short,
    signed, signed_mark,
};
use crate::words::sign::Sign;
use crate::words::text::{Side, columns, cut, hanging, width};
use crate::words::time::table_day;

/// A season with what is to be said of its files.
#[derive(Clone, Debug)]
pub struct Season {
    /// The season.
    pub progress: Progress,
    /// Files that could not be read, each with its reason.
    pub remarks: Vec<String>,
    /// Whether any of the sittings that were drawn on is invented.
    pub invented: bool,
}

/// The page.
pub fn page(season: &Season) -> String {
    let progress = &season.progress;
    let mut lines = Vec::new();
    let count = counted(progress.lines.len(), "sitting");
    lines.push(format!("{}: {count}", progress.pupil));
    if season.invented {
        lines.extend(hanging("! ", INVENTED, COLUMNS));
    }
    lines.push(String::new());
    lines.extend(table(progress));
    for part in [
        scale::block(progress),
        trends(progress),
        topics(progress),
        causes(progress),
        apart(progress),
        not_marked(progress),
    ] {
        if !part.is_empty() {
            lines.push(String::new());
            lines.extend(part);
        }
    }
    lines.push(String::new());
    let remarks = season
        .remarks
        .iter()
        .flat_map(|remark| hanging("! ", remark, COLUMNS));
    lines.extend(remarks);
    lines.extend(
        last(progress)
            .iter()
            .flat_map(|notice| hanging("- ", notice, COLUMNS)),
    );
    lines.join("\n") + "\n"
}

/// The sittings, a line each; the paper's id takes the room that is left.
fn table(progress: &Progress) -> Vec<String> {
    let heads = [
        "Date", "Paper", "In time", "Worked", "No luck", "Over", "Blank", "Sinks", "Sweep", "",
    ];
    let [left, right] = [Side::Left, Side::Right];
    let sides = [
        left, left, right, right, right, right, right, right, right, left,
    ];
    let rows = |room: usize| -> Vec<Vec<String>> {
        let heads = heads.map(|head| cut(head, if head == "Paper" { room } else { COLUMNS }));
        let rows = progress.lines.iter().map(|line| row(line, room));
        [heads.to_vec()].into_iter().chain(rows).collect()
    };
    let bare = columns(&sides, &rows(0));
    let widest = bare.iter().map(|line| width(line)).max().unwrap_or(0);
    let room = COLUMNS.saturating_sub(widest).clamp(5, 30);
    columns(&sides, &rows(room))
}

fn row(line: &Line, room: usize) -> Vec<String> {
    let none = || "-".to_owned();
    let mark = |mark: Option<Mark>| mark.map_or_else(none, plain);
    let marks = line.marks.as_ref();
    let habits = line.habits.as_ref();
    let in_time = marks.map(|marks| format!("{}/{}", plain(marks.in_time), plain(marks.max)));
    let over = marks.and_then(|marks| marks.margins.first());
    let over = over.map(|margin| signed_mark(margin.over));
    let sinks = habits.and_then(|habits| habits.sinks);
    let sweep = habits.and_then(|habits| habits.sweep);
    vec![
        table_day(line.started.date_naive()),
        cut(&line.paper, room),
        in_time.unwrap_or_else(none),
        mark(marks.map(|marks| marks.worked)),
        mark(marks.map(|marks| marks.luck_out)),
        over.unwrap_or_else(none),
        habits.map_or_else(none, |habits| habits.blanks.to_string()),
        sinks.map_or_else(none, |sinks| sinks.to_string()),
        sweep.map_or_else(none, |sweep| sweep.took.stopwatch()),
        Sign::Apart.if_so(line.apart.is_some()).trim().to_owned(),
    ]
}

fn trends(progress: &Progress) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for (of, trend) in &progress.trends {
        lines.extend(hanging("  ", &trend_words(*of, trend), COLUMNS));
    }
    if lines.is_empty() {
        return lines;
    }
    let compared = counted(progress.compared().count(), "sitting");
    lines.insert(
        0,
        format!("From one sitting to the next ({compared} compared)"),
    );
    lines
}

/// A trend in words: `blanks at time up: 6, 4, 1: -2.5 a sitting (standard error 0.3): ...`.
pub fn trend_words(of: Of, trend: &Trend) -> String {
    let values: Vec<_> = trend.values.iter().map(|value| short(*value, 1)).collect();
    let error = match (trend.error, trend.from) {
        (None, _) => "its standard error is not known yet".to_owned(),
        (Some(error), Error::Measurement) => format!("standard error {}", decimals(error, 2)),
        (Some(error), Error::Residual) => {
            format!("standard error {} from the spread", decimals(error, 2))
        }
    };
    format!(
        "{}: {}: {} a sitting ({error}): {}.",
        of.name(),
        values.join(", "),
        signed(trend.slope, 2),
        trend.verdict.words(),
    )
}

fn topics(progress: &Progress) -> Vec<String> {
    if progress.topics.is_empty() {
        return Vec::new();
    }
    let heads = ["Topic", "Right", "Share", "Range 95 %", "Marks missed"];
    let mut rows = vec![heads.map(String::from).to_vec()];
    rows.extend(progress.topics.iter().map(|topic| {
        vec![
            cut(&topic.topic, 36),
            format!("{} of {}", topic.right, topic.asked),
            percent(topic.share),
            percent_range(topic.range.low, topic.range.high),
            plain_total(&topic.missed),
        ]
    }));
    let [left, right] = [Side::Left, Side::Right];
    let mut lines = vec!["Topics, in the order in which practice can win most".to_owned()];
    let table = columns(&[left, right, right, right, right], &rows);
    lines.extend(table.iter().map(|line| format!("  {line}")));
    lines
}

fn causes(progress: &Progress) -> Vec<String> {
    let each = progress
        .causes
        .iter()
        .map(|(cause, tally)| format!("{cause} {} ({})", tally.count, marks_in_total(&tally.lost)));
    let each: Vec<_> = each.collect();
    if each.is_empty() {
        return Vec::new();
    }
    let text = format!("Causes of lost marks, as noted: {}.", each.join(", "));
    hanging("", &text, COLUMNS)
}

fn apart(progress: &Progress) -> Vec<String> {
    let each = progress.apart().flat_map(|(line, apart)| {
        let day = table_day(line.started.date_naive());
        hanging(
            "* ",
            &format!("{day} {}: {}", line.paper, apart_words(apart)),
            COLUMNS,
        )
    });
    let each: Vec<_> = each.collect();
    if each.is_empty() {
        return each;
    }
    let mut lines = vec!["Not compared with the others".to_owned()];
    lines.extend(each);
    lines
}

/// Why a sitting is not compared, in words.
pub fn apart_words(apart: &Apart) -> String {
    match apart {
        Apart::Open => "it has not ended".to_owned(),
        Apart::GivenUp => "it was given up".to_owned(),
        Apart::Again => "this paper had been sat before".to_owned(),
        Apart::OtherConditions(conditions) => {
            format!("other conditions: {}", conditions_words(conditions))
        }
    }
}

/// Conditions in words.
pub fn conditions_words(conditions: &Conditions) -> String {
    let mut parts = Vec::new();
    if conditions.extra_percent > Mark::ZERO {
        parts.push(format!("extra time {} %", plain(conditions.extra_percent)));
    }
    if let Some(only) = &conditions.only {
        parts.push(match only.as_range() {
            Some((first, last)) => format!("questions {first} to {last} only"),
            None => format!(
                "questions {} only",
                ranges_in_words(&only.iter().collect::<Vec<_>>())
            ),
        });
    }
    if let Some(time) = conditions.own_time {
        parts.push(format!(
            "{} minutes instead of the paper's own time",
            time.stopwatch()
        ));
    }
    if conditions.typed_in {
        parts.push("done on paper and typed in".to_owned());
    }
    if parts.is_empty() {
        "the paper's own time, no extra time, all questions".to_owned()
    } else {
        parts.join(", ")
    }
}

fn not_marked(progress: &Progress) -> Vec<String> {
    let each = progress.not_marked().map(|line| {
        let day = table_day(line.started.date_naive());
        format!("{day} {}", line.paper)
    });
    let each: Vec<_> = each.collect();
    if each.is_empty() {
        return Vec::new();
    }
    hanging(
        "",
        &format!(
            "Not marked, since no key of that paper was found: {}. Say where keys lie with --keys DIR.",
            each.join(", ")
        ),
        COLUMNS,
    )
}

fn last(progress: &Progress) -> Vec<String> {
    let marked = progress.lines.iter().any(|line| line.marks.is_some());
    let mut notices = Vec::new();
    if marked {
        notices.push("Worked: guesses counted as blank. No luck: each guess replaced by what a blind guess brings on average. Over: the mark in time over the boundary of the paper's first award.".to_owned());
        if let Some((low, high)) = errors(progress) {
            let error = if decimals(low, 2) == decimals(high, 2) {
                decimals(low, 2)
            } else {
                format!("{} to {}", decimals(low, 2), decimals(high, 2))
            };
            notices.push(format!("One mark here has a standard error of {error} marks (binomial, by section): a difference of that size between two sittings is no news."));
        }
    }
    if let Some(conditions) = progress
        .conditions
        .as_ref()
        .filter(|_| progress.compared().count() > 1)
    {
        notices.push(format!(
            "Compared: {}. The first two sittings of a season are partly getting used to it: about a mark of any rise there is practice alone.",
            conditions_words(conditions)
        ));
    }
    if !progress.topics.is_empty() {
        notices.push("Topics: the most marks missed first; on equal marks the lower share. Guesses do not count as right; a question with several topics counts in each; the range is Wilson's.".to_owned());
    }
    notices.push("Practice only: this is not an official result.".to_owned());
    notices
}

fn errors(progress: &Progress) -> Option<(f64, f64)> {
    let errors = progress.compared().filter_map(|line| line.marks.as_ref());
    let errors: Vec<f64> = errors.map(|marks| marks.error).collect();
    let low = errors.iter().copied().min_by(f64::total_cmp)?;
    let high = errors.iter().copied().max_by(f64::total_cmp)?;
    Some((low, high))
}
