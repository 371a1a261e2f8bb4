//! What a text may hold: nothing that a screen would act on, hide or turn round.

use unicode_width::UnicodeWidthStr;

use super::locate::Spot;
use super::problem::Findings;
use crate::domain::character::{is_invisible, parts_lines, turns_direction};

/// The widest line of a figure, in columns of the screen.
pub(super) const WIDEST_FIGURE: usize = 60;

/// How a text may run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shape {
    /// In one line.
    Line,
    /// In as many lines as it likes.
    Lines,
}

impl Findings<'_> {
    /// Checks that a text says something, in its shape and in characters that can be shown.
    pub(super) fn text(&mut self, spot: &Spot, text: &str, shape: Shape) {
        if text.trim().is_empty() {
            self.wrong(
                spot,
                "this text is empty; fill it in, or leave the field out",
            );
        }
        self.characters(spot, text, shape);
    }

    /// Checks that a figure fits the screen as it stands.
    pub(super) fn figure(&mut self, spot: &Spot, figure: &str) {
        self.text(spot, figure, Shape::Lines);
        let mut start = 0;
        for line in figure.split('\n') {
            let width = line.width();
            if width > WIDEST_FIGURE {
                self.wrong_char(
                    spot,
                    start,
                    format!("this line of the figure is {width} columns wide; use at most {WIDEST_FIGURE}"),
                );
            }
            start += line.chars().count() + 1;
        }
    }

    /// Checks an id: it also serves in file names.
    pub(super) fn id(&mut self, spot: &Spot, id: &str) {
        let stray = |c: &(usize, char)| !(c.1.is_alphanumeric() || matches!(c.1, '-' | '_'));
        if id.is_empty() {
            self.wrong(spot, "the id is empty; write one, such as \"saltmarsh-a\"");
        } else if let Some((index, c)) = id.chars().enumerate().find(stray) {
            self.wrong_char(
                spot,
                index,
                format!("{c:?} cannot be used in an id; use only letters, digits, - and _"),
            );
        } else if id.chars().count() > 60 {
            self.wrong(spot, "the id is longer than 60 characters; shorten it");
        }
    }

    fn characters(&mut self, spot: &Spot, text: &str, shape: Shape) {
        let found = text.chars().enumerate();
        let found = found.filter_map(|(index, c)| Some((index, c, unfit(c, shape)?)));
        if let Some((index, c, why)) = found.take(1).next() {
            let code = u32::from(c);
            self.wrong_char(
                spot,
                index,
                format!("the text has {why} (U+{code:04X}); delete it"),
            );
        }
    }
}

/// Why a character may not stand in a text.
fn unfit(c: char, shape: Shape) -> Option<&'static str> {
    match c {
        '\n' if shape == Shape::Lines => None,
        '\n' => Some("a line break where only one line fits"),
        '\t' => Some("a tab, which looks different on each screen"),
        _ if c.is_control() => Some("a control character"),
        _ if turns_direction(c) => Some("a mark that changes the writing direction"),
        _ if parts_lines(c) => Some("a line separator"),
        _ if is_invisible(c) => Some("a character that nobody can see"),
        _ => None,
    }
}
