//! The term line by line: no table, no sign, no column, each line a sentence of its own.

use super::OverviewReport;
use crate::domain::header::INVENTED;
use crate::words::aloud::questions_aloud;
use crate::words::overview as words;

/// The lines.
pub fn lines(report: &OverviewReport) -> Vec<String> {
    let overview = &report.overview;
    let group = report.group.as_deref();
    let heading = words::heading(group, overview.pupils.len(), report.days());
    let mut lines = vec![format!("{heading}.")];
    lines.extend(report.invented.then(|| INVENTED.to_owned()));
    let Some(week) = overview.week else {
        lines.push(words::NOTHING.to_owned());
        return lines;
    };
    lines.push(format!("{}:", words::WORDS));
    lines.push(words::week(week));
    lines.extend(report.cautions());
    if overview.words.is_empty() {
        lines.push(words::NOBODY.to_owned());
    }
    for own in &overview.words {
        lines.push(format!("{}:", words::name(own)));
        let reasons = own.reasons.iter();
        lines.extend(reasons.map(|reason| questions_aloud(&words::reason(reason, week))));
    }
    for row in &overview.pupils {
        lines.push(format!("{}:", row.pupil));
        for column in &overview.columns {
            let sheet = column.sheets.get(&row.pupil);
            lines.extend(sheet.map(|sheet| words::sheet_aloud(column, sheet)));
        }
        lines.push(words::practice_aloud(&row.practice, week.to));
        lines.extend(words::step(row).map(|step| format!("{step}.")));
    }
    for column in &overview.columns {
        lines.push(words::habit(column));
        let numbers = column.outline.numbers();
        lines.extend(numbers.map(|number| words::question_aloud(column, number)));
    }
    lines.extend(report.remarks.iter().cloned());
    lines.push(words::FOR_THE_TUTOR.to_owned());
    lines
}
