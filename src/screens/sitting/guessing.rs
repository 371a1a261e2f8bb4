//! The keys of the guess round: only what was blank at time up, one after another.

use super::answering::answer;
use super::desk::Desk;
use super::keys::Stroke;
use super::model::{Ask, Model, Overlay};
use crate::dialogue::{Confirm, Move};

pub(super) fn update(model: &mut Model, desk: &Desk<'_>, stroke: Stroke) -> Option<Ask> {
    model.typed = None;
    let filling = model.is_asked(desk, Confirm::Fill);
    match stroke {
        Stroke::Enter if filling => model.hear(desk, Move::Confirm),
        Stroke::Escape if filling => model.hear(desk, Move::Cancel),
        Stroke::Enter => {
            model.open(desk, Overlay::End);
            None
        }
        Stroke::Escape => {
            model.open(desk, Overlay::Menu);
            None
        }
        Stroke::Help => {
            model.open(desk, Overlay::Help);
            None
        }
        // Offers to fill what is blank; where nothing is, takes back what was filled.
        Stroke::Sign('*') if desk.sitting.blanks().next().is_some() => model.hear(desk, Move::Fill),
        Stroke::Sign('*') => model.hear(desk, Move::TakeFillsBack),
        // At time up every question may have had its answer: then there is nothing to act on.
        stroke if desk.current().is_none() => {
            model.no_key(desk, &stroke, "Enter asks whether to end.");
            None
        }
        Stroke::Next => model.hear(desk, Move::Next),
        Stroke::Previous => model.hear(desk, Move::Previous),
        Stroke::First => model.hear(desk, Move::First),
        Stroke::Last => model.hear(desk, Move::Last),
        Stroke::Sign(' ') => model.hear(desk, Move::Skip),
        Stroke::Sign('/') => model.hear(desk, Move::NextBlank),
        Stroke::RubOut => model.hear(desk, Move::RubOut),
        Stroke::Sign(c) => answer(model, desk, c),
        stroke => {
            model.no_key(desk, &stroke, "F1 shows the keys.");
            None
        }
    }
}
