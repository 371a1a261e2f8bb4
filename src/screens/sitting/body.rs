//! The answer sheet beside the open question, and how the two share the width.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::widgets::{Block, Borders, Widget};

use super::desk::Desk;
use super::layout::{ScrollRange, draw_lines};
use super::model::Model;
use super::question;
use super::sheet::{self, Detail};

/// The least that a question on the screen is given, where the sheet could have more columns.
const ROOM_FOR_QUESTION: u16 = 50;
/// The same where the paper is printed.
const ROOM_FOR_HINT: u16 = 24;

/// Where the sheet and the question go.
struct Spread {
    detail: Detail,
    columns: u16,
    sheet: Rect,
    question: Rect,
}

impl Spread {
    /// As much sheet as helps: more columns while rows are out of sight, less where a figure needs
    /// the width, since a figure cannot be wrapped.
    ///
    /// The paper decides how many columns, not the question, so that the sheet stays where it is.
    fn of(desk: &Desk<'_>, body: Rect) -> Self {
        let figure = question::figure_width(desk);
        let least = if desk.scene().is_read_here() {
            ROOM_FOR_QUESTION
        } else {
            ROOM_FOR_HINT
        };
        let widest = question::widest_figure(desk);
        let questions = u16::try_from(desk.scene().questions().len()).unwrap_or(u16::MAX);
        let rows = body.height.saturating_sub(1).max(1);
        let full = sheet::width(desk, Detail::EveryOption);
        let narrow = sheet::width(desk, Detail::ChosenOnly);
        let most = (body.width.saturating_sub(least.max(widest)) / (full + 1)).max(1);
        let columns = questions.div_ceil(rows).clamp(1, most);
        let fits = |sheet: u16| figure + sheet < body.width;
        let (detail, columns, taken) = if fits(columns * (full + 1)) {
            (Detail::EveryOption, columns, columns * (full + 1))
        } else if fits(narrow + 1) {
            (Detail::ChosenOnly, 1, narrow + 1)
        } else {
            (Detail::ChosenOnly, 0, 0)
        };
        let taken = taken.min(body.width);
        Self {
            detail,
            columns,
            sheet: Rect {
                width: taken,
                ..body
            },
            question: Rect {
                x: body.x.saturating_add(taken),
                width: body.width.saturating_sub(taken),
                ..body
            },
        }
    }

    /// The question's place without the line that parts it from the sheet.
    fn pane(&self) -> Rect {
        if self.columns == 0 {
            return self.question;
        }
        Block::new()
            .borders(Borders::LEFT)
            .inner(self.question)
            .intersection(self.question)
    }
}

pub(super) fn draw(model: &Model, desk: &Desk<'_>, body: Rect, buf: &mut Buffer) {
    let spread = Spread::of(desk, body);
    if spread.columns > 0 {
        let how = (spread.detail, spread.columns);
        sheet::draw(model, desk, how, spread.sheet, buf);
        Block::new()
            .borders(Borders::LEFT)
            .render(spread.question, buf);
    }
    let parts = question::QuestionParts::of(spread.pane());
    question::head(desk, parts.head, buf);
    let lines = question::lines(desk, parts.words);
    draw_lines(&lines, model.top(desk), desk.theme, parts.words, buf);
    question::answer(desk, parts.answer, buf);
}

/// How far the open question can be scrolled.
pub(super) fn scroll_range(desk: &Desk<'_>, body: Rect) -> ScrollRange {
    let parts = question::QuestionParts::of(Spread::of(desk, body).pane());
    let lines = question::lines(desk, parts.words).len();
    ScrollRange::new(lines, parts.words.height)
}
