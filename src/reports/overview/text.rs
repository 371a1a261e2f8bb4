//! The term as text, 80 columns wide.

use super::{OverviewReport, void};
use crate::domain::header::{Alias, INVENTED};
use crate::domain::rule::QuestionNo;
use crate::reports::text::COLUMNS;
use crate::season::overview::{OverviewSheet, PaperColumn, PupilRow};
use crate::words::overview as words;
use crate::words::text::{Side, columns, cut, fit, hanging, width};
use crate::words::time::day_near;

/// So many papers stand beside each other in the table of marks.
const PAPERS: usize = 5;
/// So many questions stand beside each other, each with the two signs of a guess at the widest.
const QUESTIONS: usize = 13;
/// The most columns of an alias.
const ALIAS: usize = 12;

/// The page.
pub fn page(report: &OverviewReport) -> String {
    let overview = &report.overview;
    let group = report.group.as_deref();
    let heading = words::heading(group, overview.pupils.len(), report.days());
    let mut lines = vec![cut(&heading, COLUMNS)];
    if report.invented {
        lines.extend(hanging("! ", INVENTED, COLUMNS));
    }
    if overview.columns.is_empty() {
        lines.extend(hanging("", words::NOTHING, COLUMNS));
    } else {
        for part in [
            needs(report),
            marks(report),
            pupils(report),
            letters(report),
            habit(report),
        ] {
            lines.push(String::new());
            lines.extend(part);
        }
    }
    lines.push(String::new());
    for said in &report.remarks {
        lines.extend(hanging("! ", said, COLUMNS));
    }
    lines.extend(hanging("- ", words::FOR_THE_TUTOR, COLUMNS));
    lines.join("\n") + "\n"
}

fn needs(report: &OverviewReport) -> Vec<String> {
    let overview = &report.overview;
    let mut lines = vec![words::WORDS.to_owned()];
    let Some(week) = overview.week else {
        return lines;
    };
    lines.extend(hanging("", &words::week(week), COLUMNS));
    for said in report.cautions() {
        lines.extend(hanging("! ", &said, COLUMNS));
    }
    if overview.words.is_empty() {
        lines.push(words::NOBODY.to_owned());
        return lines;
    }
    for own in &overview.words {
        lines.push(words::name(own));
        for reason in &own.reasons {
            lines.extend(hanging("  - ", &words::reason(reason, week), COLUMNS));
        }
    }
    lines.extend(hanging("", words::HOW_CHOSEN, COLUMNS));
    lines
}

fn alias(pupil: &Alias) -> String {
    cut(pupil.as_str(), ALIAS)
}

/// Everybody's marks, five papers beside each other.
fn marks(report: &OverviewReport) -> Vec<String> {
    let overview = &report.overview;
    let mut lines = vec![words::MARKS.to_owned()];
    for (index, column) in overview.columns.iter().enumerate() {
        let name = format!(
            "{} {}",
            words::short_paper(index + 1),
            words::letters_of(column)
        );
        lines.extend(hanging("  ", &name, COLUMNS));
    }
    for (place, part) in overview.columns.chunks(PAPERS).enumerate() {
        let heads = (place * PAPERS + 1..).take(part.len());
        let heads = heads.map(words::short_paper);
        let mut rows = vec![[words::PUPIL.to_owned()].into_iter().chain(heads).collect()];
        rows.extend(overview.pupils.iter().map(|row| {
            let marks = part.iter().map(|column| {
                let sheet = column.sheets.get(&row.pupil);
                sheet.map_or_else(|| words::NONE.to_owned(), words::mark)
            });
            [alias(&row.pupil)].into_iter().chain(marks).collect()
        }));
        let sides: Vec<_> = [Side::Left]
            .into_iter()
            .chain(part.iter().map(|_| Side::Right))
            .collect();
        lines.push(String::new());
        lines.extend(columns(&sides, &rows));
    }
    lines
}

/// Every pupil's sittings, a line each.
fn pupils(report: &OverviewReport) -> Vec<String> {
    let mut rows = vec![
        [
            words::DATE,
            words::PAPER,
            words::IN_TIME,
            words::RANGE,
            words::AWARD,
            words::BLANK,
            words::UNUSED,
            words::SWEPT,
        ]
        .map(str::to_owned)
        .to_vec(),
    ];
    let mut heads = Vec::new();
    for row in &report.overview.pupils {
        heads.push((rows.len(), row));
        rows.extend(sheets(report, row).map(|(place, sheet)| sitting(report, place, sheet)));
    }
    let [left, right] = [Side::Left, Side::Right];
    let sides = [left, left, right, right, left, right, right, right];
    let table = columns(&sides, &rows);
    let mut lines = vec![words::PUPIL_BY_PUPIL.to_owned()];
    let mut heads = heads.into_iter().peekable();
    for (index, line) in table.into_iter().enumerate() {
        while let Some((_, row)) = heads.next_if(|(at, _)| *at == index) {
            lines.extend(about(report, row));
        }
        lines.push(format!("  {line}").trim_end().to_owned());
    }
    lines.extend(heads.flat_map(|(_, row)| about(report, row)));
    lines.push(String::new());
    for note in [words::MARKS_NOTE, words::ENDS_NOTE] {
        lines.extend(hanging("- ", note, COLUMNS));
    }
    lines
}

fn about(report: &OverviewReport, row: &PupilRow) -> Vec<String> {
    let practice = words::practice(&row.practice, report.near());
    let name = format!("{} ({}: {practice})", row.pupil, words::PRACTICE);
    let mut lines = vec![cut(&name, COLUMNS)];
    if let Some(step) = words::step(row) {
        lines.extend(hanging("  ", &step, COLUMNS));
    }
    lines
}

/// A pupil's sheets in order, each with the place of its paper.
fn sheets<'a>(
    report: &'a OverviewReport,
    row: &'a PupilRow,
) -> impl Iterator<Item = (usize, &'a OverviewSheet)> {
    let columns = (1..).zip(&report.overview.columns);
    let mut own: Vec<_> = columns
        .filter_map(|(place, column)| Some((place, column.sheets.get(&row.pupil)?)))
        .collect();
    own.sort_by_key(|(_, sheet)| sheet.started);
    own.into_iter()
}

fn sitting(report: &OverviewReport, place: usize, sheet: &OverviewSheet) -> Vec<String> {
    vec![
        day_near(sheet.day(), report.near()),
        words::short_paper(place),
        words::mark(sheet),
        words::range(sheet),
        cut(&words::award(sheet), 10),
        sheet.blanks.len().to_string(),
        words::unused(sheet.unused),
        words::swept(sheet),
    ]
}

/// Every pupil's letters on each paper.
fn letters(report: &OverviewReport) -> Vec<String> {
    let mut lines = Vec::new();
    for column in &report.overview.columns {
        lines.extend(hanging("", &words::letters(column), COLUMNS));
        lines.extend(words::void(&void(column)));
        let numbers: Vec<_> = column.outline.numbers().collect();
        for part in numbers.chunks(QUESTIONS) {
            lines.extend(letters_of(report, column, part));
            lines.push(String::new());
        }
    }
    lines.extend(hanging("- ", &words::letters_note(), COLUMNS));
    lines
}

fn letters_of(report: &OverviewReport, column: &PaperColumn, part: &[QuestionNo]) -> Vec<String> {
    let head = part.iter().map(ToString::to_string);
    let mut rows = vec![row(String::new(), head)];
    if let Some(key) = &column.key {
        let accepted = part.iter();
        let accepted = accepted.map(|number| words::accepted(key, &column.outline, *number));
        rows.push(row(words::KEY.to_owned(), accepted));
    }
    for pupil in &report.overview.pupils {
        let Some(sheet) = column.sheets.get(&pupil.pupil) else {
            continue;
        };
        let letters = part.iter().map(|number| {
            let answer = sheet.answer(*number);
            let how = answer.and_then(words::how).unwrap_or_default();
            format!("{}{how}", words::letter(answer))
        });
        rows.push(row(alias(&pupil.pupil), letters));
    }
    if part.iter().any(|number| column.right(*number).is_some()) {
        let right = part.iter().map(|number| {
            let right = column.right(*number);
            right.map_or_else(String::new, |right| right.to_string())
        });
        rows.push(row(words::RIGHT.to_owned(), right));
    }
    close(&rows)
}

fn row(first: String, rest: impl Iterator<Item = String>) -> Vec<String> {
    [first].into_iter().chain(rest).collect()
}

/// Rows with one space between the columns, the first of them to the left.
fn close(rows: &[Vec<String>]) -> Vec<String> {
    let widest = |index: usize| {
        let cells = rows.iter().filter_map(|row| row.get(index));
        cells.map(|cell| width(cell)).max().unwrap_or(0)
    };
    let line = |row: &Vec<String>| {
        let cells = row.iter().enumerate();
        let cells = cells.map(|(index, cell)| fit(cell, widest(index)));
        cells.collect::<Vec<_>>().join(" ").trim_end().to_owned()
    };
    rows.iter().map(line).collect()
}

/// How the sittings of each paper ended.
fn habit(report: &OverviewReport) -> Vec<String> {
    let heads = [words::PAPER.to_owned()].into_iter();
    let mut rows: Vec<Vec<String>> = vec![
        heads
            .chain(words::SHORT_ENDINGS.map(str::to_owned))
            .collect(),
    ];
    rows.extend((1..).zip(&report.overview.columns).map(|(place, column)| {
        let counts = words::ENDINGS.map(|(end, _)| column.ended(end).to_string());
        let name = words::short_paper(place);
        [name].into_iter().chain(counts).collect()
    }));
    let [left, right] = [Side::Left, Side::Right];
    let mut lines = vec![words::HABIT.to_owned()];
    lines.extend(columns(&[left, right, right, right, right], &rows));
    for note in [words::SHORT_ENDINGS_NOTE, words::HABIT_NOTE] {
        lines.extend(hanging("- ", note, COLUMNS));
    }
    lines
}
