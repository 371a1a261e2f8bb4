//! Several sittings' marks as a table, a line each.

pub mod csv;

use super::Report;
use super::notices::first_of_all;
use crate::domain::header::INVENTED;
use crate::reports::text::COLUMNS;
use crate::words::marks::under_column;
use crate::words::notices::last_of_all;
use crate::words::numbers::plain;
use crate::words::text::{Side, columns, cut, hanging};
use crate::words::time::{day, time_of_day};

/// The table, with what has to be said of single sittings below it.
pub fn table(reports: &[Report]) -> String {
    let Some(first) = reports.first() else {
        return String::new();
    };
    let under = first.under.as_ref();
    let mut lines = vec![cut(&first.own.outline.title, COLUMNS), String::new()];
    let mut heads = vec![
        "Pupil",
        "Date",
        "In time",
        "With guesses",
        "Worked",
        "Of",
        "Award",
    ];
    if under.is_some() {
        heads.extend(["Under", "Of"]);
    }
    let mut rows = vec![heads.into_iter().map(String::from).collect::<Vec<_>>()];
    rows.extend(reports.iter().map(row));
    let [left, right] = [Side::Left, Side::Right];
    let sides = [left, left, right, right, right, right, left, right, right];
    lines.extend(columns(&sides, &rows));
    lines.push(String::new());
    if let Some(under) = under {
        lines.extend(hanging("", &under_column(&under.outline), COLUMNS));
    }
    // Said once where it is true of all.
    let all_invented = reports.iter().all(is_invented);
    if all_invented {
        lines.extend(hanging("! ", INVENTED, COLUMNS));
    }
    for report in reports {
        let own = first_of_all(report).into_iter();
        for notice in own.filter(|notice| !all_invented || notice != INVENTED) {
            lines.extend(hanging(
                "! ",
                &format!("{}: {notice}", name(report)),
                COLUMNS,
            ));
        }
    }
    for notice in last_of_all(&first.own.outline, first.today) {
        lines.extend(hanging("- ", &notice, COLUMNS));
    }
    lines.join("\n") + "\n"
}

fn is_invented(report: &Report) -> bool {
    report.subject.sitting().header().invented
}

fn name(report: &Report) -> String {
    let header = report.subject.sitting().header();
    let started = header.started;
    format!(
        "{}, {} {}",
        header.pupil,
        day(started.date_naive()),
        time_of_day(started)
    )
}

fn row(report: &Report) -> Vec<String> {
    let header = report.subject.sitting().header();
    let marks = &report.own.marks;
    let award = report.own.marks.best_in_time();
    let mut row = vec![
        cut(header.pupil.as_str(), 14),
        day(header.started.date_naive()),
        plain(marks.in_time.total),
        plain(marks.with_guess_round.total),
        plain(marks.worked.total),
        plain(marks.with_guess_round.max),
        award.map_or_else(|| "-".into(), |award| cut(&award.name, 10)),
    ];
    if let Some(under) = &report.under {
        row.push(plain(under.marks.in_time.total));
        row.push(plain(under.marks.with_guess_round.max));
    }
    row
}
