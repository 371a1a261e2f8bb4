//! What a key says, page by page. The questions' own pages have a file each.

use crossterm::event::KeyEvent;

use super::desk::{Desk, SaveState};
use super::keys::pressed;
use super::model::{Ask, Model, Overlay, Shown, Step};
use super::{answering, guessing, page};
use crate::dialogue::{Confirm, Move};
use crate::domain::sitting::Phase;
use crate::screens::kit::Key;
use crate::words::sitting::Said;

/// What to do before the first key.
pub fn opening(model: &mut Model, desk: &Desk<'_>) -> Option<Ask> {
    let acts = model.dialogue.opening(&desk.scene()).acts;
    (!acts.is_empty()).then_some(Ask::Acts(acts))
}

/// Takes a key: changes what belongs to the screen, and gives what is asked of the loop.
pub fn update(model: &mut Model, desk: &Desk<'_>, event: KeyEvent) -> Option<Ask> {
    let key = pressed(event)?;
    if is_held(model, desk, key) {
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
    let goes_on = match key {
        Key::STOP => leaving,
        Key::Enter | Key::Esc => filling && shown == Shown::Guessing,
        _ => false,
    };
    if (leaving || filling) && !goes_on {
        // Any other key drops these two; the other questions have a page of their own.
        model.dialogue.forget();
    }
    match key {
        Key::STOP if leaving => model.hear(desk, Move::Confirm),
        Key::STOP => model.hear(desk, Move::Leave),
        Key::Ctrl('l') => Some(Ask::Redraw),
        Key::Ctrl('z') => {
            model.say("Ctrl-Z does not work here: the clock would run on unseen.");
            None
        }
        Key::F(2 | 3) => save(model, desk, key),
        // What was pressed before the page could say that time is up was meant for another page.
        _ if model.dialogue.owes_time_up(&desk.scene()) => model.hear(desk, Move::Cancel),
        key => on_page(model, desk, shown, key),
    }
}

/// Whether the key is the last one held down, where it moves on and so must not run away.
///
/// Arrows are to run on while they are held, and stop at either end.
fn is_held(model: &mut Model, desk: &Desk<'_>, key: Key) -> bool {
    let held = model.held.is_held(key, desk.at);
    let moves_on = match key {
        Key::Enter | Key::Tab | Key::Char(' ' | '/' | ';') => true,
        Key::Char(_) => desk.sitting.phase() == Phase::GuessRound,
        _ => false,
    };
    moves_on && held
}

fn save(model: &mut Model, desk: &Desk<'_>, key: Key) -> Option<Ask> {
    match (desk.saved, key) {
        (SaveState::Trouble { .. }, Key::F(3)) => Some(Ask::TryAgain),
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

fn on_page(model: &mut Model, desk: &Desk<'_>, shown: Shown, key: Key) -> Option<Ask> {
    if matches!(key, Key::PageDown | Key::PageUp) && shown != Shown::TooSmall {
        scroll(model, desk, key);
        return None;
    }
    match shown {
        Shown::TooSmall | Shown::Closed => None,
        Shown::Answering => answering::update(model, desk, key),
        Shown::Guessing => guessing::update(model, desk, key),
        Shown::RestBreak => rest_break(model, desk, key),
        Shown::TimeUp(step) => time_up(model, desk, step, key),
        Shown::Over(Overlay::Help, _) => {
            match key {
                Key::Esc | Key::Enter | Key::F(1) | Key::Char('?') => model.close(),
                _ => model.tell(desk, "Esc goes back."),
            }
            None
        }
        Shown::Over(Overlay::Menu, _) => menu(model, desk, key),
        Shown::Over(Overlay::Finish | Overlay::End, step) => {
            confirm(model, desk, step, key, Move::Finish)
        }
        Shown::Over(Overlay::GiveUp, step) => confirm(model, desk, step, key, Move::GiveUp),
    }
}

fn scroll(model: &mut Model, desk: &Desk<'_>, key: Key) {
    let room = page::room(model, desk);
    if room.most == 0 {
        model.tell(desk, "Everything is on the page.");
        return;
    }
    let top = model.top(desk).min(room.most);
    let step = room.page.saturating_sub(1).max(1);
    let top = match key {
        Key::PageUp => top.saturating_sub(step),
        _ => (top + step).min(room.most),
    };
    model.scroll_to(desk, top);
}

fn rest_break(model: &mut Model, desk: &Desk<'_>, key: Key) -> Option<Ask> {
    if key == Key::Enter {
        return model.hear(desk, Move::EndBreak);
    }
    model.tell(desk, "Enter ends the break.");
    None
}

fn time_up(model: &mut Model, desk: &Desk<'_>, step: Step, key: Key) -> Option<Ask> {
    let blank = desk.sitting.blanks().next().is_some();
    match (key, blank, step) {
        (Key::Enter, _, Step::Second) => model.hear(desk, Move::Confirm),
        (Key::Enter, true, Step::First) => model.hear(desk, Move::Guess),
        (Key::Char('n' | 'N'), true, _) | (Key::Char('e' | 'E'), false, _) => {
            model.hear(desk, Move::Finish)
        }
        (_, _, Step::Second) => model.hear(desk, Move::Cancel),
        (_, blank, Step::First) => {
            model.show(desk, &Said::Choose { blank });
            None
        }
    }
}

fn menu(model: &mut Model, desk: &Desk<'_>, key: Key) -> Option<Ask> {
    let running = desk.sitting.phase() == Phase::Running;
    match key {
        Key::Esc | Key::Enter => model.close(),
        Key::F(1) | Key::Char('?') => model.open(desk, Overlay::Help),
        Key::Char('f' | 'F') if running => model.open(desk, Overlay::Finish),
        Key::Char('q' | 'Q') if running => model.open(desk, Overlay::GiveUp),
        Key::Char('b' | 'B') if model.offers(desk, Move::StartBreak) => {
            model.close();
            return model.hear(desk, Move::StartBreak);
        }
        Key::Char('e' | 'E') if !running => model.open(desk, Overlay::End),
        key => model.no_key(desk, key, "Press a key of the list, or Esc to go on."),
    }
    None
}

/// Two different keys, one after the other: what one key held down cannot give.
fn confirm(model: &mut Model, desk: &Desk<'_>, step: Step, key: Key, asks: Move) -> Option<Ask> {
    match (key, step) {
        (Key::Char('y' | 'Y'), _) => return model.hear(desk, asks),
        (Key::Enter, Step::Second) => {
            model.close();
            return model.hear(desk, Move::Confirm);
        }
        (Key::Enter, Step::First) => model.tell(desk, "Type y first, then press Enter."),
        (Key::Esc, _) => {
            model.close();
            return model.hear(desk, Move::Cancel);
        }
        (Key::Char('g' | 'G'), _) if asks == Move::Finish => {
            model.close();
            let first = desk.sitting.blanks().next();
            return first.and_then(|first| model.hear(desk, Move::Go(first)));
        }
        (key, _) => model.no_key(desk, key, "Esc goes back."),
    }
    None
}
