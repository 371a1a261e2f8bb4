//! The keys of the pages that are words only.

use super::act::{Act, ENTER, ESC, QUESTION_MARK};
use super::answering::keys_of_number;
use super::desk::Desk;
use super::model::{Model, Overlay, Shown, Step};
use crate::dialogue::{Confirm, Move};
use crate::domain::sitting::Phase;
use crate::screens::kit::{Binding, Key};
use crate::words::guess::GuessWorth;
use crate::words::sitting::page as words;

const B: &[Key] = &[Key::Char('b')];
const F: &[Key] = &[Key::Char('f')];
const G: &[Key] = &[Key::Char('g')];
const L: &[Key] = &[Key::Char('l')];
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
        Shown::TimeUp(asked) => time_up(desk, asked),
        Shown::Over(Overlay::Help, _) => {
            const CLOSE: &[Key] = &[Key::Esc, Key::Enter, Key::F(1), Key::Char('?')];
            vec![Binding::unnamed(CLOSE, Act::Close).called("Esc", "back")]
        }
        Shown::Over(Overlay::Glance, _) if model.typed.is_some() => keys_of_number().into(),
        Shown::Over(Overlay::Glance, _) => {
            const CLOSE: &[Key] = &[Key::Esc, Key::Enter, Key::Char('=')];
            let digits = Binding::digits(Act::Digit, words::GO_TO_12).help_name("12, Enter");
            vec![
                // After time up only some questions can be gone to, and 7 may not be one of them.
                if desk.sitting.phase() == Phase::GuessRound {
                    digits.called(words::NUMBER_ENTER, words::GO_TO_A_BLANK)
                } else {
                    digits.called("7 Enter", "go to 7")
                },
                Binding::unnamed(CLOSE, Act::Close).called("Esc", "back"),
            ]
        }
        Shown::Over(Overlay::Menu, _) => menu(model, desk),
        Shown::Over(Overlay::Finish, step) => {
            let mut keys = confirm(step, Move::Finish, "Finish now");
            keys.extend(sweep_first(model, desk));
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
        Shown::Over(Overlay::GiveUp, step) => {
            let mut keys = confirm(step, Move::GiveUp, "Give up");
            keys.push(leave_for_later());
            keys
        }
        Shown::Over(Overlay::Leave, step) => confirm(step, Move::Leave, "Leave"),
        Shown::Over(Overlay::Fill, step) => confirm(step, Move::Fill, "Fill at random"),
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
        keys.push(leave_for_later());
        let give_up = Binding::keys(Q, Act::Open(Overlay::GiveUp), "Give up; asks first");
        keys.push(give_up.foot("give up"));
    } else {
        let end = Act::Open(Overlay::End);
        keys.push(Binding::keys(F, end, "Finish the guess round; asks first").foot("finish"));
        keys.push(leave_for_later());
    }
    let help = Act::Open(Overlay::Help);
    keys.push(Binding::keys(HELP, help, "Help").help_name("h, F1"));
    keys.push(Binding::unnamed(QUESTION_MARK, help));
    keys
}

/// The one way to carry on another time.
fn leave_for_later() -> Binding<Act> {
    let leave = Act::Open(Overlay::Leave);
    Binding::keys(L, leave, "Leave and carry on later; asks first").foot("leave")
}

/// Two different keys, one after the other: what one key held down cannot give.
fn confirm(step: Step, asks: Move, yes: &'static str) -> Vec<Binding<Act>> {
    let cancel = Act::CloseAndMake(Move::Cancel);
    match step {
        Step::First => vec![
            then_enter(Y, "y, then Enter", asks, yes, "yes"),
            Binding::keys(ESC, cancel, "No, go back").foot("no, go on"),
        ],
        Step::Second => {
            let yes = format!("{yes}. You typed y.");
            vec![
                Binding::keys(ENTER, Act::CloseAndMake(Move::Confirm), yes).foot("yes"),
                Binding::unnamed(Y, Act::Make(asks)),
                // Whatever else is pressed, Enter after it is no yes any more.
                Binding::any_other(cancel, words::NO_GO_BACK)
                    .help_name("Esc")
                    .called("Esc", words::NO_GO_ON),
            ]
        }
    }
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

/// Where guesses may gain, the blanks are offered before the sitting is finished.
fn sweep_first(model: &Model, desk: &Desk<'_>) -> Option<Binding<Act>> {
    const EXCLAMATION: &[Key] = &[Key::Char('!')];
    let gains = GuessWorth::of(desk.sitting) != GuessWorth::Nothing;
    let offered = gains && model.offers(desk, Move::Sweep);
    let sweep = || {
        let sweep = Act::CloseAndMake(Move::Sweep);
        Binding::keys(EXCLAMATION, sweep, "Guess the blanks first, one by one").foot("sweep")
    };
    offered.then(sweep)
}

fn first_blank(desk: &Desk<'_>) -> Option<Binding<Act>> {
    let first = desk.sitting.blanks().next()?;
    let go = Act::CloseAndMake(Move::Go(first));
    let says = format!("Go to the first blank, {first}");
    Some(Binding::keys(G, go, says).foot("go to the first blank"))
}

/// Guess or finish: a letter, then Enter.
fn time_up(desk: &Desk<'_>, asked: Option<Confirm>) -> Vec<Binding<Act>> {
    let blank = desk.sitting.blanks().next().is_some();
    let finish = if blank {
        "Leave them blank and finish"
    } else {
        "Finish"
    };
    let at_the_foot = if blank {
        "leave them blank and finish"
    } else {
        "finish"
    };
    let confirm = |says: String, foot: &'static str| {
        Binding::keys(ENTER, Act::Make(Move::Confirm), says).foot(foot)
    };
    match asked {
        Some(Confirm::Guess) => vec![
            confirm(
                "Guess the blanks. You typed g.".to_owned(),
                "guess the blanks",
            ),
            Binding::unnamed(G, Act::Make(Move::Guess)),
            back(),
        ],
        Some(_) => vec![
            confirm(format!("{finish}. You typed f."), at_the_foot),
            Binding::unnamed(F, Act::Make(Move::Finish)),
            back(),
        ],
        None => {
            let guess = then_enter(
                G,
                "g, then Enter",
                Move::Guess,
                "Guess the blanks",
                "guess the blanks",
            );
            let finish = then_enter(F, "f, then Enter", Move::Finish, finish, at_the_foot);
            let guess = blank.then_some(guess);
            guess.into_iter().chain([finish]).collect()
        }
    }
}

/// Any key goes back, and one of them is named.
fn back() -> Binding<Act> {
    Binding::any_other(Act::Make(Move::Cancel), "Back")
        .help_name("Esc")
        .called("Esc", "back")
}
