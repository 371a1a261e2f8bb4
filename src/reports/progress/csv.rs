//! A pupil's season as a table for other programs: a row a sitting.

use std::iter::zip;

use super::json::apart;
use crate::reports::tabular::{CellType, DataCell, DataTable, TableColumn};
use crate::season::progress::{Line, Progress};
use crate::words::columns as words;

/// The table, the earliest sitting first.
pub fn table(progress: &Progress) -> DataTable {
    let columns = zip(words::PROGRESS, TYPES);
    let columns = columns.map(|((name, about), kind)| TableColumn::new(name, kind, about));
    let rows = progress.lines.iter();
    DataTable {
        title: words::PROGRESS_TITLE.to_owned(),
        columns: columns.collect(),
        rows: rows.map(|line| row(progress, line)).collect(),
        key: vec!["sitting".to_owned()],
    }
}

/// What the columns hold.
const TYPES: [CellType; 24] = {
    use CellType::{Day, Mark, Number, Text, Whole, YesNo};
    [
        Text, Text, Day, Text, Text, Whole, Text, YesNo, Number, Mark, Mark, Mark, Mark, Mark,
        Number, Text, Text, Mark, Whole, Whole, Number, Number, Number, Number,
    ]
};

fn row(progress: &Progress, line: &Line) -> Vec<DataCell> {
    let marks = line.marks.as_ref();
    let margin = marks.and_then(|marks| marks.margins.first());
    let habits = line.habits.as_ref();
    let sweep = habits.and_then(|habits| habits.sweep);
    let scale = progress.scale.as_ref();
    let place = scale.and_then(|scale| scale.sittings.get(&line.sitting));
    vec![
        line.sitting.as_str().into(),
        progress.pupil.as_str().into(),
        line.started.date_naive().into(),
        line.paper.as_str().into(),
        line.title.as_str().into(),
        line.asked.into(),
        line.apart.as_ref().map(apart).into(),
        line.conditions.typed_in.into(),
        line.conditions.extra_percent.to_f64().into(),
        marks.map(|marks| marks.in_time).into(),
        marks.map(|marks| marks.with_guess_round).into(),
        marks.map(|marks| marks.worked).into(),
        marks.map(|marks| marks.luck_out).into(),
        marks.map(|marks| marks.max).into(),
        marks.and_then(|marks| marks.error).into(),
        marks.and_then(|marks| marks.award.as_deref()).into(),
        margin.map(|margin| margin.award.as_str()).into(),
        margin.map(|margin| margin.over).into(),
        habits.map(|habits| habits.blanks).into(),
        habits.and_then(|habits| habits.sinks).into(),
        sweep.map(|sweep| sweep.took.as_seconds()).into(),
        place.map(|place| place.worth).into(),
        place.map(|place| place.range.0).into(),
        place.map(|place| place.range.1).into(),
    ]
}
