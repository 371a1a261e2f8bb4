//! The frame of the start and the result page: where you are, a body that scrolls, a message, the
//! keys that work now. Too small a window gets a plain page instead.

use std::ops::Range;

use super::theme::Theme;
use crate::words::text::{width as columns_of, wrap};
use ratatui::buffer::Buffer;
use ratatui::layout::{Rect, Size};
use ratatui::text::{Line, Span};
use ratatui::widgets::{Clear, Widget};

/// The smallest window with everything in it.
pub const SMALLEST: Size = Size::new(60, 18);

/// The widest line of running text, so that it reads well.
pub const TEXT_WIDTH: usize = 76;

/// Lines that are no body: where you are, the line below it, two for the message, two for the keys.
const AROUND: u16 = 6;

/// The most lines of a message; two have room of their own.
const LONGEST_MESSAGE: usize = 6;

/// Whether a window of this size gets the plain page.
pub const fn is_too_small(size: Size) -> bool {
    size.width < SMALLEST.width || size.height < SMALLEST.height
}

/// How many lines of the body show at once.
pub fn body_height(size: Size) -> usize {
    usize::from(size.height.saturating_sub(AROUND))
}

/// How many columns the body has.
pub fn body_width(size: Size) -> usize {
    usize::from(size.width.saturating_sub(2))
}

/// What stands in the middle of a page.
#[derive(Clone, Debug, Default)]
pub struct Body {
    /// The lines.
    pub lines: Vec<Line<'static>>,
    /// The lines that must show, where the keys act on some.
    pub focus: Option<Range<usize>>,
}

impl Body {
    /// Adds a line.
    pub fn line(&mut self, line: impl Into<Line<'static>>) {
        self.lines.push(line.into());
    }

    /// Adds a text, wrapped, each line after `indent` blanks.
    pub fn text(&mut self, text: &str, indent: usize, width: usize) {
        let room = width.min(TEXT_WIDTH).saturating_sub(indent);
        for line in wrap(text, room) {
            self.line(format!("{}{line}", " ".repeat(indent)));
        }
    }

    /// How far it can be scrolled down.
    pub fn furthest(&self, height: usize) -> usize {
        self.lines.len().saturating_sub(height)
    }

    /// The first line that shows: as little as needed for the focus and a line after it, or `scroll`.
    pub fn first(&self, scroll: usize, height: usize) -> usize {
        let Some(focus) = &self.focus else {
            return scroll.min(self.furthest(height));
        };
        let end = (focus.end + 1).min(self.lines.len());
        end.saturating_sub(height).min(focus.start)
    }
}

/// A message above the keys.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Message {
    /// Something that asks for attention.
    Notice(String),
    /// Something that cannot be done.
    Trouble(String),
}

/// A key and what it does now.
pub type KeyHelp = (&'static str, &'static str);

/// A whole page.
#[derive(Debug)]
pub struct Frame<'a> {
    /// The styles.
    pub theme: &'a Theme,
    /// Where you are.
    pub trail: Line<'a>,
    /// The middle.
    pub body: &'a Body,
    /// How far a body without a focus is scrolled.
    pub scroll: usize,
    /// Columns left free at either side; 1, but for text that is as wide as the window.
    pub edge: u16,
    /// The message.
    pub message: Option<&'a Message>,
    /// The keys that work now.
    pub keys: &'a [KeyHelp],
}

impl Widget for Frame<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let size = area.as_size();
        if is_too_small(size) {
            return TooSmall(size).render(area, buf);
        }
        let row = |y: u16| Rect {
            x: area.x + self.edge,
            y: area.y + y,
            width: area.width.saturating_sub(2 * self.edge),
            height: 1,
        };
        let height = body_height(size);
        let first = self.body.first(self.scroll, height);
        let last = (first + height).min(self.body.lines.len());
        self.trail.render(row(0), buf);
        Line::from("─".repeat(usize::from(row(1).width))).render(row(1), buf);
        if self.body.lines.len() > height {
            let place = format!(
                " lines {} to {last} of {} ",
                first + 1,
                self.body.lines.len()
            );
            Line::from(place).right_aligned().render(row(1), buf);
        }
        let shown = self.body.lines.iter().skip(first).take(height);
        for (y, line) in (2_u16..).zip(shown) {
            line.render(row(y), buf);
        }
        if let Some(message) = self.message {
            let lines = message_lines(message, self.theme, body_width(size));
            let many = u16::try_from(lines.len()).unwrap_or(2).max(2);
            for (y, line) in (area.height - 2 - many..).zip(lines) {
                Clear.render(row(y), buf);
                line.render(row(y), buf);
            }
        }
        let foot = key_lines(self.keys, self.theme, body_width(size));
        for (y, line) in (area.height - 2..).zip(foot.iter().take(2)) {
            line.render(row(y), buf);
        }
    }
}

/// The message in lines, its sign before the first. Those that find no room of their own cover the
/// end of the body until the next key: what cannot be done is to be read whole, path and all.
fn message_lines(message: &Message, theme: &Theme, width: usize) -> Vec<Line<'static>> {
    let (sign, style, text) = match message {
        Message::Notice(text) => ("> ", theme.notice, text),
        Message::Trouble(text) => ("! ", theme.trouble, text),
    };
    let lines = wrap(text, width.saturating_sub(2))
        .into_iter()
        .take(LONGEST_MESSAGE);
    let signed = |(y, line)| {
        let before = if y == 0 {
            Span::styled(sign, style)
        } else {
            Span::raw("  ")
        };
        Line::from(vec![before, Span::raw(line)])
    };
    lines.enumerate().map(signed).collect()
}

/// The keys at the foot, as few lines as they need.
fn key_lines(keys: &[KeyHelp], theme: &Theme, width: usize) -> Vec<Line<'static>> {
    let mut lines = vec![Line::default()];
    for (key, does) in keys {
        let wide = columns_of(key) + 1 + columns_of(does);
        let full = lines
            .last()
            .is_none_or(|line| line.width() > 0 && line.width() + 3 + wide > width);
        if full {
            lines.push(Line::default());
        }
        if let Some(line) = lines.last_mut() {
            if line.width() > 0 {
                line.push_span("   ");
            }
            line.push_span(Span::styled(*key, theme.key));
            line.push_span(format!(" {does}"));
        }
    }
    lines
}

/// What a window that is too small shows.
struct TooSmall(Size);

impl Widget for TooSmall {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let Size { width, height } = self.0;
        let text = format!(
            "Pacebell needs {} columns and {} rows. This window has {width} and {height}. \
             Make it larger, or the letters smaller. Ctrl-C twice quits.",
            SMALLEST.width, SMALLEST.height
        );
        let lines = wrap(&text, usize::from(width));
        for (line, place) in lines.into_iter().zip(area.rows()) {
            Line::from(line).render(place, buf);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_focus_shows_with_a_line_after_it() {
        let body = Body {
            lines: vec![Line::default(); 20],
            focus: Some(9..11),
        };
        assert_eq!(body.first(0, 10), 2);
        assert_eq!(body.first(0, 30), 0);
        let tall = Body {
            focus: Some(5..15),
            ..body
        };
        assert_eq!(tall.first(0, 4), 5, "the top of what is too tall");
    }
}
