//! The term as tables.

use std::iter::zip;

use super::OverviewReport;
use crate::domain::event::How;
use crate::domain::header::Alias;
use crate::domain::labels::Label;
use crate::domain::marking::Outcome;
use crate::reports::tabular::{CellType, DataCell, DataTable, TableColumn};
use crate::season::overview::{OverviewAnswer, OverviewSheet, PaperColumn, SheetEnd};
use crate::words::columns::NamedColumn;
use crate::words::overview as words;
use crate::words::step::state;

/// The tables' files.
pub const NAMES: [&str; 6] = [
    "overview-sheets.csv",
    "overview-answers.csv",
    "overview-words.csv",
    "overview-sweep.csv",
    "overview-practice.csv",
    "overview-steps.csv",
];

/// Every table with its file's name.
pub fn tables(report: &OverviewReport) -> Vec<(&'static str, DataTable)> {
    let tables = [
        sheets(report),
        answers(report),
        needs(report),
        habit(report),
        practice(report),
        steps(report),
    ];
    zip(NAMES, tables).collect()
}

/// A table with named columns.
pub(super) fn table(
    title: &str,
    names: &[NamedColumn],
    kinds: &[CellType],
    rows: Vec<Vec<DataCell>>,
    key: &[&str],
) -> DataTable {
    let column =
        |((name, about), kind): (&NamedColumn, &CellType)| TableColumn::new(*name, *kind, *about);
    DataTable {
        title: title.to_owned(),
        columns: zip(names, kinds).map(column).collect(),
        rows,
        key: key.iter().map(|name| (*name).to_owned()).collect(),
    }
}

/// Every sheet with its pupil and its paper.
fn each(report: &OverviewReport) -> impl Iterator<Item = (&Alias, &PaperColumn, &OverviewSheet)> {
    let overview = &report.overview;
    overview.pupils.iter().flat_map(move |row| {
        let columns = overview.columns.iter();
        columns.filter_map(move |column| {
            let sheet = column.sheets.get(&row.pupil)?;
            Some((&row.pupil, column, sheet))
        })
    })
}

fn version(column: &PaperColumn) -> DataCell {
    column.outline.fingerprint.to_string().into()
}

fn sheets(report: &OverviewReport) -> DataTable {
    const KINDS: [CellType; 20] = {
        use CellType::{Day, Mark, Number, Text, Whole, YesNo};
        [
            Text, Text, Text, Text, Whole, Text, Day, Mark, Mark, Mark, Mark, Mark, Text, YesNo,
            Whole, Number, Whole, Number, YesNo, Text,
        ]
    };
    let row = |(pupil, column, sheet): (&Alias, &PaperColumn, &OverviewSheet)| {
        let marks = sheet.marks.as_ref();
        let range = marks.and_then(|own| own.range?.range());
        let sweep = sheet.sweep.as_ref();
        vec![
            pupil.as_str().into(),
            column.outline.id.as_str().into(),
            version(column),
            column.outline.title.as_str().into(),
            column.time.into(),
            sheet.sitting.as_str().into(),
            sheet.day().into(),
            marks.map(|own| own.in_time).into(),
            marks.map(|own| own.with_guess_round).into(),
            marks.map(|own| own.max).into(),
            range.map(|(low, _)| low).into(),
            range.map(|(_, high)| high).into(),
            marks.and_then(|own| own.award.clone()).into(),
            sheet.end.is_none().into(),
            sheet.blanks.len().into(),
            sheet
                .unused
                .map(crate::domain::time::Elapsed::as_seconds)
                .into(),
            sweep.map(|sweep| sweep.filled).into(),
            sweep.map(|sweep| sweep.took.as_seconds()).into(),
            sweep.map(|sweep| sweep.complete).into(),
            sheet.end.map(ended).into(),
        ]
    };
    let rows = each(report).map(row).collect();
    let key = ["pupil", "paper", "version", "time"];
    table(words::SHEETS_TABLE, &words::SHEETS, &KINDS, rows, &key)
}

const fn ended(end: SheetEnd) -> &'static str {
    match end {
        SheetEnd::Swept => "swept",
        SheetEnd::NoBlank => "no_blank",
        SheetEnd::LeftFree => "left_free",
        SheetEnd::Left => "left",
    }
}

fn answers(report: &OverviewReport) -> DataTable {
    const KINDS: [CellType; 9] = {
        use CellType::{Text, Whole};
        [Text, Text, Text, Whole, Whole, Text, Text, Text, Text]
    };
    let label = |label: Option<Label>| label.map(|label| label.to_string());
    let rows = each(report).flat_map(|(pupil, column, sheet)| {
        let row = move |own: &OverviewAnswer| {
            vec![
                pupil.as_str().into(),
                column.outline.id.as_str().into(),
                version(column),
                column.time.into(),
                own.number.0.into(),
                label(own.given).into(),
                own.given.and(own.how).map(How::word).into(),
                own.outcome.map(Outcome::word).into(),
                label(own.late).into(),
            ]
        };
        sheet.answers.iter().map(row)
    });
    let rows = rows.collect();
    let key = ["pupil", "paper", "version", "time", "question"];
    table(words::ANSWERS_TABLE, &words::ANSWERS, &KINDS, rows, &key)
}

fn needs(report: &OverviewReport) -> DataTable {
    const KINDS: [CellType; 5] = {
        use CellType::{Text, Whole, YesNo};
        [Text, Whole, Text, YesNo, Text]
    };
    let overview = &report.overview;
    let rows = overview.words.iter().flat_map(|own| {
        let reasons = own.reasons.iter().zip(1_usize..);
        reasons.filter_map(|(reason, place)| {
            Some(vec![
                own.pupil.as_str().into(),
                place.into(),
                reason.word().into(),
                reason.is_praise().into(),
                words::reason(reason, overview.week?).into(),
            ])
        })
    });
    let rows = rows.collect();
    let key = ["pupil", "place"];
    table(
        words::WORDS_TABLE,
        &words::WORDS_COLUMNS,
        &KINDS,
        rows,
        &key,
    )
}

fn habit(report: &OverviewReport) -> DataTable {
    const KINDS: [CellType; 9] = {
        use CellType::{Text, Whole};
        [Text, Text, Text, Whole, Whole, Whole, Whole, Whole, Whole]
    };
    let row = |column: &PaperColumn| {
        let mut row: Vec<DataCell> = vec![
            column.outline.id.as_str().into(),
            version(column),
            column.outline.title.as_str().into(),
            column.time.into(),
            column.timed().into(),
        ];
        let counts = words::ENDINGS.map(|(end, _)| column.ended(end).into());
        row.extend(counts);
        row
    };
    let rows = report.overview.columns.iter().map(row).collect();
    let key = ["paper", "version", "time"];
    table(
        words::HABIT_TABLE,
        &words::HABIT_COLUMNS,
        &KINDS,
        rows,
        &key,
    )
}

fn practice(report: &OverviewReport) -> DataTable {
    const KINDS: [CellType; 3] = [CellType::Text, CellType::Whole, CellType::Day];
    let pupils = report.overview.pupils.iter();
    let rows = pupils.map(|row| {
        vec![
            row.pupil.as_str().into(),
            row.practice.due.into(),
            row.practice.last.into(),
        ]
    });
    let rows = rows.collect();
    let names = &words::PRACTICE_COLUMNS;
    table(words::PRACTICE_TABLE, names, &KINDS, rows, &["pupil"])
}

fn steps(report: &OverviewReport) -> DataTable {
    const KINDS: [CellType; 7] = {
        use CellType::{Day, Text};
        [Text, Text, Day, Text, Text, Text, Text]
    };
    let rows = report.overview.pupils.iter().flat_map(|row| {
        row.steps.iter().map(|own| {
            vec![
                row.pupil.as_str().into(),
                own.about.sitting.as_str().into(),
                own.agreed.at.date_naive().into(),
                words::step_in_short(own).into(),
                own.state.word().into(),
                own.state.sitting().map(|by| by.sitting.clone()).into(),
                state(&own.state).into(),
            ]
        })
    });
    let (rows, names) = (rows.collect(), &words::STEPS_COLUMNS);
    let key = ["pupil", "sitting"];
    table(words::STEPS_TABLE, names, &KINDS, rows, &key)
}
