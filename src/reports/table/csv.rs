//! Sittings' marks as a table for other programs: a row a sitting, with every answer.

use std::iter::zip;

use crate::domain::marking::Marked;
use crate::domain::rule::QuestionNo;
use crate::domain::standing::Exclusion;
use crate::reports::Report;
use crate::reports::tabular::{CellType, DataCell, DataTable, TableColumn};
use crate::words::columns as words;

/// The table, in the order of the reports; columns of questions go as far as the longest paper.
pub fn table(reports: &[Report]) -> DataTable {
    let most = reports.iter().map(|report| report.own.outline.questions);
    let numbers: Vec<_> = (1..=most.max().unwrap_or(0)).map(QuestionNo).collect();
    let under = reports.iter().any(|report| report.under.is_some());
    let column =
        |((name, about), kind): (&(&str, &str), CellType)| TableColumn::new(*name, kind, *about);
    let mut columns: Vec<_> = zip(&words::MARK, TYPES).map(column).collect();
    if under {
        columns.extend(zip(&words::MARK_UNDER, [CellType::Mark; 2]).map(column));
    }
    for number in &numbers {
        let (name, about) = words::answer(number);
        columns.push(TableColumn::new(name, CellType::Text, about));
        let (name, about) = words::marks_for(number);
        columns.push(TableColumn::new(name, CellType::Mark, about));
    }
    let rows = reports.iter().map(|report| row(report, under, &numbers));
    DataTable {
        title: words::MARK_TITLE.to_owned(),
        columns,
        rows: rows.collect(),
        key: vec!["sitting".to_owned()],
    }
}

/// What the columns of every sitting hold.
const TYPES: [CellType; 21] = {
    use CellType::{Day, Mark, Number, Text, Whole, YesNo};
    [
        Text, Text, Day, Text, Text, YesNo, YesNo, YesNo, Text, Mark, Mark, Mark, Mark, Text,
        Whole, Whole, Whole, Whole, Whole, Number, Number,
    ]
};

fn row(report: &Report, under: bool, numbers: &[QuestionNo]) -> Vec<DataCell> {
    let header = report.subject.analysis.header();
    let barred = report.subject.barred();
    let marks = &report.own.marks;
    let in_time = &marks.in_time;
    let count = |of: fn(&crate::domain::marking::SectionMark) -> usize| {
        in_time.sections.iter().map(of).sum::<usize>()
    };
    let mut row: Vec<DataCell> = vec![
        header.sitting.as_str().into(),
        header.pupil.as_str().into(),
        header.started.date_naive().into(),
        header.paper.id.as_str().into(),
        header.paper.title.as_str().into(),
        (!report.subject.analysis.is_timed()).into(),
        header.invented.into(),
        barred.is_none().into(),
        barred.map(Exclusion::word).into(),
        in_time.total.into(),
        marks.with_guess_round.total.into(),
        marks.worked.total.into(),
        in_time.max.into(),
        marks.best_in_time().map(|award| award.name.as_str()).into(),
        count(|section| section.right).into(),
        count(|section| section.wrong).into(),
        count(|section| section.blank).into(),
        count(|section| section.void).into(),
        marks.luck.guesses.into(),
        marks.luck.expected.into(),
        header.arrangements.extra_percent.to_f64().into(),
    ];
    if under {
        let other = report.under.as_ref().map(|other| &other.marks.in_time);
        row.push(other.map(|other| other.total).into());
        row.push(other.map(|other| other.max).into());
    }
    row.extend(numbers.iter().flat_map(|number| question(in_time, *number)));
    row
}

fn question(in_time: &Marked, number: QuestionNo) -> [DataCell; 2] {
    let own = in_time
        .questions
        .iter()
        .find(|own| own.answer.number == number);
    let given = own.and_then(|own| own.answer.given);
    [
        given.map(|label| label.to_string()).into(),
        own.map(|own| own.marks).into(),
    ]
}
