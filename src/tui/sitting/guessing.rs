//! The keys of the guess round: only what was blank at time up, one after another.

use super::keys::Stroke;
use super::update::{beside, go_to, next_round};
use super::{Ask, Desk, Model, Overlay, Step};
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Command;

pub(super) fn update(model: &mut Model, desk: &Desk<'_>, stroke: Stroke) -> Option<Ask> {
    model.typed = None;
    match stroke {
        Stroke::Enter => end(model, desk),
        Stroke::Escape => {
            model.open(desk, Overlay::Menu);
            None
        }
        Stroke::Help => {
            model.open(desk, Overlay::Help);
            None
        }
        Stroke::Sign('*') if desk.sitting.blanks().next().is_none() => {
            model.tell(desk, "Nothing is blank. Enter ends the sitting.");
            None
        }
        Stroke::Sign('*') => {
            model.tell(
                desk,
                "The rest is filled at random. A letter still changes it.",
            );
            Some(Ask::FillBlanks)
        }
        stroke => {
            // At time up every question may have had its answer: then there is nothing to act on.
            let question = desk.current();
            if question.is_none() {
                model.no_key(desk, &stroke, "Enter ends the sitting.");
            }
            on_question(model, desk, question?, &stroke)
        }
    }
}

/// Ends the sitting where nothing is blank; else asks first.
pub(super) fn end(model: &mut Model, desk: &Desk<'_>) -> Option<Ask> {
    if desk.sitting.blanks().next().is_none() {
        return Some(Ask::Wish(vec![Command::Finish]));
    }
    model.open(desk, Overlay::LeaveBlank(Step::First));
    None
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
