//! What is said above the keys.

use ratatui::text::{Line, Span};

use crate::screens::theme::Theme;
use crate::words::text::wrap;

/// The most lines of a message; two have room of their own.
const LONGEST_MESSAGE: usize = 6;

/// A message above the keys.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Message {
    /// Something that asks for attention.
    Notice(String),
    /// Something that cannot be done.
    Trouble(String),
}

impl Message {
    /// The message in lines, a sign before the first of what cannot be done. Those that find no room of their own cover the
    /// end of the body until the next key: what cannot be done is to be read whole, path and all.
    pub(super) fn lines(&self, theme: Theme, width: usize) -> Vec<Line<'static>> {
        let (sign, style, text) = match self {
            Self::Notice(text) => ("", theme.notice, text),
            Self::Trouble(text) => ("! ", theme.trouble, text),
        };
        let lines = wrap(text, width.saturating_sub(sign.len()))
            .into_iter()
            .take(LONGEST_MESSAGE);
        let signed = |(y, line)| {
            let before = if y == 0 {
                Span::styled(sign, style)
            } else {
                Span::raw(" ".repeat(sign.len()))
            };
            Line::from(vec![before, Span::raw(line)])
        };
        lines.enumerate().map(signed).collect()
    }
}
