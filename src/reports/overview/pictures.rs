//! The term's pictures: a pupil's marks with their ranges, and how the sittings of each paper ended.

use maud::{Markup, html};

use crate::domain::mark::Mark;
use crate::reports::document::tidy::{label, tidy};
use crate::reports::feedback::pictures::{frame, n};
use crate::season::mark_range::AnotherDay;
use crate::season::overview::{Overview, OverviewSheet, PaperColumn, PupilRow};
use crate::stats::real;
use crate::words::overview as words;

/// The room of a paper in a pupil's picture.
const STEP: f64 = 26.0;
/// The height of a pupil's picture, and what is left free at its top and foot.
const HEIGHT: f64 = 72.0;
const FREE: f64 = 6.0;
/// Half the width of the bar of a range.
const HALF: f64 = 4.0;

/// A pupil's marks, in the order in which they were sat; nothing where none is marked.
pub(super) fn season(index: usize, overview: &Overview, row: &PupilRow) -> Option<Markup> {
    let columns = overview.columns.iter();
    let mut own: Vec<(&PaperColumn, &OverviewSheet)> = columns
        .filter_map(|column| Some((column, column.sheets.get(&row.pupil)?)))
        .filter(|(_, sheet)| {
            let marks = sheet.marks.as_ref();
            marks.is_some_and(|own| own.max > Mark::ZERO)
        })
        .collect();
    own.sort_by_key(|(_, sheet)| sheet.started);
    if own.is_empty() {
        return None;
    }
    let x = |place: usize| STEP * (real(place) + 0.5);
    let share = |sheet: &OverviewSheet, mark: Mark| {
        let max = sheet.marks.as_ref().map_or(1.0, |own| own.max.to_f64());
        (mark.to_f64() / max).clamp(0.0, 1.0)
    };
    let y = |share: f64| HEIGHT - FREE - share * (HEIGHT - 2.0 * FREE);
    let dots: Vec<_> = own
        .iter()
        .enumerate()
        .filter_map(|(place, (_, sheet))| {
            let marks = sheet.marks.as_ref()?;
            let range = marks
                .range
                .and_then(AnotherDay::range)
                .map(|(low, high)| (y(share(sheet, low)), y(share(sheet, high))));
            Some((x(place), y(share(sheet, marks.in_time)), range))
        })
        .collect();
    let line: Vec<_> = dots
        .iter()
        .map(|(x, y, _)| format!("{},{}", n(*x), n(*y)))
        .collect();
    let width = STEP * real(overview.columns.len());
    let said: Vec<_> = own
        .iter()
        .map(|(column, sheet)| (tidy(&words::paper(column)), *sheet))
        .collect();
    let inside = html! {
        @for at in [0.0, 1.0] {
            line class="grid" x1="0" x2=(n(width)) y1=(n(y(at))) y2=(n(y(at))) {}
        }
        @for (x, _, range) in &dots {
            @if let Some((low, high)) = range {
                rect class="range" x=(n(x - HALF)) y=(n(*high)) width=(n(2.0 * HALF)) height=(n((low - high).max(1.0))) {}
            }
        }
        polyline class="plan" points=(line.join(" ")) {}
        @for (x, y, _) in &dots { circle class="dot" cx=(n(*x)) cy=(n(*y)) r="4" {} }
    };
    Some(frame(
        &format!("season-{index}"),
        (width, HEIGHT),
        &words::picture(&row.pupil),
        &words::picture_words(&said),
        &inside,
    ))
}

/// The room of the names, of the bars, and of one row.
const NAMES: f64 = 250.0;
const BARS: f64 = 380.0;
const ROW: f64 = 34.0;
/// The longest name that has room.
const LONGEST: usize = 28;

/// How the sittings of each paper ended, as one bar a paper.
pub(super) fn habit(overview: &Overview) -> Markup {
    let columns = overview.columns.iter().zip(1..);
    let columns: Vec<_> = columns.filter(|(column, _)| column.timed() > 0).collect();
    let legend = ROW * real(words::ENDINGS.len());
    let height = ROW * real(columns.len()) + legend + FREE;
    let most = columns
        .iter()
        .map(|(column, _)| column.timed())
        .max()
        .unwrap_or(1);
    let unit = BARS / real(most.max(1));
    let classes = ["bar-right", "bar-filled", "bar-wrong", "bar-blank"];
    let bars = columns.iter().enumerate().map(|(row, (column, number))| {
        let top = ROW * real(row);
        let mut from = NAMES;
        let parts: Vec<_> = words::ENDINGS
            .iter()
            .zip(classes)
            .filter_map(|((end, _), class)| {
                let count = column.ended(*end);
                let wide = unit * real(count);
                let at = from;
                from += wide;
                (count > 0).then_some((class, at, wide, count))
            })
            .collect();
        html! {
            text x="0" y=(n(top + 23.0)) { (label(&words::name_with_number(*number, column), LONGEST)) }
            @for (class, at, wide, count) in &parts {
                rect class=(*class) x=(n(at + 1.0)) y=(n(top + 6.0)) width=(n(wide - 2.0)) height="22" {}
                text class="middle halo" x=(n(at + wide / 2.0)) y=(n(top + 23.0)) { (count) }
            }
        }
    });
    let bars: Vec<_> = bars.collect();
    let below = ROW * real(columns.len());
    let legend = words::ENDINGS.iter().zip(classes).enumerate();
    let inside = html! {
        @for bar in &bars { (bar) }
        @for (place, ((_, says), class)) in legend {
            rect class=(class) x=(n(NAMES + 1.0)) y=(n(below + ROW * real(place) + 8.0)) width="22" height="22" {}
            text x=(n(NAMES + 32.0)) y=(n(below + ROW * real(place) + 25.0)) { (says) }
        }
    };
    let said: Vec<_> = columns
        .iter()
        .map(|(column, _)| tidy(&words::habit(column)))
        .collect();
    frame(
        "habit-picture",
        (NAMES + BARS, height),
        words::HABIT,
        &said.join(" "),
        &inside,
    )
}
