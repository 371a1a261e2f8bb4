//! A pupil's season as a page of plain text, 80 columns wide; [`json`] has the same figures as JSON.

pub mod csv;
pub mod json;
mod practice;
mod scale;

pub use practice::PracticeReport;

use super::text::COLUMNS;
use crate::domain::header::INVENTED;
use crate::domain::mark::Mark;
use crate::season::progress::{Line, LineMarks, Progress};
use crate::season::step::FollowedStep;
use crate::words::count::counted;
use crate::words::numbers::{decimals, percent, percent_range, plain, plain_total, signed_mark};
use crate::words::progress as words;
use crate::words::sign::APART;
use crate::words::step::{STEPS, listed};
use crate::words::text::{Side, columns, cut, cut_start, hanging, width};
use crate::words::time::table_day;

/// A season with what is to be said of its files.
#[derive(Clone, Debug)]
pub struct Season {
    /// The season.
    pub progress: Progress,
    /// Missed questions tried again.
    pub practice: PracticeReport,
    /// The steps agreed with the pupil, and what became of each.
    pub steps: Vec<FollowedStep>,
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
        steps(&season.steps),
        practice::block(&season.practice),
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
        cut_start(&line.paper, room),
        in_time.unwrap_or_else(none),
        mark(marks.map(|marks| marks.worked)),
        mark(marks.map(|marks| marks.luck_out)),
        over.unwrap_or_else(none),
        habits.map_or_else(none, |habits| habits.blanks.to_string()),
        sinks.map_or_else(none, |sinks| sinks.to_string()),
        sweep.map_or_else(none, |sweep| sweep.took.stopwatch()),
        line.apart
            .as_ref()
            .map_or_else(String::new, |_| APART.to_owned()),
    ]
}

fn trends(progress: &Progress) -> Vec<String> {
    if progress.trends.is_empty() {
        return Vec::new();
    }
    let mut lines = vec![words::trends_heading(progress.compared().count())];
    for (of, trend) in &progress.trends {
        lines.extend(hanging("  ", &words::trend(*of, trend), COLUMNS));
    }
    lines
}

fn topics(progress: &Progress) -> Vec<String> {
    if progress.topics.is_empty() {
        return Vec::new();
    }
    let heads = [
        "Topic",
        "Right",
        "Share",
        "Range 95%",
        "Marks missed",
        "In reach",
    ];
    let mut rows = vec![heads.map(String::from).to_vec()];
    rows.extend(progress.topics.iter().map(|topic| {
        vec![
            cut(&topic.topic, 26),
            format!("{} of {}", topic.right, topic.asked),
            percent(topic.share),
            percent_range(topic.range.low, topic.range.high),
            plain_total(&topic.missed),
            decimals(topic.within_reach, 1),
        ]
    }));
    let [left, right] = [Side::Left, Side::Right];
    let mut lines = vec![words::TOPICS_HEADING.to_owned()];
    let table = columns(&[left, right, right, right, right, right], &rows);
    lines.extend(table.iter().map(|line| format!("  {line}")));
    lines
}

fn causes(progress: &Progress) -> Vec<String> {
    if progress.causes.is_empty() {
        return Vec::new();
    }
    hanging("", &words::causes(&progress.causes), COLUMNS)
}

fn steps(steps: &[FollowedStep]) -> Vec<String> {
    if steps.is_empty() {
        return Vec::new();
    }
    let each = steps.iter();
    let each = each.flat_map(|own| hanging("- ", &listed(own), COLUMNS));
    [STEPS.to_owned()].into_iter().chain(each).collect()
}

fn apart(progress: &Progress) -> Vec<String> {
    let each = progress
        .apart()
        .flat_map(|(line, apart)| hanging("- ", &words::line_apart(line, apart), COLUMNS));
    let each: Vec<_> = each.collect();
    if each.is_empty() {
        return each;
    }
    let mut lines = vec![words::APART_HEADING.to_owned()];
    lines.extend(each);
    lines
}

fn not_marked(progress: &Progress) -> Vec<String> {
    if progress.not_marked().next().is_none() {
        return Vec::new();
    }
    hanging("", &words::not_marked(progress.not_marked()), COLUMNS)
}

fn last(progress: &Progress) -> Vec<String> {
    let marked = progress.lines.iter().any(|line| line.marks.is_some());
    let mut notices = Vec::new();
    if marked {
        notices.push(words::MARK_COLUMNS.to_owned());
        let latest = latest(progress).and_then(|marks| Some((marks.in_time, marks.range?)));
        notices.extend(latest.map(|(mark, range)| words::range_of_a_mark(mark, range)));
    }
    if let Some(conditions) = progress
        .conditions
        .as_ref()
        .filter(|_| progress.compared().count() > 1)
    {
        notices.push(words::compared(
            conditions,
            latest(progress).map(|marks| marks.max),
        ));
    }
    if !progress.trends.is_empty() {
        notices.push(words::DIRECTION.to_owned());
    }
    if !progress.topics.is_empty() {
        notices.push(words::TOPIC_COLUMNS.to_owned());
    }
    notices.push(words::NOT_OFFICIAL.to_owned());
    notices
}

/// The marks of the latest sitting that is compared and marked.
fn latest(progress: &Progress) -> Option<&LineMarks> {
    let marked = progress.compared().filter_map(|line| line.marks.as_ref());
    marked.last()
}
