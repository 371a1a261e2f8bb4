//! The keys of the guess round: only what was blank at time up, one after another.

use super::act::{
    Act, END, ENTER, ESC, HOME, QUESTION_MARK, RUBS_OUT, SLASH, SPACE, leaves, opens_help,
};
use super::desk::Desk;
use super::model::{Model, Overlay};
use crate::dialogue::{Confirm, Move};
use crate::screens::kit::{Binding, Key};
use crate::words::sitting::page as words;

/// The keys of the guess round; while it is asked whether to fill, the foot names only the two that
/// answer.
pub(super) fn keys(model: &Model, desk: &Desk<'_>) -> Vec<Binding<Act>> {
    if !model.is_asked(desk, Confirm::Fill) {
        return own_keys(model, desk);
    }
    let mut keys = vec![
        Binding::unnamed(ENTER, Act::Make(Move::Confirm)).foot("fill at random"),
        Binding::unnamed(ESC, Act::Make(Move::Cancel)).foot("cancel"),
    ];
    let others = own_keys(model, desk).into_iter();
    keys.extend(others.map(Binding::off_the_foot));
    keys
}

fn own_keys(model: &Model, desk: &Desk<'_>) -> Vec<Binding<Act>> {
    let end = Binding::keys(ENTER, Act::Open(Overlay::End), "finish; asks first");
    // At time up every question may have had its answer: then there is nothing to act on.
    let mut keys = match desk.current() {
        Some(_) => keys_on_question(model, desk),
        None => Vec::new(),
    };
    keys.extend(fill(model, desk));
    keys.extend([
        end.foot("finish").place(2),
        Binding::keys(ESC, Act::Open(Overlay::Menu), "menu"),
        opens_help().place(2).rank(1),
        Binding::unnamed(QUESTION_MARK, Act::Open(Overlay::Help)),
        leaves(),
    ]);
    keys
}

fn keys_on_question(model: &Model, desk: &Desk<'_>) -> Vec<Binding<Act>> {
    const RIGHT: &[Key] = &[Key::Right, Key::Down];
    const LEFT: &[Key] = &[Key::Left, Key::Up];
    let range = desk.scene().labels().range();
    let guess = Binding::letters(Act::Answer, "guess, and on to the next blank");
    let pass_on = Binding::keys(SPACE, Act::Make(Move::Skip), "pass on to the next blank");
    let pass_on = pass_on.help_name("Space, /");
    let right = Binding::keys(RIGHT, Act::Make(Move::Next), "next one, one before");
    let right = right.help_name("Right, Left").called("Arrows", "move");
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
        right.place(1).rank(2),
        Binding::unnamed(LEFT, Act::Make(Move::Previous)),
        home.help_name("Home, End"),
        Binding::unnamed(END, Act::Make(Move::Last)),
        take_back.called("-", "rub out").place(1).rank(2),
    ]
}

/// One key offers to fill what is blank, and, where nothing is, takes back what was filled.
fn fill(model: &Model, desk: &Desk<'_>) -> [Binding<Act>; 2] {
    const STAR: &[Key] = &[Key::Char('*')];
    let blank = desk.sitting.blanks().next().is_some();
    let does = Act::Make(if blank {
        Move::Fill
    } else {
        Move::TakeFillsBack
    });
    let fill = Binding::keys(STAR, does, "fill the rest at random").help_name("*, Enter");
    let take_back = Binding::keys(STAR, does, "no blanks left: undo the filling");
    if model.offers(desk, Move::Fill) {
        [fill.foot("fill the rest at random"), take_back]
    } else if model.offers(desk, Move::TakeFillsBack) {
        [fill, take_back.foot("undo the filling")]
    } else {
        [fill, take_back]
    }
}

/// What is said to a key that does nothing here.
pub(super) fn no_key(model: &mut Model, desk: &Desk<'_>, key: Key) {
    let what_works = match desk.current() {
        Some(_) => words::F1_SHOWS,
        None => words::ENTER_ASKS,
    };
    model.no_key(desk, key, what_works);
}
