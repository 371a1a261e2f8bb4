//! What comes of a key: the page's own table says what it does, and here it is done.

use crossterm::event::KeyEvent;

use super::act::Act;
use super::desk::{Desk, SaveState};
use super::keys::pressed;
use super::model::{Ask, Model, Overlay, Shown, Step};
use super::{answering, guessing, key_map, page};
use crate::dialogue::Move;
use crate::domain::sitting::Phase;
use crate::screens::kit::Key;
use crate::words::sitting::Said;
use crate::words::sitting::page as words;

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
    looked(model, desk);
    let shown = model.page(desk);
    let act = key_map::of(model, desk).act(key);
    // Where something is asked, such a key is one of those that go back.
    let asked = model.dialogue.asked(&desk.scene()).is_some();
    if let Some(why) = works_nowhere(desk, key).filter(|_| !asked) {
        model.say(why);
        return None;
    }
    // What was pressed before the page could say that time is up was meant for another page.
    let late = model.dialogue.owes_time_up(&desk.scene());
    if late && !act.is_some_and(Act::is_about_the_program) {
        return model.hear(desk, Move::Cancel);
    }
    let Some(act) = act else {
        no_key(model, desk, shown, key);
        return None;
    };
    does(model, desk, act)
}

/// Takes note of the options that are on the page, before it changes.
pub fn looked(model: &mut Model, desk: &Desk<'_>) {
    let labels = |open| desk.sitting.header().paper.labels(open);
    // Each key comes by here, and the arranging takes longer than all the rest.
    let open = desk.current();
    if let Some(open) = open.filter(|open| !model.has_seen_all(*open, labels(*open))) {
        model.saw(open, page::options_on_the_page(model, desk));
    }
}

/// Whether the key is the last one held down, where it moves on and so must not run away.
///
/// Arrows are to run on while they are held, and stop at either end.
fn is_held(model: &mut Model, desk: &Desk<'_>, key: Key) -> bool {
    let guesses = desk.sitting.phase() == Phase::GuessRound || desk.scene().is_sweeping();
    match key {
        Key::Enter | Key::Tab | Key::Char(' ' | '/' | ';' | ':') => {
            model.held.is_held(key, desk.at)
        }
        Key::Char(_) if guesses => model.held.is_held_letter(key, desk.at),
        _ => {
            model.held.is_held(key, desk.at);
            false
        }
    }
}

/// Why a key does nothing, where that is more than that this page has another one.
fn works_nowhere(desk: &Desk<'_>, key: Key) -> Option<&'static str> {
    match (key, desk.saved) {
        (Key::Ctrl('z'), _) => Some(words::NO_CTRL_Z),
        (
            Key::F(2),
            SaveState::Trouble {
                elsewhere: None, ..
            },
        ) => Some(words::NO_OTHER_PLACE),
        (Key::F(2 | 3), SaveState::Saved | SaveState::Saving { .. }) => Some(words::NO_TROUBLE),
        _ => None,
    }
}

fn does(model: &mut Model, desk: &Desk<'_>, act: Act) -> Option<Ask> {
    match act {
        Act::Make(said) => {
            model.typed = None;
            return model.hear(desk, said);
        }
        Act::CloseAndMake(said) => {
            model.close();
            return model.hear(desk, said);
        }
        Act::Answer(c) => return answering::answer(model, desk, c),
        Act::TurnClock => {
            model.typed = None;
            return answering::turn_clock(model, desk);
        }
        Act::Jump => return answering::jump(model, desk),
        Act::CrossOut(c) => return answering::cross_out(model, desk, c),
        Act::Down if page::scroll_range(model, desk).goes_on(model.top(desk)) => {
            scroll(model, desk, |top, page| top + page);
        }
        Act::Down => return model.hear(desk, Move::Next),
        Act::Up if model.top(desk) > 0 => scroll(model, desk, usize::saturating_sub),
        Act::Up => return model.hear(desk, Move::Previous),
        Act::Redraw => return Some(Ask::Redraw),
        Act::SaveElsewhere => return Some(Ask::SaveElsewhere),
        Act::TryAgain => return Some(Ask::TryAgain),
        Act::Open(overlay) => model.open(desk, overlay),
        Act::Close => model.close(),
        Act::BeginCross => {
            model.crossing = desk.current().is_some();
            if model.crossing {
                model.tell(desk, words::which_to_cross_out(desk.scene().labels()));
            } else {
                model.show(desk, &Said::WhichQuestion);
            }
        }
        Act::DropCross => model.crossing = false,
        Act::BeginNumber => model.typed = Some(String::new()),
        Act::Digit(c) => answering::digit(model, c),
        Act::TakeDigitBack => answering::take_digit_back(model),
        Act::DropNumber => model.typed = None,
        Act::ReadOn => scroll(model, desk, |top, page| top + page),
        Act::ReadBack => scroll(model, desk, usize::saturating_sub),
    }
    None
}

/// Says that a key does nothing on this page, and what does something.
fn no_key(model: &mut Model, desk: &Desk<'_>, shown: Shown, key: Key) {
    match shown {
        Shown::TooSmall | Shown::Closed => {}
        Shown::Over(Overlay::Glance, _) => model.no_key(desk, key, words::ESC_GOES_BACK),
        Shown::Answering => answering::no_key(model, desk, key),
        Shown::Guessing => guessing::no_key(model, desk, key),
        Shown::RestBreak => model.tell(desk, words::ENTER_ENDS_BREAK),
        Shown::TimeUp(_) => {
            let blank = desk.sitting.blanks().next().is_some();
            model.show(desk, &Said::Choose { blank });
        }
        Shown::Over(Overlay::Help, _) => model.tell(desk, words::ESC_GOES_BACK),
        Shown::Over(Overlay::Menu, _) => {
            model.no_key(desk, key, words::KEY_OF_THE_LIST);
        }
        Shown::Over(_, Step::First) if key == Key::Enter => {
            model.tell(desk, words::Y_FIRST);
        }
        Shown::Over(..) => model.no_key(desk, key, words::ESC_GOES_BACK),
    }
}

fn scroll(model: &mut Model, desk: &Desk<'_>, to: impl Fn(usize, usize) -> usize) {
    let range = page::scroll_range(model, desk);
    if range.most == 0 {
        model.tell(desk, words::ALL_ON_THE_PAGE);
        return;
    }
    let top = model.top(desk).min(range.most);
    let page = range.page.saturating_sub(1).max(1);
    model.scroll_to(desk, to(top, page).min(range.most));
}
