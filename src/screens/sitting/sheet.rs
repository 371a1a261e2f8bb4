//! The answer sheet, as on paper: a row a question, its letters, the chosen one filled in.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::style::Style;
use ratatui::text::{Line, Span};
use ratatui::widgets::Widget;

use super::desk::Desk;
use super::model::Model;
use crate::domain::labels::Labels;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Phase, Row, RowState};
use crate::words::count::counted;
use crate::words::sign::{HOW_WIDTH, Sign, how_cell, mark_or_blank};
use crate::words::text;

/// More options than this are not written out in a row.
const MOST_WRITTEN_OUT: usize = 6;

/// The columns of the chosen letter in its brackets.
const CHOSEN: usize = 3;

/// How much of a row there is room for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Detail {
    /// Every option, the chosen one filled in.
    EveryOption,
    /// The chosen option.
    ChosenOnly,
}

/// The widths that all rows of a sheet share.
#[derive(Clone, Copy)]
struct Columns {
    number: usize,
    options: usize,
    detail: Detail,
}

impl Columns {
    fn of(paper: &Outline, questions: &[QuestionNo], detail: Detail) -> Self {
        let number = questions.last().map_or(2, |last| last.to_string().len());
        let each = questions
            .iter()
            .map(|question| options_width(paper.labels(*question)));
        let options = match detail {
            Detail::EveryOption => each.max().unwrap_or(0),
            Detail::ChosenOnly => CHOSEN,
        };
        Self {
            number: number.max(2),
            options,
            detail,
        }
    }

    /// `>`, number, state, options, how, flag, unsaved, and the spaces between.
    const fn width(self) -> usize {
        let state = match self.detail {
            Detail::EveryOption => 2,
            Detail::ChosenOnly => 0,
        };
        1 + self.number + state + 1 + self.options + 1 + HOW_WIDTH + 1 + 1
    }
}

fn options_width(labels: &Labels) -> usize {
    if labels.len() > MOST_WRITTEN_OUT {
        CHOSEN + 1 + labels.range().len()
    } else {
        3 * labels.len()
    }
}

/// How wide one column of the sheet of these questions is.
pub(super) fn width(paper: &Outline, questions: &[QuestionNo], detail: Detail) -> u16 {
    let columns = Columns::of(paper, questions, detail);
    u16::try_from(columns.width()).unwrap_or(u16::MAX / 4)
}

/// The questions on the sheet: all, and after time those without an answer in time.
pub(super) fn questions(desk: &Desk<'_>) -> Vec<QuestionNo> {
    if desk.sitting.phase() == Phase::GuessRound {
        desk.scene().questions()
    } else {
        desk.sitting.rows().iter().map(|row| row.number).collect()
    }
}

/// Which rows show, and where: scrolled so that the open question's row is one of them.
struct Window {
    questions: Vec<QuestionNo>,
    top: usize,
    /// Rows in a column.
    height: u16,
    columns: u16,
    /// The line of the first row, below the heading and what is out of sight above.
    first_line: u16,
    area: Rect,
}

impl Window {
    fn of(desk: &Desk<'_>, columns: u16, area: Rect) -> Self {
        let questions = questions(desk);
        let height = area.height.saturating_sub(1);
        let all_fit = questions.len() <= usize::from(height) * usize::from(columns);
        let (first_line, height) = if all_fit || height < 3 {
            (1, height)
        } else {
            (2, height - 2)
        };
        let visible = usize::from(height) * usize::from(columns);
        let here = desk.current();
        let here = here.and_then(|open| questions.iter().position(|question| *question == open));
        let top = here
            .unwrap_or(0)
            .saturating_sub(visible / 2)
            .min(questions.len().saturating_sub(visible));
        Self {
            questions,
            top,
            height,
            columns,
            first_line,
            area,
        }
    }

    fn visible(&self) -> usize {
        usize::from(self.height) * usize::from(self.columns)
    }

    fn line_at(&self, offset: u16) -> Rect {
        Rect {
            y: self.area.y.saturating_add(offset),
            height: 1.min(self.area.height.saturating_sub(offset)),
            ..self.area
        }
    }

    /// The place of the row at this index of those that show.
    fn place(&self, index: usize) -> Rect {
        let step = self.area.width / self.columns.max(1);
        let index = u16::try_from(index).unwrap_or(u16::MAX);
        let height = self.height.max(1);
        let (column, line) = (index / height, index % height);
        let place = Rect {
            x: self.area.x + column * step,
            width: step.saturating_sub(1),
            ..self.line_at(self.first_line + line)
        };
        place.intersection(self.area)
    }

    fn open_row(&self, desk: &Desk<'_>) -> Option<Position> {
        let open = desk.current()?;
        let here = self.questions.iter().position(|own| *own == open)?;
        let place = self.place(here.checked_sub(self.top)?);
        (!place.is_empty()).then(|| place.as_position())
    }
}

/// Draws the sheet in so many columns, and gives where the open question's row is.
pub(super) fn draw(
    model: &Model,
    desk: &Desk<'_>,
    (detail, columns): (Detail, u16),
    area: Rect,
    buf: &mut Buffer,
) -> Option<Position> {
    let window = Window::of(desk, columns, area);
    let columns_of = Columns::of(&desk.sitting.header().paper, &window.questions, detail);
    let rows: Vec<&Row> = window
        .questions
        .iter()
        .filter_map(|question| desk.sitting.row(*question))
        .collect();
    heading(desk, &rows, area.width).render(window.line_at(0), buf);
    let (top, visible) = (window.top, window.visible());
    if window.first_line == 2 {
        let above = rows.get(..top).unwrap_or_default();
        let below = rows.get(top + visible..).unwrap_or_default();
        hidden('^', above, area.width).render(window.line_at(1), buf);
        hidden('v', below, area.width).render(window.line_at(window.height + 2), buf);
    }
    for (index, row) in rows.iter().skip(top).take(visible).enumerate() {
        row_line(desk, row, state_of(model, desk, row), columns_of)
            .render(window.place(index), buf);
    }
    window.open_row(desk)
}

/// How many are blank and how many have a flag.
fn heading(desk: &Desk<'_>, rows: &[&Row], width: u16) -> Line<'static> {
    let blank = rows.iter().filter(|row| row.standing().is_none()).count();
    let flags = rows.iter().filter(|row| row.flagged).count();
    let blanks = format!("{blank} blank");
    let heading = match flags {
        0 => blanks,
        flags => format!("{blanks}, {}", counted(flags, "flag")),
    };
    let width = usize::from(width.saturating_sub(1));
    Line::styled(text::cut(&heading, width), desk.theme.heading)
}

/// What is out of sight on one side.
fn hidden(arrow: char, rows: &[&Row], width: u16) -> Line<'static> {
    if rows.is_empty() {
        return Line::default();
    }
    let blank = rows.iter().filter(|row| row.standing().is_none()).count();
    let more = format!("{arrow} {} more", rows.len());
    let whole = format!("{more}, {blank} blank");
    let fits = text::width(&whole) < usize::from(width);
    Line::raw(if fits { whole } else { more })
}

/// The row's state; what was opened only in the guess round has been seen as well.
pub(super) fn state_of(model: &Model, desk: &Desk<'_>, row: &Row) -> RowState {
    let open = desk.current() == Some(row.number);
    match row.state() {
        RowState::NotSeen if open || model.looked.contains(&row.number) => RowState::Seen,
        state => state,
    }
}

/// A row's letters and their styles. What has no style goes in one piece: a page draws some hundred of them at each key,
/// and pieces cost more than letters.
#[derive(Default)]
struct RowPieces {
    done: Vec<Span<'static>>,
    plain: String,
    columns: usize,
}

impl RowPieces {
    fn put(&mut self, letters: &str, style: Style) {
        self.columns += text::width(letters);
        if style == Style::new() {
            self.plain.push_str(letters);
        } else {
            self.end_plain();
            self.done.push(Span::styled(letters.to_owned(), style));
        }
    }

    fn plain(&mut self, letters: &str) {
        self.put(letters, Style::new());
    }

    fn blanks(&mut self, columns: usize) {
        self.plain(&" ".repeat(columns));
    }

    fn end_plain(&mut self) {
        if !self.plain.is_empty() {
            self.done.push(Span::raw(std::mem::take(&mut self.plain)));
        }
    }

    fn line(mut self) -> Line<'static> {
        self.end_plain();
        Line::from(self.done)
    }
}

fn row_line(desk: &Desk<'_>, row: &Row, state: RowState, columns: Columns) -> Line<'static> {
    let theme = desk.theme;
    let open = desk.current() == Some(row.number);
    let given = row.standing();
    let width = columns.number;
    let mut pieces = RowPieces::default();
    pieces.plain(&format!(
        "{}{:>width$} ",
        Sign::Open.if_so(open),
        row.number.0
    ));
    let state = mark_or_blank(Sign::of_row(state));
    match (columns.detail, given) {
        (Detail::EveryOption, _) => {
            pieces.plain(&format!("{state} "));
            options(desk, row, columns, &mut pieces);
        }
        (Detail::ChosenOnly, Some(given)) => {
            pieces.put(&format!("[{}]", given.option), theme.filled);
        }
        (Detail::ChosenOnly, None) => pieces.plain(&format!(" {state} ")),
    }
    let how = given.map(|given| given.how);
    let style = match how.and_then(Sign::of_answer) {
        Some(_) => theme.notice,
        None => Style::new(),
    };
    pieces.plain(" ");
    pieces.put(&how_cell(how), style);
    put_sign(row.flagged.then_some(Sign::Flag), theme.flag, &mut pieces);
    let unsaved = desk.is_unsaved(row.number);
    put_sign(unsaved.then_some(Sign::Unsaved), theme.notice, &mut pieces);
    let line = pieces.line();
    if open { line.style(theme.chosen) } else { line }
}

/// A sign in its style, or as much room: a tint under no sign would say something by colour alone.
fn put_sign(sign: Option<Sign>, style: Style, pieces: &mut RowPieces) {
    let style = if sign.is_none() { Style::new() } else { style };
    pieces.put(mark_or_blank(sign), style);
}

fn options(desk: &Desk<'_>, row: &Row, columns: Columns, pieces: &mut RowPieces) {
    let labels = desk.sitting.header().paper.labels(row.number);
    let chosen = row.standing().map(|given| given.option);
    let begun = pieces.columns;
    let filled = desk.theme.filled;
    if labels.len() > MOST_WRITTEN_OUT {
        match chosen {
            Some(option) => pieces.put(&format!("[{option}]"), filled),
            None => pieces.blanks(CHOSEN),
        }
        pieces.plain(&format!(" {}", labels.range()));
    } else {
        for label in labels.iter() {
            if chosen == Some(label) {
                pieces.put(&format!("[{label}]"), filled);
            } else if row.crossed.contains(&label) {
                pieces.blanks(CHOSEN);
            } else {
                pieces.plain(&format!(" {label} "));
            }
        }
    }
    let taken = pieces.columns - begun;
    pieces.blanks(columns.options.saturating_sub(taken));
}
