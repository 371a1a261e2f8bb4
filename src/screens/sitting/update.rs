//! What a key says, page by page. The questions' own pages have a file each.

use crossterm::event::KeyEvent;

use super::desk::{Desk, SaveState};
use super::keys::{Stroke, stroke};
use super::model::{Ask, Model, Overlay, Shown, Step};
use super::{answering, guessing, page};
use crate::dialogue::{Confirm, Move};
use crate::domain::sitting::Phase;
use crate::words::sitting::Said;

/// What to do before the first key.
pub fn opening(model: &mut Model, desk: &Desk<'_>) -> Option<Ask> {
    let acts = model.dialogue.opening(&desk.scene()).acts;
    (!acts.is_empty()).then_some(Ask::Acts(acts))
}

/// Takes a key: changes what belongs to the screen, and gives what is asked of the loop.
pub fn update(model: &mut Model, desk: &Desk<'_>, key: KeyEvent) -> Option<Ask> {
    let stroke = stroke(key)?;
    if is_held(model, desk, &stroke) {
        return None;
    }
    match desk.sitting.phase() {
        Phase::GuessRound => model.looked.extend(desk.current()),
        // Its page says it all at once.
        Phase::TimeUp => model.dialogue.told_of_time_up(),
        Phase::Running | Phase::OnBreak | Phase::Closed(_) => {}
    }
    model.hush();
    let shown = model.shown(desk);
    let leaving = model.is_asked(desk, Confirm::Leave);
    let filling = model.is_asked(desk, Confirm::Fill);
    let goes_on = match stroke {
        Stroke::Leave => leaving,
        Stroke::Enter | Stroke::Escape => filling && shown == Shown::Guessing,
        _ => false,
    };
    if (leaving || filling) && !goes_on {
        // Any other key drops these two; the other questions have a page of their own.
        model.dialogue.forget();
    }
    match stroke {
        Stroke::Leave if leaving => model.hear(desk, Move::Confirm),
        Stroke::Leave => model.hear(desk, Move::Leave),
        Stroke::Redraw => Some(Ask::Redraw),
        Stroke::Suspend => {
            model.say("Ctrl-Z does not work here: the clock would run on unseen.");
            None
        }
        Stroke::SaveElsewhere | Stroke::TryAgain => save(model, desk, &stroke),
        // What was pressed before the page could say that time is up was meant for another page.
        _ if model.dialogue.owes_time_up(&desk.scene()) => model.hear(desk, Move::Cancel),
        stroke => on_page(model, desk, shown, stroke),
    }
}

/// Whether the key is the last one held down, where it moves on and so must not run away.
///
/// Arrows are to run on while they are held, and stop at either end.
fn is_held(model: &mut Model, desk: &Desk<'_>, stroke: &Stroke) -> bool {
    let held = model.held.is_held(stroke.clone(), desk.at);
    let moves_on = match stroke {
        Stroke::Enter | Stroke::Tab | Stroke::Sign(' ' | '/' | ';') => true,
        Stroke::Sign(_) => desk.sitting.phase() == Phase::GuessRound,
        _ => false,
    };
    moves_on && held
}

fn save(model: &mut Model, desk: &Desk<'_>, stroke: &Stroke) -> Option<Ask> {
    match (desk.saved, stroke) {
        (SaveState::Trouble { .. }, Stroke::TryAgain) => Some(Ask::TryAgain),
        (
            SaveState::Trouble {
                elsewhere: Some(_), ..
            },
            _,
        ) => Some(Ask::SaveElsewhere),
        (SaveState::Trouble { .. }, _) => {
            model.say("There is no other place to save in. Tell your tutor.");
            None
        }
        (SaveState::Saved | SaveState::Saving { .. }, _) => {
            model.say("That key is only for trouble with saving. All is well.");
            None
        }
    }
}

fn on_page(model: &mut Model, desk: &Desk<'_>, shown: Shown, stroke: Stroke) -> Option<Ask> {
    if matches!(stroke, Stroke::PageDown | Stroke::PageUp) && shown != Shown::TooSmall {
        scroll(model, desk, &stroke);
        return None;
    }
    match shown {
        Shown::TooSmall | Shown::Closed => None,
        Shown::Answering => answering::update(model, desk, stroke),
        Shown::Guessing => guessing::update(model, desk, stroke),
        Shown::RestBreak => rest_break(model, desk, &stroke),
        Shown::TimeUp(step) => time_up(model, desk, step, &stroke),
        Shown::Over(Overlay::Help, _) => {
            match stroke {
                Stroke::Escape | Stroke::Enter | Stroke::Help => model.close(),
                _ => model.tell(desk, "Esc goes back."),
            }
            None
        }
        Shown::Over(Overlay::Menu, _) => menu(model, desk, &stroke),
        Shown::Over(Overlay::Finish | Overlay::End, step) => {
            confirm(model, desk, step, &stroke, Move::Finish)
        }
        Shown::Over(Overlay::GiveUp, step) => confirm(model, desk, step, &stroke, Move::GiveUp),
    }
}

fn scroll(model: &mut Model, desk: &Desk<'_>, stroke: &Stroke) {
    let room = page::room(model, desk);
    if room.most == 0 {
        model.tell(desk, "Everything is on the page.");
        return;
    }
    let top = model.top(desk).min(room.most);
    let step = room.page.saturating_sub(1).max(1);
    let top = match stroke {
        Stroke::PageUp => top.saturating_sub(step),
        _ => (top + step).min(room.most),
    };
    model.scroll_to(desk, top);
}

fn rest_break(model: &mut Model, desk: &Desk<'_>, stroke: &Stroke) -> Option<Ask> {
    if *stroke == Stroke::Enter {
        return model.hear(desk, Move::EndBreak);
    }
    model.tell(desk, "Enter ends the break.");
    None
}

fn time_up(model: &mut Model, desk: &Desk<'_>, step: Step, stroke: &Stroke) -> Option<Ask> {
    let blank = desk.sitting.blanks().next().is_some();
    match (stroke, blank, step) {
        (Stroke::Enter, _, Step::Second) => model.hear(desk, Move::Confirm),
        (Stroke::Enter, true, Step::First) => model.hear(desk, Move::Guess),
        (Stroke::Sign('n' | 'N'), true, _) | (Stroke::Sign('e' | 'E'), false, _) => {
            model.hear(desk, Move::Finish)
        }
        (_, _, Step::Second) => model.hear(desk, Move::Cancel),
        (_, blank, Step::First) => {
            model.show(desk, &Said::Choose { blank });
            None
        }
    }
}

fn menu(model: &mut Model, desk: &Desk<'_>, stroke: &Stroke) -> Option<Ask> {
    let running = desk.sitting.phase() == Phase::Running;
    match stroke {
        Stroke::Escape | Stroke::Enter => model.close(),
        Stroke::Help => model.open(desk, Overlay::Help),
        Stroke::Sign('f' | 'F') if running => model.open(desk, Overlay::Finish),
        Stroke::Sign('q' | 'Q') if running => model.open(desk, Overlay::GiveUp),
        Stroke::Sign('b' | 'B') if model.offers(desk, Move::StartBreak) => {
            model.close();
            return model.hear(desk, Move::StartBreak);
        }
        Stroke::Sign('e' | 'E') if !running => model.open(desk, Overlay::End),
        stroke => model.no_key(desk, stroke, "Press a key of the list, or Esc to go on."),
    }
    None
}

/// Two different keys, one after the other: what one key held down cannot give.
fn confirm(
    model: &mut Model,
    desk: &Desk<'_>,
    step: Step,
    stroke: &Stroke,
    asks: Move,
) -> Option<Ask> {
    match (stroke, step) {
        (Stroke::Sign('y' | 'Y'), _) => return model.hear(desk, asks),
        (Stroke::Enter, Step::Second) => {
            model.close();
            return model.hear(desk, Move::Confirm);
        }
        (Stroke::Enter, Step::First) => model.tell(desk, "Type y first, then press Enter."),
        (Stroke::Escape, _) => {
            model.close();
            return model.hear(desk, Move::Cancel);
        }
        (Stroke::Sign('g' | 'G'), _) if asks == Move::Finish => {
            model.close();
            let first = desk.sitting.blanks().next();
            return first.and_then(|first| model.hear(desk, Move::Go(first)));
        }
        (stroke, _) => model.no_key(desk, stroke, "Esc goes back."),
    }
    None
}
