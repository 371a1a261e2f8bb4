//! The keys while the clock runs: letters answer the open question, everything else moves or says.

use super::desk::Desk;
use super::keys::Stroke;
use super::model::{Ask, ClockShown, Model, Overlay};
use crate::dialogue::Move;
use crate::domain::rule::QuestionNo;
use crate::words::sitting::Said;

/// More digits than any question's number has.
const LONGEST_NUMBER: usize = 4;

pub(super) fn update(model: &mut Model, desk: &Desk<'_>, stroke: Stroke) -> Option<Ask> {
    match model.typed.take() {
        Some(typed) => while_typing(model, desk, typed, stroke),
        None => on_question(model, desk, stroke),
    }
}

/// A number is half typed: nothing but a move or its end is taken, so that no letter meant for
/// that question answers the open one.
fn while_typing(
    model: &mut Model,
    desk: &Desk<'_>,
    mut typed: String,
    stroke: Stroke,
) -> Option<Ask> {
    match stroke {
        Stroke::Sign(c) if c.is_ascii_digit() => {
            if typed.len() < LONGEST_NUMBER {
                typed.push(c);
            }
            model.typed = Some(typed);
            None
        }
        Stroke::RubOut => {
            typed.pop();
            model.typed = Some(typed).filter(|typed| !typed.is_empty());
            None
        }
        Stroke::Escape => None,
        Stroke::Enter => jump(model, desk, &typed),
        Stroke::Next
        | Stroke::Previous
        | Stroke::First
        | Stroke::Last
        | Stroke::Help
        | Stroke::Sign('/' | ';' | '.') => on_question(model, desk, stroke),
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

fn on_question(model: &mut Model, desk: &Desk<'_>, stroke: Stroke) -> Option<Ask> {
    match stroke {
        Stroke::Escape => {
            model.open(desk, Overlay::Menu);
            None
        }
        Stroke::Help => {
            model.open(desk, Overlay::Help);
            None
        }
        Stroke::Sign('.') => {
            let (clock, said) = match model.clock {
                ClockShown::Yes => (ClockShown::No, Move::HideClock),
                ClockShown::No => (ClockShown::Yes, Move::ShowClock),
            };
            model.clock = clock;
            model.hear(desk, said)
        }
        Stroke::Sign('#') => {
            model.typed = Some(String::new());
            None
        }
        Stroke::Sign(c) if c.is_ascii_digit() && !desk.scene().digits_answer() => {
            model.typed = Some(c.to_string());
            None
        }
        Stroke::Enter | Stroke::Next => model.hear(desk, Move::Next),
        Stroke::Previous => model.hear(desk, Move::Previous),
        Stroke::First => model.hear(desk, Move::First),
        Stroke::Last => model.hear(desk, Move::Last),
        Stroke::Sign('/') => model.hear(desk, Move::NextBlank),
        Stroke::Sign(';') => model.hear(desk, Move::NextFlag),
        // Which question a key is for comes before what the key is.
        _ if desk.sitting.open().is_none() => {
            model.show(desk, &Said::WhichQuestion);
            None
        }
        Stroke::Tab => model.hear(desk, Move::Flag),
        Stroke::Sign(' ') => model.hear(desk, Move::Skip),
        Stroke::Sign('-') => model.hear(desk, Move::SayNext),
        Stroke::RubOut => model.hear(desk, Move::RubOut),
        Stroke::Sign(c) => answer(model, desk, c),
        stroke => {
            model.no_key(desk, &stroke, "F1 shows the keys.");
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
