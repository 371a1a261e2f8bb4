//! The keys that work now, at the foot of the page.

use std::borrow::Cow;

use ratatui::layout::Rect;
use ratatui::text::Line;

use super::desk::{Desk, SaveState};
use super::model::{Model, Overlay, Shown, Step};
use crate::dialogue::{Confirm, Move};
use crate::domain::sitting::Phase;
use crate::screens::kit::{Foot, Named};
use crate::screens::theme::Theme;

fn hint(key: impl Into<Cow<'static, str>>, does: &'static str, rank: u8) -> Named {
    Named {
        name: key.into(),
        does,
        rank,
    }
}

/// The keys that work now, in the order shown.
pub(super) fn hints(model: &Model, desk: &Desk<'_>) -> Vec<Named> {
    let shown = model.shown(desk);
    let mut hints = match shown {
        Shown::Answering if model.typed.is_some() => vec![
            hint("0-9", "number", 1),
            hint("Enter", "go there", 0),
            hint("Backspace", "take one back", 2),
            hint("Esc", "drop it", 1),
        ],
        Shown::Answering => answering_hints(desk),
        Shown::Guessing if model.is_asked(desk, Confirm::Fill) => vec![
            hint("Enter", "fill at random", 0),
            hint("Esc", "do not fill", 0),
        ],
        Shown::Guessing => guessing_hints(model, desk),
        Shown::RestBreak => vec![hint("Enter", "end the break", 0)],
        Shown::TimeUp(step) => {
            let blanks = desk.sitting.blanks().next().is_some();
            match (blanks, step) {
                (true, Step::First) => vec![
                    hint("Enter", "guess the blanks", 0),
                    hint("n, then Enter", "leave them blank and end", 0),
                ],
                (true, Step::Second) => vec![
                    hint("Enter", "leave them blank and end", 0),
                    hint("Esc", "back", 0),
                ],
                (false, Step::First) => vec![hint("e, then Enter", "end", 0)],
                (false, Step::Second) => vec![hint("Enter", "end", 0), hint("Esc", "back", 0)],
            }
        }
        Shown::Over(Overlay::Help, _) => vec![hint("Esc", "back", 0)],
        Shown::Over(Overlay::Menu, _) => menu_hints(model, desk),
        Shown::Over(Overlay::Finish | Overlay::GiveUp | Overlay::End, step) => {
            confirm_hints(desk, shown, step)
        }
        Shown::TooSmall | Shown::Closed => Vec::new(),
    };
    if let SaveState::Trouble { elsewhere, .. } = desk.saved {
        hints.extend(elsewhere.map(|_| hint("F2", "save elsewhere", 0)));
        hints.push(hint("F3", "try to save", 1));
    }
    hints
}

fn answering_hints(desk: &Desk<'_>) -> Vec<Named> {
    let mut hints = Vec::new();
    let jump = if desk.scene().digits_answer() {
        "#7 Enter"
    } else {
        "7 Enter"
    };
    let Some(open) = desk.sitting.open() else {
        hints.extend([
            hint(jump, "go to 7", 0),
            hint("Enter", "first question", 1),
            hint(".", "clock", 2),
            hint("F1", "help", 0),
            hint("Esc", "menu", 0),
        ]);
        return hints;
    };
    let labels = desk.sitting.header().paper.labels(open);
    hints.push(hint(labels.range(), "answer", 0));
    hints.extend([
        hint("Enter", "next", 0),
        hint(jump, "go to 7", 1),
        hint("/", "next blank", 1),
        hint("Space", "later", 1),
        hint("Tab", "flag", 2),
        hint("Left", "back", 4),
        hint("Backspace", "rub out", 1),
        hint("-", "unsure", 3),
        hint(";", "next flag", 5),
        hint(".", "clock", 5),
        hint("F1", "help", 0),
        hint("Esc", "menu", 0),
    ]);
    hints
}

fn guessing_hints(model: &Model, desk: &Desk<'_>) -> Vec<Named> {
    let mut hints = Vec::new();
    if let Some(open) = desk.current() {
        let labels = desk.sitting.header().paper.labels(open);
        hints.push(hint(labels.range(), "guess", 0));
    }
    if model.offers(desk, Move::Fill) {
        hints.push(hint("Space", "pass on", 1));
        hints.push(hint("*", "fill the rest at random", 0));
    } else if model.offers(desk, Move::TakeFillsBack) {
        hints.push(hint("*", "take all fills back", 0));
    }
    hints.push(hint("Arrows", "move", 2));
    hints.push(hint("Backspace", "take back", 2));
    hints.push(hint("Enter", "end", 0));
    hints.push(hint("F1", "help", 1));
    hints
}

fn menu_hints(model: &Model, desk: &Desk<'_>) -> Vec<Named> {
    let mut hints = vec![hint("Esc", "go on", 0)];
    if desk.sitting.phase() != Phase::Running {
        hints.push(hint("e", "end", 0));
        return hints;
    }
    hints.push(hint("f", "finish early", 0));
    if model.offers(desk, Move::StartBreak) {
        hints.push(hint("b", "rest break", 0));
    }
    hints.push(hint("q", "give up", 0));
    hints
}

fn confirm_hints(desk: &Desk<'_>, shown: Shown, step: Step) -> Vec<Named> {
    let mut hints = match step {
        Step::First => vec![hint("y, then Enter", "yes", 0), hint("Esc", "no, go on", 0)],
        Step::Second => vec![hint("Enter", "yes", 0), hint("Esc", "no, go on", 0)],
    };
    let gives_up = matches!(shown, Shown::Over(Overlay::GiveUp, _));
    if !gives_up && desk.sitting.blanks().next().is_some() {
        hints.push(hint("g", "go to the first blank", 0));
    }
    hints
}

/// As many of the keys as fit the area.
pub(super) fn lines(hints: Vec<Named>, theme: Theme, area: Rect) -> Vec<Line<'static>> {
    let foot = Foot {
        width: usize::from(area.width),
        lines: usize::from(area.height),
        between: "  ",
    };
    foot.lines(hints, theme)
}
