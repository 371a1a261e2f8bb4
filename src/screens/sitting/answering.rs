//! The keys while the clock runs: letters answer the open question, everything else moves or says.

use super::desk::Desk;
use super::model::{Ask, ClockShown, Model, Overlay};
use crate::dialogue::Move;
use crate::domain::rule::QuestionNo;
use crate::screens::kit::Key;
use crate::words::sitting::Said;

/// More digits than any question's number has.
const LONGEST_NUMBER: usize = 4;

pub(super) fn update(model: &mut Model, desk: &Desk<'_>, key: Key) -> Option<Ask> {
    match model.typed.take() {
        Some(typed) => while_typing(model, desk, typed, key),
        None => on_question(model, desk, key),
    }
}

/// A number is half typed: nothing but a move or its end is taken, so that no letter meant for
/// that question answers the open one.
fn while_typing(model: &mut Model, desk: &Desk<'_>, mut typed: String, key: Key) -> Option<Ask> {
    match key {
        Key::Char(c) if c.is_ascii_digit() => {
            if typed.len() < LONGEST_NUMBER {
                typed.push(c);
            }
            model.typed = Some(typed);
            None
        }
        Key::Backspace => {
            typed.pop();
            model.typed = Some(typed).filter(|typed| !typed.is_empty());
            None
        }
        Key::Esc => None,
        Key::Enter => jump(model, desk, &typed),
        Key::Right
        | Key::Down
        | Key::Left
        | Key::Up
        | Key::Home
        | Key::End
        | Key::F(1)
        | Key::Char('?' | '/' | ';' | '.') => on_question(model, desk, key),
        _ => {
            let sentence = if typed.is_empty() {
                "Type a question's number first, or Esc.".to_owned()
            } else {
                format!("Enter goes to {typed} first. Esc drops it.")
            };
            model.tell(desk, sentence);
            model.typed = Some(typed);
            None
        }
    }
}

fn jump(model: &mut Model, desk: &Desk<'_>, typed: &str) -> Option<Ask> {
    let number = typed.parse().ok().map(QuestionNo);
    if let Some(row) = number.and_then(|number| desk.sitting.row(number)) {
        return model.hear(desk, Move::Go(row.number));
    }
    let questions = desk.scene().questions();
    let sentence = match (typed, questions.first(), questions.last()) {
        ("", ..) => "No number was typed.".to_owned(),
        (typed, Some(first), Some(last)) => {
            format!("There is no question {typed} here: {first} to {last}.")
        }
        _ => "There is no question here.".to_owned(),
    };
    model.tell(desk, sentence);
    None
}

fn on_question(model: &mut Model, desk: &Desk<'_>, key: Key) -> Option<Ask> {
    match key {
        Key::Esc => {
            model.open(desk, Overlay::Menu);
            None
        }
        Key::F(1) | Key::Char('?') => {
            model.open(desk, Overlay::Help);
            None
        }
        Key::Char('.') => {
            let (clock, said) = match model.clock {
                ClockShown::Yes => (ClockShown::No, Move::HideClock),
                ClockShown::No => (ClockShown::Yes, Move::ShowClock),
            };
            model.clock = clock;
            model.hear(desk, said)
        }
        Key::Char('#') if desk.scene().digits_answer() => {
            model.typed = Some(String::new());
            None
        }
        Key::Char(c) if c.is_ascii_digit() && !desk.scene().digits_answer() => {
            model.typed = Some(c.to_string());
            None
        }
        Key::Enter | Key::Right | Key::Down => model.hear(desk, Move::Next),
        Key::Left | Key::Up => model.hear(desk, Move::Previous),
        Key::Home => model.hear(desk, Move::First),
        Key::End => model.hear(desk, Move::Last),
        Key::Char('/') => model.hear(desk, Move::NextBlank),
        Key::Char(';') => model.hear(desk, Move::NextFlag),
        // Which question a key is for comes before what the key is.
        _ if desk.sitting.open().is_none() => {
            model.show(desk, &Said::WhichQuestion);
            None
        }
        Key::Tab => model.hear(desk, Move::Flag),
        Key::Char(' ') => model.hear(desk, Move::Skip),
        Key::Char('-') => model.hear(desk, Move::SayNext),
        Key::Backspace => model.hear(desk, Move::RubOut),
        Key::Char(c) => answer(model, desk, c),
        key => {
            model.no_key(desk, key, "F1 shows the keys.");
            None
        }
    }
}

/// Chooses the option that was typed, where the question has it.
pub(super) fn answer(model: &mut Model, desk: &Desk<'_>, typed: char) -> Option<Ask> {
    let labels = desk.scene().labels();
    let Some(option) = labels.find(typed) else {
        model.tell(
            desk,
            format!("{typed} is no option here: {}.", labels.range()),
        );
        return None;
    };
    model.hear(desk, Move::Answer(option, None))
}
