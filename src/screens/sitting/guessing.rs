//! The keys of the guess round: only what was blank at time up, one after another.

use super::answering::answer;
use super::desk::Desk;
use super::model::{Ask, Model, Overlay};
use crate::dialogue::{Confirm, Move};
use crate::screens::kit::Key;

pub(super) fn update(model: &mut Model, desk: &Desk<'_>, key: Key) -> Option<Ask> {
    model.typed = None;
    let filling = model.is_asked(desk, Confirm::Fill);
    match key {
        Key::Enter if filling => model.hear(desk, Move::Confirm),
        Key::Esc if filling => model.hear(desk, Move::Cancel),
        Key::Enter => {
            model.open(desk, Overlay::End);
            None
        }
        Key::Esc => {
            model.open(desk, Overlay::Menu);
            None
        }
        Key::F(1) | Key::Char('?') => {
            model.open(desk, Overlay::Help);
            None
        }
        // Offers to fill what is blank; where nothing is, takes back what was filled.
        Key::Char('*') if desk.sitting.blanks().next().is_some() => model.hear(desk, Move::Fill),
        Key::Char('*') => model.hear(desk, Move::TakeFillsBack),
        // At time up every question may have had its answer: then there is nothing to act on.
        key if desk.current().is_none() => {
            model.no_key(desk, key, "Enter asks whether to end.");
            None
        }
        Key::Right | Key::Down => model.hear(desk, Move::Next),
        Key::Left | Key::Up => model.hear(desk, Move::Previous),
        Key::Home => model.hear(desk, Move::First),
        Key::End => model.hear(desk, Move::Last),
        Key::Char(' ') => model.hear(desk, Move::Skip),
        Key::Char('/') => model.hear(desk, Move::NextBlank),
        Key::Backspace => model.hear(desk, Move::RubOut),
        Key::Char(c) => answer(model, desk, c),
        key => {
            model.no_key(desk, key, "F1 shows the keys.");
            None
        }
    }
}
