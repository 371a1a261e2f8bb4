//! Writes the lines of a page: headings, text, tables, two parts beside each other.

use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::body::{Body, TEXT_WIDTH};
use super::key_map::KeyMap;
use super::room::Room;
use crate::screens::theme::Theme;
use crate::words::text::{Side, columns, cut, width, wrap};
use crate::words::window::KEYS_OF_THE_HELP;

/// A page of at least this many columns has two parts beside each other.
pub(in crate::screens) const WIDE: usize = 110;

/// The blanks between two parts beside each other.
const BETWEEN: usize = 3;

/// A page, or a part of one, being written.
pub(in crate::screens) struct PageWriter {
    pub(in crate::screens) body: Body,
    pub(in crate::screens) theme: Theme,
    /// Columns.
    pub(in crate::screens) width: usize,
    /// Lines that show at once.
    pub(in crate::screens) height: usize,
}

impl PageWriter {
    /// A page with so much room, scrolled so far.
    pub(in crate::screens) fn new(room: Room, top: usize) -> Self {
        Self {
            body: Body {
                top,
                ..Body::default()
            },
            theme: room.theme,
            width: room.width,
            height: room.height,
        }
    }

    /// Makes the lines so far stay when those after them are scrolled.
    pub(in crate::screens) fn pin(&mut self) {
        self.body.pinned.append(&mut self.body.lines);
    }

    /// Lines that show at once below those that stay.
    pub(in crate::screens) fn room(&self) -> usize {
        self.body.room(self.height)
    }

    /// A part of this page with another width.
    pub(in crate::screens) fn part(&self, width: usize) -> Self {
        let room = Room {
            width,
            height: self.height,
            theme: self.theme,
        };
        Self::new(room, 0)
    }

    pub(in crate::screens) fn heading(&mut self, text: &str) {
        let text = cut(text, self.width);
        self.body.line(Line::styled(text, self.theme.heading));
    }

    /// A heading that may take several lines.
    pub(in crate::screens) fn bold(&mut self, text: &str) {
        for line in wrap(text.trim_end(), self.text_width(0)) {
            self.body.line(Line::styled(line, self.theme.heading));
        }
    }

    /// A heading with an empty line before it, unless it is the first line.
    pub(in crate::screens) fn block(&mut self, text: &str) {
        if !self.body.lines.is_empty() {
            self.blank();
        }
        self.heading(text);
    }

    pub(in crate::screens) fn blank(&mut self) {
        self.body.line("");
    }

    /// Words, wrapped so that they read well.
    pub(in crate::screens) fn text(&mut self, text: &str) {
        self.body.text(text.trim_end(), 0, self.width);
    }

    /// Words after a sign, which stands before the first line only.
    pub(in crate::screens) fn signed(&mut self, sign: &str, style: Style, text: &str) {
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
        self.width.min(TEXT_WIDTH).saturating_sub(taken)
    }

    /// A line as it stands, cut where it is too long.
    pub(in crate::screens) fn plain(&mut self, line: &str) {
        self.body.line(cut(line, self.width));
    }

    pub(in crate::screens) fn line(&mut self, spans: Vec<Span<'static>>) {
        self.body.line(Line::from(spans));
    }

    /// A table whose first row is its heading.
    pub(in crate::screens) fn table(&mut self, sides: &[Side], rows: &[Vec<String>]) {
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
    pub(in crate::screens) fn choose(&mut self, chosen: bool) -> (&'static str, Style) {
        let from = self.body.lines.len();
        if chosen {
            self.body.focus = Some(from..from + 1);
            (">", self.theme.chosen)
        } else {
            (" ", Style::new())
        }
    }

    /// Shows what stands behind the rows too, while the last of them is the chosen one.
    pub(in crate::screens) fn show_the_rest(&mut self, last_is_chosen: bool) {
        let end = self.body.lines.len();
        if let Some(focus) = self.body.focus.as_mut().filter(|_| last_is_chosen) {
            focus.end = end;
        }
    }

    /// A row of a list, with a sign before the one chosen and a note behind it.
    pub(in crate::screens) fn row(&mut self, chosen: bool, text: &str, note: &str) {
        let text = cut(text, self.width.saturating_sub(2));
        let room = self.width.saturating_sub(width(&text) + 4);
        let (sign, style) = self.choose(chosen);
        let mut spans = vec![Span::raw(sign), Span::raw(" "), Span::styled(text, style)];
        if !note.is_empty() && room > 0 {
            spans.push(Span::raw(format!("  {}", cut(note, room))));
        }
        self.line(spans);
    }

    /// A line below a row, which shows whenever the row is chosen.
    pub(in crate::screens) fn below_row(&mut self, chosen: bool, text: &str, wrapped: bool) {
        if wrapped {
            self.body.text(text, 4, self.width);
        } else {
            let room = self.width.saturating_sub(4);
            self.body.line(format!("    {}", cut(text, room)));
        }
        self.show_the_rest(chosen);
    }

    /// Every key with what it does: those of a page, then those of its help.
    pub(in crate::screens) fn keys<A>(&mut self, page: &KeyMap<A>, help: &KeyMap<A>) {
        for (heading, keys) in [("Keys", page), (KEYS_OF_THE_HELP, help)] {
            self.block(heading);
            for (names, does) in keys.help() {
                let lines = wrap(&format!("{names}: {does}"), self.text_width(2));
                for (index, line) in lines.into_iter().enumerate() {
                    let before = if index == 0 { "" } else { "  " };
                    self.body.line(format!("{before}{line}"));
                }
            }
        }
    }

    /// Two parts: beside each other where there is room, else one above the other. A row chosen in
    /// the left part shows.
    pub(in crate::screens) fn two(
        &mut self,
        left: impl FnOnce(&mut Self),
        right: impl FnOnce(&mut Self),
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
        let drawn = |width| {
            let room = Room {
                width,
                height: 10,
                theme: Theme::plain(),
            };
            let mut ink = PageWriter::new(room, 0);
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
