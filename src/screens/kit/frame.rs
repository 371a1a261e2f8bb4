//! The frame that pages share: where you are, a body that scrolls, a message, the keys that work
//! now. Too small a window gets a plain page instead.

use ratatui::buffer::Buffer;
use ratatui::layout::{Rect, Size};
use ratatui::text::Line;
use ratatui::widgets::{Clear, Widget};

use super::body::Body;
use super::foot::Foot;
use super::page::Page;
use super::room::{Room, SMALLEST, is_too_small};
use crate::screens::theme::Theme;
use crate::words::text::{fit, width as columns, wrap};
use crate::words::window;

/// Lines at the foot of a page.
const FOOT: usize = 2;
/// The blanks between two keys at the foot.
const BETWEEN: &str = "   ";

/// A page as it is drawn.
#[derive(Debug)]
pub struct Frame<'a, P> {
    /// The page.
    pub page: &'a P,
    /// The styles.
    pub theme: Theme,
}

impl<P: Page> Widget for Frame<'_, P> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let (size, page) = (area.as_size(), self.page);
        if is_too_small(size) {
            return TooSmall(size).render(area, buf);
        }
        let edge = page.edge(size);
        let row = |y: u16| Rect {
            x: area.x + edge,
            y: area.y + y,
            width: area.width.saturating_sub(2 * edge),
            height: 1,
        };
        let room = page.room(size, self.theme);
        page.trail(self.theme).render(row(0), buf);
        Line::from("─".repeat(usize::from(row(1).width))).render(row(1), buf);
        draw_body(page.body(room), room, row, buf);
        // Message and keys keep the edges whatever the body does with them.
        let usual = Room::of(size, 1, self.theme);
        if let Some(message) = page.message() {
            let lines = message.lines(self.theme, usual.width);
            let many = u16::try_from(lines.len()).unwrap_or(2).max(2);
            for (y, line) in (area.height - 2 - many..).zip(lines) {
                Clear.render(row(y), buf);
                line.render(row(y), buf);
            }
        }
        let foot = Foot {
            width: usual.width,
            lines: FOOT,
            between: BETWEEN,
        };
        let foot = page.keys().foot(foot, self.theme);
        for (y, line) in (area.height - 2..).zip(foot.iter().take(FOOT)) {
            line.render(row(y), buf);
        }
    }
}

/// Draws the lines that show. What there is more of is told on the line above, or, where some lines
/// stay, behind the first of them.
fn draw_body(body: Body, room: Room, row: impl Fn(u16) -> Rect, buf: &mut Buffer) {
    let (first, rows, all) = (
        body.first(room.height),
        body.room(room.height),
        body.lines.len(),
    );
    let mut pinned = body.pinned;
    if all > rows {
        let last = (first + rows).min(all);
        let place = window::lines(first + 1, last, all);
        if let Some(title) = pinned.first_mut() {
            let place = format!("  {place}");
            let text = fit(
                &title.to_string(),
                room.width.saturating_sub(columns(&place)),
            );
            *title = Line::styled(text + &place, room.theme.heading);
        } else {
            Line::from(format!(" {place} "))
                .right_aligned()
                .render(row(1), buf);
        }
    }
    let shown = body.lines.into_iter().skip(first).take(rows);
    let shown = pinned.into_iter().chain(shown).take(room.height);
    for (y, line) in (2_u16..).zip(shown) {
        line.render(row(y), buf);
    }
}

/// What a window that is too small shows.
struct TooSmall(Size);

impl Widget for TooSmall {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let Size { width, height } = self.0;
        let text = window::too_small((SMALLEST.width, SMALLEST.height), (width, height));
        let lines = wrap(&text, usize::from(width));
        for (line, place) in lines.into_iter().zip(area.rows()) {
            Line::from(line).render(place, buf);
        }
    }
}
