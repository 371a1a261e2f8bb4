//! What stands in the middle of a page.

use std::ops::Range;

use ratatui::text::Line;

use super::moves::Move;
use crate::words::text::wrap;

/// The widest line of running text, so that it reads well.
pub(in crate::screens) const TEXT_WIDTH: usize = 76;

/// The middle of a page: lines that may be more than there is room for.
#[derive(Clone, Debug, Default)]
pub struct Body {
    /// Lines that stay when those after them are scrolled.
    pub pinned: Vec<Line<'static>>,
    /// The lines.
    pub lines: Vec<Line<'static>>,
    /// The lines that must show, where the keys act on some.
    pub focus: Option<Range<usize>>,
    /// The first line that shows, where there is no focus and so many lines lie above.
    pub top: usize,
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

    /// How many lines below those that stay show at once.
    pub(super) fn room(&self, height: usize) -> usize {
        height.saturating_sub(self.pinned.len()).max(1)
    }

    /// The place of the top line after a move, in `height` lines.
    pub(super) fn scrolled(&self, by: Move, height: usize) -> usize {
        let last = self.lines.len().saturating_sub(self.room(height));
        by.from(self.top, last, height)
    }

    /// The first line that shows: as little as needed for the focus and a line after it, or the top.
    pub(super) fn first(&self, height: usize) -> usize {
        let room = self.room(height);
        let Some(focus) = &self.focus else {
            return self.top.min(self.lines.len().saturating_sub(room));
        };
        let end = (focus.end + 1).min(self.lines.len());
        end.saturating_sub(room).min(focus.start)
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
            ..Body::default()
        };
        assert_eq!(body.first(10), 2);
        assert_eq!(body.first(30), 0);
        let tall = Body {
            focus: Some(5..15),
            ..body
        };
        assert_eq!(tall.first(4), 5, "the top of what is too tall");
    }

    #[test]
    fn scrolling_ends_with_the_last_line_in_sight() {
        let body = Body {
            pinned: vec![Line::default(); 2],
            lines: vec![Line::default(); 20],
            top: 3,
            ..Body::default()
        };
        assert_eq!(body.scrolled(Move::Down, 10), 4);
        assert_eq!(
            body.scrolled(Move::PageDown, 10),
            12,
            "eight lines show below the two"
        );
        assert_eq!(body.scrolled(Move::Last, 30), 0, "everything is in sight");
    }
}
