//! The keys while the clock runs: letters answer the open question, everything else moves or says.

use super::act::{
    Act, BACKSPACE, END, ENTER, ESC, HOME, PAGE_DOWN, QUESTION_MARK, RUBS_OUT, SLASH, SPACE,
    leaves, opens_help,
};
use super::desk::Desk;
use super::model::{Ask, ClockShown, Model, Overlay};
use super::question::has_words;
use crate::dialogue::Move;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Phase;
use crate::screens::kit::{Binding, Key, is_too_small};
use crate::words::how::in_a_sentence;
use crate::words::sitting::Said;
use crate::words::sitting::page as words;

/// More digits than any question's number has.
const LONGEST_NUMBER: usize = 4;

/// The keys while the clock runs; until a question is open, the foot names only those that open one.
pub(super) fn keys(desk: &Desk<'_>) -> Vec<Binding<Act>> {
    let on_open = |binding: Binding<Act>| match desk.sitting.open() {
        Some(_) => binding,
        None => binding.off_the_foot(),
    };
    let range = desk.scene().labels().range();
    let answer = Binding::letters(Act::Answer, "answer; another one changes it");
    let later = Binding::keys(SPACE, Act::Make(Move::Skip), "leave it for later");
    let flag = Binding::keys(&[Key::Tab], Act::Make(Move::Flag), "flag on or off");
    let rub_out = Binding::keys(RUBS_OUT, Act::Make(Move::RubOut), "rub the answer out");
    let rub_out = rub_out.help_name("-, Backspace");
    vec![
        on_open(answer.help_name(range.clone()).called(range, "answer")),
        next(desk),
        Binding::unnamed(&[Key::Down], Act::Down),
        on_open(previous()),
        Binding::unnamed(&[Key::Up], Act::Up),
        first(),
        last(),
        number(desk),
        on_open(later.foot("later").place(2).rank(1)),
        on_open(next_blank()),
        on_open(flag.foot("flag").place(2).rank(2)),
        on_open(next_flag()),
        on_open(next_unsure()),
        on_open(rub_out.called("-", "rub out").place(3).rank(1)),
        unsure(desk),
        on_open(begins_cross()),
        sweep(desk),
        glance(),
        clock(desk),
        Binding::keys(PAGE_DOWN, Act::ReadOn, "read on in a long question"),
        opens_help().place(4),
        menu().place(4),
        leaves(),
    ]
}

/// The keys while a number is half typed: nothing but a move or its end is taken, so that no letter
/// meant for that question answers the open one.
pub(super) fn keys_while_typing(desk: &Desk<'_>) -> Vec<Binding<Act>> {
    let mut keys: Vec<_> = keys_of_number().into();
    let mut moves = vec![
        next(desk),
        Binding::unnamed(&[Key::Down], Act::Down),
        previous(),
        Binding::unnamed(&[Key::Up], Act::Up),
        first(),
        last(),
        next_blank(),
        opens_help(),
    ];
    // After time there are no flags to go to, and no clock.
    if desk.sitting.phase() == Phase::Running {
        moves.extend([next_flag(), clock(desk)]);
    }
    keys.extend(moves.into_iter().map(Binding::off_the_foot));
    keys
}

/// The keys that write a question's number and go there.
pub(super) fn keys_of_number() -> [Binding<Act>; 4] {
    let digits = Binding::digits(Act::Digit, "a question's number").called("0-9", "number");
    [
        digits.rank(1),
        Binding::unnamed(ENTER, Act::Jump).foot("go there"),
        Binding::unnamed(BACKSPACE, Act::TakeDigitBack)
            .foot("take one back")
            .rank(2),
        Binding::unnamed(ESC, Act::DropNumber)
            .foot("cancel")
            .rank(1),
    ]
}

fn next(desk: &Desk<'_>) -> Binding<Act> {
    const NEXT: &[Key] = &[Key::Enter, Key::Right];
    let next = Binding::keys(NEXT, Act::Make(Move::Next), "next question");
    let next = next.help_name("Enter, Right");
    match desk.sitting.open() {
        Some(_) => next.called("Enter", "next"),
        None => next.called("Enter", "first question").place(1).rank(1),
    }
}

fn previous() -> Binding<Act> {
    let previous = Act::Make(Move::Previous);
    let left = Binding::keys(&[Key::Left], previous, "question before");
    left.foot("back").place(3).rank(4)
}

/// Opens the menu.
pub(super) fn menu() -> Binding<Act> {
    let menu = Act::Open(Overlay::Menu);
    Binding::keys(ESC, menu, "menu: finish, rest, leave, give up").foot("menu")
}

/// The keys while an option to cross out is waited for: no letter answers then.
pub(super) fn keys_while_crossing(desk: &Desk<'_>) -> Vec<Binding<Act>> {
    const DROP: &[Key] = &[Key::Esc, Key::Enter, Key::Backspace, Key::Char(',')];
    let range = desk.scene().labels().range();
    let letters = Binding::letters(Act::CrossOut, "cross it out, or back");
    vec![
        letters.called(range, "cross out, or back"),
        Binding::unnamed(DROP, Act::DropCross).called("Esc", "cancel"),
    ]
}

/// Begins to cross an option out.
pub(super) fn begins_cross() -> Binding<Act> {
    const COMMA: &[Key] = &[Key::Char(',')];
    let cross = Binding::keys(COMMA, Act::BeginCross, "cross an option out, or back");
    cross
        .help_name(", and a letter")
        .called(", C", "cross C out")
        .place(3)
        .rank(3)
}

/// Begins the sweep, or leaves it.
pub(super) fn sweep(desk: &Desk<'_>) -> Binding<Act> {
    const EXCLAMATION: &[Key] = &[Key::Char('!')];
    let make = Act::Make(Move::Sweep);
    if desk.scene().is_sweeping() {
        Binding::keys(EXCLAMATION, make, "leave the sweep")
            .foot("leave the sweep")
            .place(2)
    } else {
        let says = "sweep: guess the blanks one by one";
        Binding::keys(EXCLAMATION, make, says)
            .foot("sweep")
            .place(3)
            .rank(2)
    }
}

/// Shows all questions at a glance.
pub(super) fn glance() -> Binding<Act> {
    const EQUALS: &[Key] = &[Key::Char('=')];
    let open = Act::Open(Overlay::Glance);
    let glance = Binding::keys(EQUALS, open, "all questions at a glance");
    glance.foot("all").place(4).rank(3)
}

pub(super) fn next_unsure() -> Binding<Act> {
    const COLON: &[Key] = &[Key::Char(':')];
    Binding::keys(COLON, Act::Make(Move::NextUnsure), "next unsure answer")
}

fn first() -> Binding<Act> {
    Binding::keys(HOME, Act::Make(Move::First), "first, last question").help_name("Home, End")
}

pub(super) fn last() -> Binding<Act> {
    Binding::unnamed(END, Act::Make(Move::Last))
}

/// Begins a question's number: with a digit, or, where these answer, with a sign before it.
pub(super) fn number(desk: &Desk<'_>) -> Binding<Act> {
    const HASH: &[Key] = &[Key::Char('#')];
    let says = words::GO_TO_12;
    let binding = if desk.scene().digits_answer() {
        let hash = Binding::keys(HASH, Act::BeginNumber, says);
        hash.help_name("#, 12, Enter").called("#7 Enter", "go to 7")
    } else {
        let digits = Binding::digits(Act::Digit, says);
        digits.help_name("12, Enter").called("7 Enter", "go to 7")
    };
    binding.rank(u8::from(desk.sitting.open().is_some()))
}

fn next_blank() -> Binding<Act> {
    let next = Binding::keys(SLASH, Act::Make(Move::NextBlank), "next blank");
    next.foot("next blank").place(1).rank(1)
}

pub(super) fn next_flag() -> Binding<Act> {
    const SEMICOLON: &[Key] = &[Key::Char(';')];
    let next = Binding::keys(SEMICOLON, Act::Make(Move::NextFlag), "next flag");
    next.foot("next flag").place(4).rank(5)
}

/// Marks the answer, or, where there is none to mark, helps.
fn unsure(desk: &Desk<'_>) -> Binding<Act> {
    let given = desk.scene().row().and_then(|row| row.in_time);
    let act = match given {
        Some(_) => Act::Make(Move::SayNext),
        None => Act::Open(Overlay::Help),
    };
    let unsure = Binding::keys(QUESTION_MARK, act, words::QUESTION_MARK_SAYS);
    match given {
        Some(given) => {
            let next = in_a_sentence(given.how.next_said());
            unsure.foot(next).place(3).rank(3)
        }
        None => unsure,
    }
}

pub(super) fn clock(desk: &Desk<'_>) -> Binding<Act> {
    const DOT: &[Key] = &[Key::Char('.')];
    let rank = if desk.sitting.open().is_some() { 5 } else { 2 };
    let clock = Binding::keys(DOT, Act::TurnClock, "hide or show the clock");
    clock.foot("clock").place(4).rank(rank)
}

/// Takes a digit of a question's number.
pub(super) fn digit(model: &mut Model, c: char) {
    let typed = model.typed.get_or_insert_default();
    if typed.len() < LONGEST_NUMBER {
        typed.push(c);
    }
}

/// Takes the last digit back, and with the last of them the number.
pub(super) fn take_digit_back(model: &mut Model) {
    if let Some(typed) = &mut model.typed {
        typed.pop();
    }
    model.typed = model.typed.take().filter(|typed| !typed.is_empty());
}

/// What is said to a key that does nothing here.
pub(super) fn no_key(model: &mut Model, desk: &Desk<'_>, key: Key) {
    if model.crossing {
        let sentence = words::which_to_cross_out(desk.scene().labels());
        model.tell(desk, sentence);
        return;
    }
    match &model.typed {
        Some(typed) if typed.is_empty() => {
            model.tell(desk, words::NUMBER_FIRST);
        }
        Some(typed) => {
            let sentence = words::goes_first(typed);
            model.tell(desk, sentence);
        }
        // Which question a key is for comes before what the key is.
        None if desk.sitting.open().is_none() => {
            model.show(desk, &Said::WhichQuestion);
        }
        None => model.no_key(desk, key, words::F1_SHOWS),
    }
}

/// Goes to the question whose number is typed.
pub(super) fn jump(model: &mut Model, desk: &Desk<'_>) -> Option<Ask> {
    let typed = model.typed.take()?;
    let number = typed.parse().ok().map(QuestionNo);
    if let Some(row) = number.and_then(|number| desk.sitting.row(number)) {
        // From all questions at a glance as well.
        model.close();
        return model.hear(desk, Move::Go(row.number));
    }
    let questions = desk.scene().questions();
    let ends = questions.first().copied().zip(questions.last().copied());
    let sentence = words::no_question(&typed, ends);
    model.tell(desk, sentence);
    None
}

/// Hides the clock, or shows it again.
pub(super) fn turn_clock(model: &mut Model, desk: &Desk<'_>) -> Option<Ask> {
    let said = match model.clock {
        ClockShown::Yes | ClockShown::LargeSteps => Move::HideClock,
        ClockShown::No { .. } => Move::ShowClock,
    };
    model.clock = model.clock.turned();
    model.hear(desk, said)
}

/// Chooses the option that was typed, where the question has it.
pub(super) fn answer(model: &mut Model, desk: &Desk<'_>, typed: char) -> Option<Ask> {
    if desk.current().is_none() {
        model.show(desk, &Said::WhichQuestion);
        return None;
    }
    let labels = desk.scene().labels();
    let Some(option) = labels.find(typed) else {
        if typed.is_alphanumeric() {
            model.tell(desk, words::no_option(typed, labels));
        } else {
            // A sign is no letter that might be an option.
            model.no_key(desk, Key::Char(typed), words::F1_SHOWS);
        }
        return None;
    };
    if has_words(desk) && model.asks_to_look(desk, option) {
        let can_show = !is_too_small(desk.size);
        model.tell(desk, words::not_on_the_page_yet(option, can_show));
        return None;
    }
    model.hear(desk, Move::Answer(option, None))
}

/// Crosses the option out that was typed, or back.
pub(super) fn cross_out(model: &mut Model, desk: &Desk<'_>, typed: char) -> Option<Ask> {
    let labels = desk.scene().labels();
    let Some(option) = labels.find(typed) else {
        model.tell(desk, words::no_option_to_cross_out(typed, labels));
        return None;
    };
    model.crossing = false;
    model.hear(desk, Move::CrossOut(option))
}
