//! The keys of the guess round: only what was blank at time up, one after another.

use super::keys::Stroke;
use super::update::{beside, go_to, next_round};
use super::{Ask, Desk, Model, Overlay, Step};
use crate::domain::event::How;
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Command;
use crate::words::count::counted;

/// Takes a key; `filling` says that `*` came before it.
pub(super) fn update(
    model: &mut Model,
    desk: &Desk<'_>,
    stroke: Stroke,
    filling: bool,
) -> Option<Ask> {
    model.typed = None;
    match stroke {
        Stroke::Enter if filling => {
            model.tell(desk, "Filled at random. * takes all the fills back.");
            Some(Ask::FillBlanks)
        }
        Stroke::Escape if filling => {
            model.tell(desk, "Nothing was filled.");
            None
        }
        Stroke::Enter => {
            model.open(desk, Overlay::End(Step::First));
            None
        }
        Stroke::Escape => {
            model.open(desk, Overlay::Menu);
            None
        }
        Stroke::Help => {
            model.open(desk, Overlay::Help);
            None
        }
        Stroke::Sign('*') => fill_or_take_back(model, desk),
        stroke => {
            // At time up every question may have had its answer: then there is nothing to act on.
            let question = desk.current();
            if question.is_none() {
                model.no_key(desk, &stroke, "Enter asks whether to end.");
            }
            on_question(model, desk, question?, &stroke)
        }
    }
}

/// Offers to fill what is blank; where nothing is, takes back what was filled.
fn fill_or_take_back(model: &mut Model, desk: &Desk<'_>) -> Option<Ask> {
    let blanks = desk.sitting.blanks().count();
    if blanks > 0 {
        model.filling = true;
        let blanks = counted(blanks, "blank");
        model.tell(
            desk,
            format!("Enter fills {blanks} at random. Esc does not."),
        );
        return None;
    }
    let fills: Vec<Command> = fills(desk).map(Command::RubOut).collect();
    if fills.is_empty() {
        model.tell(desk, "Nothing is blank, and nothing was filled at random.");
        return None;
    }
    model.tell(desk, "All the fills are taken back.");
    Some(Ask::Wish(fills))
}

/// The questions filled at random.
pub(super) fn fills<'a>(desk: &Desk<'a>) -> impl Iterator<Item = QuestionNo> + use<'a> {
    let rows = desk.sitting.rows().iter();
    rows.filter(|row| row.standing().is_some_and(|given| given.how == How::Filled))
        .map(|row| row.number)
}

fn on_question(
    model: &mut Model,
    desk: &Desk<'_>,
    question: QuestionNo,
    stroke: &Stroke,
) -> Option<Ask> {
    let sitting = desk.sitting;
    match stroke {
        Stroke::Next | Stroke::Previous | Stroke::First | Stroke::Last => {
            let there = beside(&desk.questions(), Some(question), stroke);
            if there.is_none() {
                model.tell(desk, "There is no other question that way.");
            }
            there.map(|there| go_to(model, there))
        }
        Stroke::Sign(' ' | '/') => {
            let next = next_round(sitting.blanks(), Some(question)).filter(|q| *q != question);
            if next.is_none() {
                model.tell(desk, "No other question is blank.");
            }
            next.map(|next| go_to(model, next))
        }
        Stroke::RubOut => {
            let guessed = sitting.row(question)?.after_time.is_some();
            if !guessed {
                model.tell(desk, format!("There is no guess at {question} to rub out."));
                return None;
            }
            model.tell(desk, format!("{question} is blank again."));
            Some(Ask::Wish(at(desk, question, Command::RubOut(question))))
        }
        Stroke::Sign(c) => {
            let labels = sitting.header().paper.labels(question);
            let Some(option) = labels.find(*c) else {
                model.tell(desk, format!("{c} is no option here: {}.", labels.range()));
                return None;
            };
            Some(guess(model, desk, question, option))
        }
        stroke => {
            model.no_key(desk, stroke, "F1 shows the keys.");
            None
        }
    }
}

fn guess(model: &mut Model, desk: &Desk<'_>, question: QuestionNo, option: Label) -> Ask {
    let blanks = desk.sitting.blanks().filter(|blank| *blank != question);
    let next = next_round(blanks, Some(question));
    model.tell(desk, format!("{question}: {option}, a guess."));
    let mut wishes = at(desk, question, Command::Answer(question, option));
    wishes.extend(next.map(Command::Open));
    Ask::Wish(wishes)
}

/// The wish, with the question opened before it where it is not open.
fn at(desk: &Desk<'_>, question: QuestionNo, wish: Command) -> Vec<Command> {
    let closed = desk.sitting.open() != Some(question);
    let open = closed.then_some(Command::Open(question));
    open.into_iter().chain([wish]).collect()
}
