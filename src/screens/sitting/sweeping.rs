//! The keys of the sweep: the blanks one after another, a letter each, every one a guess.

use super::act::{Act, ENTER, HOME, QUESTION_MARK, RUBS_OUT, SPACE, leaves, opens_help};
use super::answering::{
    begins_cross, clock, glance, last, menu, next_flag, next_unsure, number, sweep,
};
use super::desk::Desk;
use super::model::Overlay;
use crate::dialogue::Move;
use crate::screens::kit::{Binding, Key};

/// The keys of the sweep.
pub(super) fn keys(desk: &Desk<'_>) -> Vec<Binding<Act>> {
    const RIGHT: &[Key] = &[Key::Right, Key::Down, Key::Char('/')];
    const LEFT: &[Key] = &[Key::Left, Key::Up];
    let range = desk.scene().labels().range();
    let guess = Binding::letters(Act::Answer, "guess, and on to the next blank");
    let pass_on = Binding::keys(
        ENTER,
        Act::Make(Move::NextBlank),
        "pass on to the next blank",
    );
    let pass_on = pass_on.help_name("Enter, Right, Space, /");
    let back = Binding::keys(LEFT, Act::Make(Move::Previous), "the guess or blank before");
    let home = Binding::keys(HOME, Act::Make(Move::First), "first, last one");
    let flag = Binding::keys(&[Key::Tab], Act::Make(Move::Flag), "flag on or off");
    let rub_out = Binding::keys(RUBS_OUT, Act::Make(Move::RubOut), "rub the guess out");
    let rub_out = rub_out.help_name("-, Backspace");
    vec![
        guess
            .help_name(range.clone())
            .called(range, "guess, logged as a guess"),
        pass_on.called("Enter", "next blank"),
        Binding::unnamed(RIGHT, Act::Make(Move::NextBlank)),
        Binding::unnamed(SPACE, Act::Make(Move::NextBlank)),
        back.help_name("Left, Up")
            .called("Left", "back")
            .place(1)
            .rank(2),
        home.help_name("Home, End"),
        last(),
        rub_out.called("-", "rub out").place(1).rank(1),
        begins_cross().rank(3),
        flag,
        number(desk).off_the_foot(),
        next_flag().off_the_foot(),
        next_unsure(),
        Binding::unnamed(QUESTION_MARK, Act::Open(Overlay::Help)),
        sweep(desk),
        glance().off_the_foot(),
        clock(desk).off_the_foot(),
        opens_help().place(4),
        menu().place(4),
        leaves(),
    ]
}
