//! The keys of the pages that are words only.

use super::act::{Act, ENTER, ESC, QUESTION_MARK};
use super::desk::Desk;
use super::model::{Model, Overlay, Shown, Step};
use crate::dialogue::Move;
use crate::domain::sitting::Phase;
use crate::screens::kit::{Binding, Key};

const B: &[Key] = &[Key::Char('b')];
const E: &[Key] = &[Key::Char('e')];
const F: &[Key] = &[Key::Char('f')];
const G: &[Key] = &[Key::Char('g')];
const N: &[Key] = &[Key::Char('n')];
const Q: &[Key] = &[Key::Char('q')];
const Y: &[Key] = &[Key::Char('y')];
const HELP: &[Key] = &[Key::Char('h'), Key::F(1)];

/// The keys of a page that is words only.
pub(super) fn of(model: &Model, desk: &Desk<'_>, shown: Shown) -> Vec<Binding<Act>> {
    match shown {
        Shown::RestBreak => vec![
            Binding::keys(
                ENTER,
                Act::Make(Move::EndBreak),
                "End the break; the clock starts again",
            )
            .foot("end the break"),
        ],
        Shown::TimeUp(step) => match desk.sitting.blanks().next() {
            Some(_) => time_up(step),
            None => time_up_without_blanks(step),
        },
        Shown::Over(Overlay::Help, _) => {
            const CLOSE: &[Key] = &[Key::Esc, Key::Enter, Key::F(1), Key::Char('?')];
            vec![Binding::unnamed(CLOSE, Act::Close).called("Esc", "back")]
        }
        Shown::Over(Overlay::Menu, _) => menu(model, desk),
        Shown::Over(Overlay::Finish, step) => {
            let mut keys = confirm(step, Move::Finish, "Finish now");
            keys.extend(first_blank(desk));
            keys
        }
        Shown::Over(Overlay::End, step) => {
            let yes = match desk.sitting.blanks().next() {
                Some(_) => "Leave them blank and finish",
                None => "End",
            };
            let mut keys = confirm(step, Move::Finish, yes);
            keys.extend(first_blank(desk));
            keys
        }
        Shown::Over(Overlay::GiveUp, step) => confirm(step, Move::GiveUp, "Give up"),
        Shown::TooSmall | Shown::Closed | Shown::Answering | Shown::Guessing => Vec::new(),
    }
}

fn menu(model: &Model, desk: &Desk<'_>) -> Vec<Binding<Act>> {
    let running = desk.sitting.phase() == Phase::Running;
    let go_on = if running { "Go on" } else { "Go on guessing" };
    let mut keys = vec![
        Binding::keys(ESC, Act::Close, go_on).foot("go on"),
        Binding::unnamed(ENTER, Act::Close),
    ];
    if running {
        let finish = Act::Open(Overlay::Finish);
        keys.push(Binding::keys(F, finish, "Finish early; asks first").foot("finish early"));
        if model.offers(desk, Move::StartBreak) {
            let says = "Rest break: the clock is stopped, the questions are hidden";
            let rest = Binding::keys(B, Act::CloseAndMake(Move::StartBreak), says);
            keys.push(rest.foot("rest break"));
        }
        let give_up = Binding::keys(Q, Act::Open(Overlay::GiveUp), "Give up; asks first");
        keys.push(give_up.foot("give up"));
    } else {
        let end = Act::Open(Overlay::End);
        keys.push(Binding::keys(E, end, "Finish the guess round; asks first").foot("end"));
    }
    let help = Act::Open(Overlay::Help);
    keys.push(Binding::keys(HELP, help, "Help").help_name("h, F1"));
    keys.push(Binding::unnamed(QUESTION_MARK, help));
    keys
}

/// Two different keys, one after the other: what one key held down cannot give.
fn confirm(step: Step, asks: Move, yes: &'static str) -> Vec<Binding<Act>> {
    let no = Binding::keys(ESC, Act::CloseAndMake(Move::Cancel), "No, go back");
    let mut keys = match step {
        Step::First => vec![then_enter(Y, "y, then Enter", asks, yes, "yes")],
        Step::Second => {
            let yes = format!("{yes}. You typed y.");
            vec![
                Binding::keys(ENTER, Act::CloseAndMake(Move::Confirm), yes).foot("yes"),
                Binding::unnamed(Y, Act::Make(asks)),
            ]
        }
    };
    keys.push(no.foot("no, go on"));
    keys
}

/// The first of two keys.
fn then_enter(
    keys: &'static [Key],
    name: &'static str,
    asks: Move,
    does: &'static str,
    at_the_foot: &'static str,
) -> Binding<Act> {
    Binding::keys(keys, Act::Make(asks), does)
        .help_name(name)
        .called(name, at_the_foot)
}

fn first_blank(desk: &Desk<'_>) -> Option<Binding<Act>> {
    let first = desk.sitting.blanks().next()?;
    let go = Act::CloseAndMake(Move::Go(first));
    let says = format!("Go to the first blank, {first}");
    Some(Binding::keys(G, go, says).foot("go to the first blank"))
}

fn time_up(step: Step) -> Vec<Binding<Act>> {
    match step {
        Step::First => vec![
            Binding::keys(ENTER, Act::Make(Move::Guess), "Guess the blanks")
                .foot("guess the blanks"),
            then_enter(
                N,
                "n, then Enter",
                Move::Finish,
                "Leave them blank and finish",
                "leave them blank and finish",
            ),
        ],
        Step::Second => vec![
            Binding::keys(
                ENTER,
                Act::Make(Move::Confirm),
                "Leave them blank and finish. You typed n.",
            )
            .foot("leave them blank and finish"),
            Binding::unnamed(N, Act::Make(Move::Finish)),
            back(),
        ],
    }
}

fn time_up_without_blanks(step: Step) -> Vec<Binding<Act>> {
    match step {
        Step::First => vec![then_enter(
            E,
            "e, then Enter",
            Move::Finish,
            "Finish",
            "end",
        )],
        Step::Second => vec![
            Binding::keys(ENTER, Act::Make(Move::Confirm), "Finish. You typed e.").foot("end"),
            Binding::unnamed(E, Act::Make(Move::Finish)),
            back(),
        ],
    }
}

/// Any key goes back, and one of them is named.
fn back() -> Binding<Act> {
    Binding::any_other(Act::Make(Move::Cancel), "Back")
        .help_name("Esc")
        .called("Esc", "back")
}
