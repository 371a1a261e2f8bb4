//! How a page is divided, and lines that may be more than fit.

use crate::words::sitting::page as words;
use crate::words::text;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Text};
use ratatui::widgets::Widget;

use crate::screens::theme::Theme;

/// How far what scrolls can be scrolled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct ScrollRange {
    /// Lines shown at a time.
    pub(super) page: usize,
    /// The furthest first line.
    pub(super) most: usize,
}

impl ScrollRange {
    /// The room of so many lines in so many rows; one row tells of more where they do not fit.
    pub(super) fn new(lines: usize, rows: u16) -> Self {
        let rows = usize::from(rows);
        let page = if lines > rows {
            rows.saturating_sub(1)
        } else {
            rows
        };
        Self {
            page,
            most: lines.saturating_sub(page),
        }
    }
}

impl ScrollRange {
    /// Whether there is more below, from this line on.
    pub(super) const fn goes_on(self, top: usize) -> bool {
        top < self.most
    }
}

/// Draws lines that may be more than fit, with a sign that says so.
pub(super) fn draw_lines(
    lines: &[Line<'static>],
    top: usize,
    theme: Theme,
    area: Rect,
    buf: &mut Buffer,
) {
    let range = ScrollRange::new(lines.len(), area.height);
    let top = top.min(range.most);
    let shown: Text<'_> = lines.iter().skip(top).take(range.page).cloned().collect();
    shown.render(area, buf);
    if range.most > 0 {
        let says = words::more(top > 0, top < range.most);
        let row = Rect {
            y: area.bottom().saturating_sub(1),
            height: area.height.min(1),
            ..area
        };
        Line::styled(text::cut(says, usize::from(area.width)), theme.notice).render(row, buf);
    }
}

/// Parts below one another, of these heights; the one without a height takes what is left.
///
/// A frame too low for all of them leaves out the last, as far as needed.
pub(super) fn stack<const N: usize>(area: Rect, heights: [Option<u16>; N]) -> [Rect; N] {
    let fixed = heights
        .iter()
        .flatten()
        .fold(0_u16, |sum, height| sum.saturating_add(*height));
    let rest = area.height.saturating_sub(fixed);
    let mut y = area.y;
    heights.map(|height| {
        let height = height.unwrap_or(rest).min(area.bottom().saturating_sub(y));
        let part = Rect { y, height, ..area };
        y = part.bottom();
        part
    })
}
