//! The keys while the clock runs: letters answer the open question, everything else moves or says.

use super::keys::Stroke;
use super::update::{beside, go_to, next_round};
use super::{Ask, ClockShown, Desk, Model, Overlay, words};
use crate::domain::labels::Labels;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Command, Row};

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
    let row = number.and_then(|number| desk.sitting.row(number));
    if let Some(row) = row {
        return Some(go_to(model, row.number));
    }
    let questions = desk.questions();
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
        Stroke::Enter | Stroke::Next | Stroke::Previous | Stroke::First | Stroke::Last => {
            step(model, desk, &stroke)
        }
        Stroke::Escape => {
            model.open(desk, Overlay::Menu);
            None
        }
        Stroke::Help => {
            model.open(desk, Overlay::Help);
            None
        }
        Stroke::Sign('.') => {
            let (clock, wish) = match model.clock {
                ClockShown::Yes => (ClockShown::No, Command::HideClock),
                ClockShown::No => (ClockShown::Yes, Command::ShowClock),
            };
            model.clock = clock;
            Some(Ask::Wish(vec![wish]))
        }
        Stroke::Sign('/') => next_blank(model, desk),
        Stroke::Sign(';') => {
            let next = next_round(desk.sitting.flags(), desk.sitting.open());
            next_or_say(model, desk, next, "No flags yet. Tab puts one up.")
        }
        Stroke::Sign('#') => {
            model.typed = Some(String::new());
            None
        }
        Stroke::Sign(c) if c.is_ascii_digit() && !digits_answer(desk) => {
            model.typed = Some(c.to_string());
            None
        }
        stroke => {
            let open = desk.sitting.open();
            let row = open.and_then(|open| desk.sitting.row(open));
            if row.is_none() {
                model.tell(desk, "Which question? Type its number, then Enter.");
            }
            on_row(model, desk, row?, &stroke)
        }
    }
}

/// Whether digits are options of the open question.
pub(super) fn digits_answer(desk: &Desk<'_>) -> bool {
    let labels = |question| desk.sitting.header().paper.labels(question);
    desk.current()
        .is_some_and(|question| labels(question).are_digits())
}

fn on_row(model: &mut Model, desk: &Desk<'_>, row: &Row, stroke: &Stroke) -> Option<Ask> {
    let number = row.number;
    let labels = desk.sitting.header().paper.labels(number);
    match stroke {
        Stroke::Tab => {
            let way = if row.flagged { "off" } else { "on" };
            model.tell(desk, format!("Flag {way} {number}."));
            Some(Ask::Wish(vec![Command::Flag(number)]))
        }
        Stroke::Sign(' ') => Some(leave_for_later(model, desk, row)),
        Stroke::Sign('-') => {
            let Some(given) = row.in_time else {
                model.tell(
                    desk,
                    format!("Answer {number} first. Then - says how sure you are."),
                );
                return None;
            };
            let how = given.how.next_said();
            model.tell(
                desk,
                format!("{number}: {}, {}.", given.option, words::how(how)),
            );
            Some(Ask::Wish(vec![Command::Say(number, how)]))
        }
        Stroke::RubOut if row.in_time.is_none() => {
            model.tell(desk, format!("There is no answer to {number} to rub out."));
            None
        }
        Stroke::RubOut => {
            model.tell(desk, format!("{number} is blank again."));
            Some(Ask::Wish(vec![Command::RubOut(number)]))
        }
        Stroke::Sign(c) => answer(model, desk, row, labels, *c),
        stroke => {
            model.no_key(desk, stroke, "F1 shows the keys.");
            None
        }
    }
}

fn answer(
    model: &mut Model,
    desk: &Desk<'_>,
    row: &Row,
    labels: &Labels,
    typed: char,
) -> Option<Ask> {
    let number = row.number;
    let Some(option) = labels.find(typed) else {
        model.tell(
            desk,
            format!("{typed} is no option here: {}.", labels.range()),
        );
        return None;
    };
    let sentence = match row.in_time.map(|given| given.option) {
        Some(before) if before == option => format!("{number}: {option} already."),
        Some(before) => format!("{number}: {option}, was {before}."),
        None => format!("{number}: {option}."),
    };
    model.tell(desk, sentence);
    Some(Ask::Wish(vec![Command::Answer(number, option)]))
}

fn step(model: &mut Model, desk: &Desk<'_>, stroke: &Stroke) -> Option<Ask> {
    if let Some(question) = beside(&desk.questions(), desk.sitting.open(), stroke) {
        return Some(go_to(model, question));
    }
    match stroke {
        Stroke::Previous => model.tell(desk, "This is the first question."),
        _ => model.tell(desk, last_question(desk)),
    }
    None
}

/// Why no key goes on from the last question, and where to instead.
fn last_question(desk: &Desk<'_>) -> String {
    let first = desk.questions().first().map_or(1, |first| first.0);
    match desk.sitting.blanks().next() {
        None => "Last question, none is blank. Esc, then f finishes early.".to_owned(),
        blank if blank == desk.sitting.open() => {
            "This is the last question, and the only blank.".to_owned()
        }
        Some(_) => {
            let whole = format!(
                "This is the last question. / goes to the first blank, Home to question {first}."
            );
            if whole.len() > usize::from(desk.size.width) {
                format!("Last question. / goes to the first blank, Home to {first}.")
            } else {
                whole
            }
        }
    }
}

fn leave_for_later(model: &mut Model, desk: &Desk<'_>, row: &Row) -> Ask {
    let number = row.number;
    let next = beside(&desk.questions(), Some(number), &Stroke::Next);
    let sentence = match (row.in_time, next) {
        (Some(_), Some(_)) => format!("{number} has its answer. Going on."),
        (Some(_), None) => format!("{number} has its answer. It is the last question."),
        (None, Some(_)) => format!("{number} left for later."),
        (None, None) => format!("{number} left for later. / goes to the next blank."),
    };
    model.tell(desk, sentence);
    let skip = row.in_time.is_none().then_some(Command::Skip(number));
    Ask::Wish(skip.into_iter().chain(next.map(Command::Open)).collect())
}

fn next_blank(model: &mut Model, desk: &Desk<'_>) -> Option<Ask> {
    let open = desk.sitting.open();
    let next = next_round(desk.sitting.blanks(), open);
    let only = next.is_some() && next == open;
    let sentence = if only {
        "This is the only blank."
    } else {
        "Nothing is blank."
    };
    next_or_say(model, desk, next.filter(|_| !only), sentence)
}

fn next_or_say(
    model: &mut Model,
    desk: &Desk<'_>,
    next: Option<QuestionNo>,
    otherwise: &str,
) -> Option<Ask> {
    if next.is_none() {
        model.tell(desk, otherwise);
    }
    next.map(|question| go_to(model, question))
}
