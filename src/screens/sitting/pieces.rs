//! Pieces of a page that is words only: headings, words, keys and what they do.

use crate::words::text;
use ratatui::text::{Line, Span};

use crate::screens::theme::Theme;

/// Longer lines are hard to read.
pub(super) const LONGEST_LINE: usize = 66;
/// The column at which a key's meaning begins.
const MEANING: usize = 15;

/// A piece of a page.
pub(super) enum Piece {
    Heading(String),
    Words(String),
    /// A key (or a sign) and what it does (or means).
    Key(String, String),
    Gap,
}

pub(super) fn heading(text: &str) -> Piece {
    Piece::Heading(text.to_owned())
}

pub(super) fn say(text: impl Into<String>) -> Piece {
    Piece::Words(text.into())
}

pub(super) fn key(key: &str, does: &str) -> Piece {
    Piece::Key(key.to_owned(), does.to_owned())
}

/// The pieces as lines of at most `width` columns.
pub(super) fn set(pieces: &[Piece], theme: Theme, width: usize) -> Vec<Line<'static>> {
    let width = width.min(LONGEST_LINE);
    pieces
        .iter()
        .flat_map(|piece| match piece {
            Piece::Heading(words) => text::wrap(words, width)
                .into_iter()
                .map(|line| Line::styled(line, theme.heading))
                .collect(),
            Piece::Words(words) => text::wrap(words, width)
                .into_iter()
                .map(Line::raw)
                .collect(),
            Piece::Key(key, does) => key_lines(key, does, theme, width),
            Piece::Gap => vec![Line::default()],
        })
        .collect()
}

fn key_lines(key: &str, does: &str, theme: Theme, width: usize) -> Vec<Line<'static>> {
    let keys = text::wrap(key, MEANING - 1);
    let does = text::wrap(does, width.saturating_sub(MEANING));
    (0..keys.len().max(does.len()))
        .map(|index| {
            let key = keys.get(index).cloned().unwrap_or_default();
            let does = does.get(index).map_or("", String::as_str);
            let pad = match does {
                "" => 0,
                _ => MEANING.saturating_sub(text::width(&key)),
            };
            Line::from(vec![
                Span::styled(key, theme.key),
                Span::raw(format!("{}{does}", " ".repeat(pad))),
            ])
        })
        .collect()
}
