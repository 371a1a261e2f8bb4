//! All questions at a glance: states and letters in rows, as on an answer sheet.

use ratatui::text::{Line, Span};

use super::desk::Desk;
use super::model::Model;
use super::sheet;
use crate::domain::sitting::Row;
use crate::words::sign::{GLANCE, HOW_WIDTH, Sign, how_cell, legend, mark_or_blank};
use crate::words::sitting::page as words;
use crate::words::text;

/// Questions to a row, where there is room: as on an answer sheet, fives make a number easy to find.
const FIVE: usize = 5;

/// The lines of the page.
pub(super) fn lines(model: &Model, desk: &Desk<'_>, width: usize) -> Vec<Line<'static>> {
    let rows = desk.sitting.rows();
    let number = rows
        .last()
        .map_or(2, |row| row.number.to_string().len())
        .max(2);
    // `>`, number, letter or state, how, flag, and blanks between.
    let cell = 1 + number + 1 + 1 + HOW_WIDTH + 1 + 2;
    let to_a_row = match width / cell {
        0..FIVE => (width / cell).max(1),
        fit => fit / FIVE * FIVE,
    };
    let blank = rows.iter().filter(|row| row.standing().is_none()).count();
    let flags = desk.sitting.flags().count();
    let mut lines = vec![
        Line::styled(words::all_questions(blank, flags), desk.theme.heading),
        Line::default(),
    ];
    lines.extend(rows.chunks(to_a_row).map(|row| {
        let mut line = Line::default();
        for question in row {
            let span = one(model, desk, question, number);
            line.push_span(span);
            line.push_span(Span::raw("  "));
        }
        line
    }));
    lines.push(Line::default());
    lines.push(Line::raw(words::LETTER_IS_ANSWER));
    let legend = text::wrap(&legend(&GLANCE), width);
    lines.extend(legend.into_iter().map(Line::raw));
    lines
}

fn one(model: &Model, desk: &Desk<'_>, row: &Row, number: usize) -> Span<'static> {
    let open = desk.current() == Some(row.number);
    let given = row.standing();
    let state = mark_or_blank(Sign::of_row(sheet::state_of(model, desk, row)));
    let shown = given.map_or_else(|| state.to_owned(), |given| given.option.to_string());
    let text = format!(
        "{}{:>number$} {shown}{}{}",
        Sign::Open.if_so(open),
        row.number.0,
        how_cell(given.map(|given| given.how)),
        Sign::Flag.if_so(row.flagged),
    );
    let style = match (open, given) {
        (true, _) => desk.theme.chosen,
        (false, Some(_)) => desk.theme.filled,
        (false, None) => ratatui::style::Style::new(),
    };
    Span::styled(text, style)
}
