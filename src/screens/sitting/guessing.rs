//! The keys of the guess round: only what was blank at time up, one after another.

use super::act::{Act, END, ESC, HOME, QUESTION_MARK, RUBS_OUT, SLASH, SPACE, leaves, opens_help};
use super::answering::{self, begins_cross, glance, number};
use super::desk::Desk;
use super::model::{Model, Overlay};
use crate::dialogue::Move;
use crate::screens::kit::{Binding, Key};
use crate::words::sitting::page as words;

/// The keys of the guess round.
pub(super) fn keys(model: &Model, desk: &Desk<'_>) -> Vec<Binding<Act>> {
    // At time up every question may have had its answer: then there is nothing to act on.
    let mut keys = match desk.current() {
        Some(_) => keys_on_question(model, desk),
        None => Vec::new(),
    };
    keys.extend(fill(model, desk));
    keys.extend([
        glance().off_the_foot(),
        Binding::keys(ESC, Act::Open(Overlay::Menu), "menu: finish")
            .called(words::ESC_THEN_F, "finish")
            .place(2),
        opens_help().place(2).rank(1),
        Binding::unnamed(QUESTION_MARK, Act::Open(Overlay::Help)),
        leaves(),
    ]);
    keys
}

fn keys_on_question(model: &Model, desk: &Desk<'_>) -> Vec<Binding<Act>> {
    const NEXT: &[Key] = &[Key::Enter, Key::Right];
    let range = desk.scene().labels().range();
    let guess = Binding::letters(Act::Answer, "guess, and on to the next blank");
    let pass_on = Binding::keys(SPACE, Act::Make(Move::Skip), "pass on to the next blank");
    let pass_on = pass_on.help_name("Space, /");
    let next = Binding::keys(NEXT, Act::Make(Move::Next), "next one");
    let next = next.help_name("Enter, Right").called("Enter", "next");
    let back = Binding::keys(&[Key::Left], Act::Make(Move::Previous), "one before");
    let home = Binding::keys(HOME, Act::Make(Move::First), "first, last one");
    let take_back = Binding::keys(RUBS_OUT, Act::Make(Move::RubOut), "rub the guess out");
    let take_back = take_back.help_name("-, Backspace");
    vec![
        guess.help_name(range.clone()).called(range, "guess"),
        if model.offers(desk, Move::Fill) {
            pass_on.foot("pass on").rank(1)
        } else {
            pass_on
        },
        Binding::unnamed(SLASH, Act::Make(Move::NextBlank)),
        next.place(1).rank(2),
        Binding::unnamed(&[Key::Down], Act::Down),
        back.foot("back").place(1).rank(3),
        Binding::unnamed(&[Key::Up], Act::Up),
        home.help_name("Home, End"),
        Binding::unnamed(END, Act::Make(Move::Last)),
        take_back.called("-", "rub out").place(1).rank(2),
        begins_cross().off_the_foot(),
        number(desk).off_the_foot(),
    ]
}

/// One key offers to fill what a guess does not lose on, and, where all of that is filled, takes it
/// back.
fn fill(model: &Model, desk: &Desk<'_>) -> [Binding<Act>; 2] {
    const STAR: &[Key] = &[Key::Char('*')];
    let fills = model.offers(desk, Move::Fill);
    let undoes = !fills && model.offers(desk, Move::TakeFillsBack);
    let blank = desk.sitting.blanks().next().is_some();
    let does = if fills {
        Act::Open(Overlay::Fill)
    } else if blank && !undoes {
        // Says why none of them is filled.
        Act::Make(Move::Fill)
    } else {
        Act::Make(Move::TakeFillsBack)
    };
    let fill = Binding::keys(STAR, does, "fill the rest at random; asks first");
    let take_back = Binding::keys(STAR, does, "all filled: undo the filling");
    if fills {
        [fill.foot("fill the rest at random"), take_back]
    } else if undoes {
        [fill, take_back.foot("undo the filling")]
    } else {
        [fill, take_back]
    }
}

/// What is said to a key that does nothing here.
pub(super) fn no_key(model: &mut Model, desk: &Desk<'_>, key: Key) {
    if model.crossing || model.typed.is_some() {
        return answering::no_key(model, desk, key);
    }
    let what_works = match desk.current() {
        Some(_) => words::F1_SHOWS,
        None => words::ESC_F_ASKS,
    };
    model.no_key(desk, key, what_works);
}
