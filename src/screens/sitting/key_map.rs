//! The keys of the page that shows: those of the page itself, and those of every page.

use super::act::{Act, PAGE_DOWN};
use super::desk::{Desk, SaveState};
use super::model::{Model, Overlay, Shown};
use super::{answering, guessing, panel_keys, sweeping};
use crate::domain::sitting::Phase;
use crate::screens::kit::{Binding, Key, KeyMap};

/// Behind all the others at the foot.
const LAST: u8 = u8::MAX;

/// The keys that work now.
pub(super) fn of(model: &Model, desk: &Desk<'_>) -> KeyMap<Act> {
    let shown = model.page(desk);
    let mut keys = match shown {
        Shown::Answering | Shown::Guessing if model.crossing => {
            answering::keys_while_crossing(desk)
        }
        Shown::Answering | Shown::Guessing if model.typed.is_some() => {
            answering::keys_while_typing(desk)
        }
        Shown::Answering if desk.scene().is_sweeping() => sweeping::keys(desk),
        Shown::Answering => answering::keys(desk),
        Shown::Guessing => guessing::keys(model, desk),
        _ => panel_keys::of(model, desk, shown),
    };
    keys.extend(of_every_page(desk, shown));
    KeyMap::new(keys)
}

/// The keys of the page below the help and the menu.
pub(super) fn below(model: &Model, desk: &Desk<'_>) -> KeyMap<Act> {
    KeyMap::new(if desk.sitting.phase() == Phase::GuessRound {
        guessing::keys(model, desk)
    } else if desk.scene().is_sweeping() {
        sweeping::keys(desk)
    } else {
        answering::keys(desk)
    })
}

fn of_every_page(desk: &Desk<'_>, shown: Shown) -> Vec<Binding<Act>> {
    const REDRAW: &[Key] = &[Key::Ctrl('l')];
    let mut keys = vec![
        Binding::unnamed(&[Key::STOP], Act::Open(Overlay::Leave)),
        Binding::unnamed(REDRAW, Act::Redraw),
    ];
    // What there is to read on, the page says itself.
    keys.push(Binding::unnamed(PAGE_DOWN, Act::ReadOn));
    keys.push(Binding::unnamed(&[Key::PageUp], Act::ReadBack));
    if !matches!(shown, Shown::Answering | Shown::Guessing) {
        keys.push(Binding::unnamed(&[Key::Down], Act::ReadOn));
        keys.push(Binding::unnamed(&[Key::Up], Act::ReadBack));
    }
    if let SaveState::Trouble { elsewhere, .. } = desk.saved {
        if elsewhere.is_some() {
            let save = Binding::unnamed(&[Key::F(2)], Act::SaveElsewhere);
            keys.push(save.foot("save elsewhere").place(LAST));
        }
        let again = Binding::unnamed(&[Key::F(3)], Act::TryAgain);
        keys.push(again.foot("try to save").place(LAST).rank(1));
    }
    keys
}
