//! The keys that work now, at the foot of the page.

use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use super::desk::{Desk, SaveState};
use super::model::{Model, Overlay, Shown, Step};
use crate::dialogue::{Confirm, Move};
use crate::domain::sitting::Phase;
use crate::screens::theme::Theme;
use crate::words::text;

/// A key and what it does; the higher the rank, the sooner it goes where room is short.
pub(super) struct Hint {
    key: String,
    does: &'static str,
    rank: u8,
}

fn hint(key: impl Into<String>, does: &'static str, rank: u8) -> Hint {
    Hint {
        key: key.into(),
        does,
        rank,
    }
}

/// The keys that work now, in the order shown.
pub(super) fn hints(model: &Model, desk: &Desk<'_>) -> Vec<Hint> {
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

fn answering_hints(desk: &Desk<'_>) -> Vec<Hint> {
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

fn guessing_hints(model: &Model, desk: &Desk<'_>) -> Vec<Hint> {
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

fn menu_hints(model: &Model, desk: &Desk<'_>) -> Vec<Hint> {
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

fn confirm_hints(desk: &Desk<'_>, shown: Shown, step: Step) -> Vec<Hint> {
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

/// As many of the keys as fit the area, in order; those least needed go first, and the key that
/// shows help says that there are more.
pub(super) fn lines(hints: &[Hint], theme: Theme, area: Rect) -> Vec<Line<'static>> {
    let (width, rows) = (usize::from(area.width), usize::from(area.height));
    let mut kept: Vec<&Hint> = hints.iter().collect();
    let more = hint("F1", "all keys", 0);
    if flow(&kept, width).len() > rows
        && let Some(help) = kept.iter_mut().find(|hint| hint.key == more.key)
    {
        *help = &more;
    }
    loop {
        let lines = flow(&kept, width);
        let worst = kept.iter().map(|hint| hint.rank).max().unwrap_or(0);
        let last = kept.iter().rposition(|hint| hint.rank == worst);
        match last {
            Some(last) if lines.len() > rows => {
                kept.remove(last);
            }
            _ => return lines.iter().map(|line| styled(line, theme)).collect(),
        }
    }
}

fn columns(hint: &Hint) -> usize {
    text::width(&hint.key) + 1 + text::width(hint.does)
}

fn flow<'a>(hints: &[&'a Hint], width: usize) -> Vec<Vec<&'a Hint>> {
    let mut lines: Vec<Vec<&Hint>> = Vec::new();
    let mut used = 0;
    for hint in hints {
        let wide = columns(hint);
        match lines.last_mut() {
            Some(line) if used + 2 + wide <= width => {
                line.push(hint);
                used += 2 + wide;
            }
            _ => {
                lines.push(vec![hint]);
                used = wide;
            }
        }
    }
    lines
}

fn styled(hints: &[&Hint], theme: Theme) -> Line<'static> {
    let mut spans = Vec::new();
    for (index, hint) in hints.iter().enumerate() {
        if index > 0 {
            spans.push(Span::raw("  "));
        }
        spans.push(Span::styled(hint.key.clone(), theme.key));
        spans.push(Span::raw(format!(" {}", hint.does)));
    }
    Line::from(spans)
}
