//! The help page: every key and every sign of the page under it.

use ratatui::text::{Line, Span};

use super::desk::Desk;
use super::pieces::{Piece, key, set};
use crate::domain::sitting::Phase;
use crate::words::sign::Sign;

/// From this width on, signs stand beside the keys.
const SIDE_BY_SIDE: usize = 78;
/// Columns for the keys there.
const LEFT: usize = 46;

/// The lines of help, keys first.
pub(super) fn lines(desk: &Desk<'_>, width: usize) -> Vec<Line<'static>> {
    let keys = if desk.sitting.phase() == Phase::GuessRound {
        guessing_keys(desk)
    } else {
        answering_keys(desk)
    };
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

fn labels(desk: &Desk<'_>) -> String {
    desk.scene().labels().range()
}

fn answering_keys(desk: &Desk<'_>) -> Vec<Piece> {
    let jump = if desk.scene().digits_answer() {
        "#, 12, Enter"
    } else {
        "12, Enter"
    };
    vec![
        key(&labels(desk), "answer; another one changes it"),
        key("Enter, Right", "next question"),
        key("Left", "question before"),
        key("Home, End", "first, last question"),
        key(jump, "go to question 12"),
        key("Space", "leave it for later"),
        key("/", "next blank"),
        key("Tab", "flag on or off"),
        key(";", "next flag"),
        key("Backspace", "rub the answer out"),
        key("-", "say: unsure, a guess, worked"),
        key(".", "hide or show the clock"),
        key("PageDown", "read on in a long question"),
        key("Esc", "menu: finish, rest, give up"),
        key("Ctrl-C twice", "leave; go on later"),
    ]
}

fn guessing_keys(desk: &Desk<'_>) -> Vec<Piece> {
    vec![
        key(&labels(desk), "guess, and on to the next blank"),
        key("Space, /", "pass on to the next blank"),
        key("Right, Left", "next one, one before"),
        key("Home, End", "first, last one"),
        key("Backspace", "take the guess back"),
        key("*, Enter", "fill the rest at random"),
        key("*", "with no blank: take all fills back"),
        key("Enter", "end; asks first"),
        key("Esc", "menu"),
        key("Ctrl-C twice", "leave; go on later"),
    ]
}

fn signs() -> Vec<Piece> {
    let sign = |sign: Sign| key(sign.mark(), sign.explained());
    vec![
        Piece::Heading("Signs".to_owned()),
        sign(Sign::Open),
        key("[C]", "chosen"),
        key("no sign", "not seen"),
        sign(Sign::Seen),
        sign(Sign::Later),
        sign(Sign::Answered),
        sign(Sign::Unsure),
        sign(Sign::Guess),
        sign(Sign::Filled),
        sign(Sign::Flag),
        sign(Sign::Unsaved),
    ]
}
