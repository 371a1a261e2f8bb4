//! Writes the lines of a page: headings, text, tables, two parts beside each other.

use crate::screens::frame::Body;
use crate::screens::theme::Theme;
use crate::words::text::{Side, columns, cut, fit, width, wrap};
use ratatui::style::Style;
use ratatui::text::{Line, Span};

/// A page of at least this many columns has two parts beside each other.
pub(super) const WIDE: usize = 110;

/// The blanks between two parts beside each other.
const BETWEEN: usize = 3;

/// A page, or a part of one, being written.
pub(super) struct Ink<'a> {
    pub(super) body: Body,
    /// Lines that stay when the others are scrolled.
    pinned: Vec<Line<'static>>,
    pub(super) theme: &'a Theme,
    /// Columns.
    pub(super) width: usize,
    /// Lines that show at once.
    pub(super) height: usize,
}

impl<'a> Ink<'a> {
    pub(super) fn new(theme: &'a Theme, width: usize, height: usize) -> Self {
        Self {
            body: Body::default(),
            pinned: Vec::new(),
            theme,
            width,
            height,
        }
    }

    /// Makes the lines so far stay when those after them are scrolled.
    pub(super) fn pin(&mut self) {
        self.pinned.append(&mut self.body.lines);
    }

    /// Lines that show at once below those that stay.
    pub(super) fn room(&self) -> usize {
        self.height.saturating_sub(self.pinned.len()).max(1)
    }

    /// How far the lines can be scrolled.
    pub(super) fn furthest(&self) -> usize {
        self.body.furthest(self.room())
    }

    /// The lines that show, scrolled so far, or as far as the chosen row needs.
    pub(super) fn shown(mut self, scroll: usize) -> Body {
        let (room, all) = (self.room(), self.body.lines.len());
        let first = self.body.first(scroll, room);
        let last = (first + room).min(all);
        if all > room
            && let Some(title) = self.pinned.first_mut()
        {
            let place = format!("  lines {} to {last} of {all}", first + 1);
            let text = fit(&title.to_string(), self.width.saturating_sub(width(&place)));
            *title = Line::styled(text + &place, self.theme.heading);
        }
        let shown = self.body.lines.into_iter().skip(first).take(room);
        self.pinned.extend(shown);
        Body {
            lines: self.pinned,
            focus: None,
        }
    }

    /// A part of this page with another width.
    pub(super) fn part(&self, width: usize) -> Self {
        Self::new(self.theme, width, self.height)
    }

    pub(super) fn heading(&mut self, text: &str) {
        let text = cut(text, self.width);
        self.body.line(Line::styled(text, self.theme.heading));
    }

    /// A heading that may take several lines.
    pub(super) fn bold(&mut self, text: &str) {
        for line in wrap(text.trim_end(), self.text_width(0)) {
            self.body.line(Line::styled(line, self.theme.heading));
        }
    }

    /// A heading with an empty line before it, unless it is the first line.
    pub(super) fn block(&mut self, text: &str) {
        if !self.body.lines.is_empty() {
            self.blank();
        }
        self.heading(text);
    }

    pub(super) fn blank(&mut self) {
        self.body.line("");
    }

    /// Words, wrapped so that they read well.
    pub(super) fn text(&mut self, text: &str) {
        self.body.text(text.trim_end(), 0, self.width);
    }

    /// Words after a sign, which stands before the first line only.
    pub(super) fn signed(&mut self, sign: &str, style: Style, text: &str) {
        let lines = wrap(text.trim_end(), self.text_width(width(sign)));
        for (index, line) in lines.into_iter().enumerate() {
            let before = if index == 0 {
                Span::styled(sign.to_owned(), style)
            } else {
                Span::raw(" ".repeat(width(sign)))
            };
            self.body.line(Line::from(vec![before, Span::raw(line)]));
        }
    }

    fn text_width(&self, taken: usize) -> usize {
        self.width
            .min(crate::screens::frame::TEXT_WIDTH)
            .saturating_sub(taken)
    }

    /// A line as it stands, cut where it is too long.
    pub(super) fn plain(&mut self, line: &str) {
        self.body.line(cut(line, self.width));
    }

    pub(super) fn line(&mut self, spans: Vec<Span<'static>>) {
        self.body.line(Line::from(spans));
    }

    /// A table whose first row is its heading.
    pub(super) fn table(&mut self, sides: &[Side], rows: &[Vec<String>]) {
        for (index, line) in columns(sides, rows).into_iter().enumerate() {
            let line = cut(&line, self.width);
            if index == 0 {
                self.body.line(Line::styled(line, self.theme.heading));
            } else {
                self.body.line(line);
            }
        }
    }

    /// The sign and the style of a row that may be the chosen one, which then must show.
    pub(super) fn choose(&mut self, chosen: bool) -> (&'static str, Style) {
        let from = self.body.lines.len();
        if chosen {
            self.body.focus = Some(from..from + 1);
            (">", self.theme.chosen)
        } else {
            (" ", Style::new())
        }
    }

    /// Shows what stands behind the rows too, while the last of them is the chosen one.
    pub(super) fn show_the_rest(&mut self, last_is_chosen: bool) {
        let end = self.body.lines.len();
        if let Some(focus) = self.body.focus.as_mut().filter(|_| last_is_chosen) {
            focus.end = end;
        }
    }

    /// Two parts: beside each other where there is room, else one above the other. A row chosen in
    /// the left part shows.
    pub(super) fn two(
        &mut self,
        left: impl FnOnce(&mut Ink<'_>),
        right: impl FnOnce(&mut Ink<'_>),
    ) {
        if self.width < WIDE {
            let mut first = self.part(self.width);
            left(&mut first);
            let mut second = self.part(self.width);
            right(&mut second);
            let above = self.body.lines.len();
            let focus = first.body.focus.clone();
            self.body.focus = focus.map(|focus| focus.start + above..focus.end + above);
            self.body.lines.append(&mut first.body.lines);
            if !second.body.lines.is_empty() {
                self.blank();
            }
            self.body.lines.append(&mut second.body.lines);
            return;
        }
        let half = (self.width - BETWEEN) / 2;
        let (mut first, mut second) = (self.part(half), self.part(half));
        left(&mut first);
        right(&mut second);
        let above = self.body.lines.len();
        let focus = first.body.focus.clone();
        self.body.focus = focus.map(|focus| focus.start + above..focus.end + above);
        let many = first.body.lines.len().max(second.body.lines.len());
        let mut first = first.body.lines.into_iter();
        let mut second = second.body.lines.into_iter();
        for _ in 0..many {
            let mut line = first.next().unwrap_or_default();
            let style = std::mem::take(&mut line.style);
            for span in &mut line.spans {
                span.style = style.patch(span.style);
            }
            let gap = (half + BETWEEN).saturating_sub(line.width());
            line.push_span(Span::raw(" ".repeat(gap)));
            let other = second.next().unwrap_or_default();
            let style = other.style;
            for span in other.spans {
                let own = style.patch(span.style);
                line.push_span(span.style(own));
            }
            self.body.lines.push(line);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_parts_stand_beside_each_other_where_there_is_room() {
        let theme = Theme::plain();
        let drawn = |width| {
            let mut ink = Ink::new(&theme, width, 10);
            ink.two(
                |ink| ink.text("one"),
                |ink| {
                    ink.text("two");
                    ink.text("three");
                },
            );
            let lines = ink.body.lines.iter().map(ToString::to_string);
            lines.collect::<Vec<_>>()
        };
        assert_eq!(drawn(80), ["one", "", "two", "three"]);
        let wide = drawn(WIDE);
        assert_eq!(wide.len(), 2);
        assert!(wide[0].starts_with("one ") && wide[0].ends_with(" two"));
    }
}
