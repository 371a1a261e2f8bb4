//! A pupil's sittings on one scale, as a table.

use super::COLUMNS;
use crate::season::progress::{Line, OnScale, Progress};
use crate::words::numbers::signed;
use crate::words::progress as words;
use crate::words::sign::APART;
use crate::words::text::{Side, columns, cut_start, hanging};
use crate::words::time::table_day;

/// The table of the sittings on the scale, and what it rests on; nothing where nothing is marked.
pub(super) fn block(progress: &Progress) -> Vec<String> {
    let Some(scale) = &progress.scale else {
        return Vec::new();
    };
    let heads = ["Date", "Paper", "Worth", "8 in 10", "Measure", "Error", ""];
    let mut rows = vec![heads.map(String::from).to_vec()];
    rows.extend(progress.lines.iter().filter_map(|line| {
        let place = scale.sittings.get(&line.sitting)?;
        let (low, high) = place.range;
        Some(vec![
            table_day(line.started.date_naive()),
            cut_start(&line.paper, 30),
            format!("{:.0}", place.worth),
            format!("{low:.0} to {high:.0}"),
            signed(place.measure.value, 2),
            format!("{:.2}", place.measure.error),
            line.apart
                .as_ref()
                .map_or_else(String::new, |_| APART.to_owned()),
        ])
    }));
    let mut lines = Vec::new();
    if rows.len() > 1 {
        lines.extend(hanging("", &words::scale_heading(scale), COLUMNS));
        let [left, right] = [Side::Left, Side::Right];
        let table = columns(&[left, left, right, right, right, right, left], &rows);
        lines.extend(table.iter().map(|line| format!("  {line}")));
    }
    lines.extend(hanging("  ", &words::scale_note(scale), COLUMNS));
    if progress.lines.iter().any(|line| is_outside(line, scale)) {
        lines.extend(hanging("  ", words::WORTH_OUTSIDE, COLUMNS));
    }
    for shift in &scale.shifts {
        lines.extend(hanging(
            "  ",
            &words::shift(shift, &scale.reference),
            COLUMNS,
        ));
    }
    lines
}

/// Whether a mark on the paper that marks are said on lies outside the range of what it is worth.
fn is_outside(line: &Line, scale: &OnScale) -> bool {
    let place = scale.sittings.get(&line.sitting);
    let both = place.zip(line.marks.as_ref());
    both.is_some_and(|(place, marks)| {
        let worked = marks.worked.to_f64().round();
        let (low, high) = (place.range.0.round(), place.range.1.round());
        line.paper == scale.reference && !(low..=high).contains(&worked)
    })
}
