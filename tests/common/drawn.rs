//! A page as a person sees it: its text, a line for each row of the window.

use pacebell::screens::kit::{Frame, Page};
use pacebell::screens::theme::Theme;
use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::{Position, Rect, Size};
use ratatui::widgets::Widget as _;

pub(crate) fn drawn(page: &impl Page, size: Size) -> String {
    let theme = Theme::plain();
    let mut buffer = Buffer::empty(Rect::from((Position::ORIGIN, size)));
    Frame { page, theme }.render(buffer.area, &mut buffer);
    let columns = usize::from(size.width).max(1);
    let line = |cells: &[Cell]| {
        let line: String = cells.iter().map(Cell::symbol).collect();
        line.trim_end().to_owned() + "\n"
    };
    buffer.content.chunks(columns).map(line).collect()
}
