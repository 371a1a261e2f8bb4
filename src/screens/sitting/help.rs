//! The help page: every key and every sign of the page under it.

use ratatui::text::{Line, Span};

use super::desk::Desk;
use super::key_map;
use super::model::Model;
use super::pieces::{Piece, key, set};
use crate::words::sign::Sign;
use crate::words::sitting::page as words;

/// From this width on, signs stand beside the keys.
const SIDE_BY_SIDE: usize = 78;
/// Columns for the keys there.
const LEFT: usize = 46;

/// The lines of help, keys first.
pub(super) fn lines(model: &Model, desk: &Desk<'_>, width: usize) -> Vec<Line<'static>> {
    let keys = key_map::below(model, desk).help();
    let keys: Vec<Piece> = keys.iter().map(|(name, does)| key(name, does)).collect();
    let signs = signs();
    if width < SIDE_BY_SIDE {
        let mut pieces = keys;
        pieces.push(Piece::Gap);
        pieces.extend(signs);
        return set(&pieces, desk.theme, width);
    }
    let keys = set(&keys, desk.theme, LEFT);
    let signs = set(&signs, desk.theme, width - LEFT - 1);
    let rows = keys.len().max(signs.len());
    (0..rows)
        .map(|row| {
            let mut line = keys.get(row).cloned().unwrap_or_default();
            let gap = (LEFT + 1).saturating_sub(line.width());
            line.push_span(Span::raw(" ".repeat(gap)));
            line.spans
                .extend(signs.get(row).cloned().unwrap_or_default().spans);
            line
        })
        .collect()
}

fn signs() -> Vec<Piece> {
    let sign = |sign: Sign| key(sign.mark(), sign.explained());
    vec![
        Piece::Heading("Signs".to_owned()),
        sign(Sign::Open),
        sign(Sign::Chosen),
        key(words::OUT, words::OUT_MEANS),
        key("no sign", "not seen"),
        sign(Sign::Seen),
        sign(Sign::Later),
        sign(Sign::Unsure),
        sign(Sign::Guess),
        sign(Sign::Filled),
        sign(Sign::Flag),
        sign(Sign::Unsaved),
    ]
}
