//! Moves in the sweep: the blanks one after another while there is time, a letter each, and every
//! one of these letters is logged as a guess.
//!
//! A move that leads anywhere else leaves the sweep first. A rest break leads nowhere: the sweep goes
//! on behind it.

use super::moves::Move;
use super::reply::Reply;
use super::running;
use super::scene::{Scene, Step, next_round};
use crate::domain::event::How;
use crate::domain::labels::Label;
use crate::domain::sitting::{Command, Refusal, Row};
use crate::words::sitting::{Said, SweepSaid};

/// Begins at the first blank.
pub(super) fn begin(at: &Scene<'_>) -> Reply {
    let Some(first) = at.sitting.blanks().next() else {
        return Reply::said(running::all_answered(at));
    };
    let reply = at.wish(Command::BeginSweep, is_on(at));
    if reply.acts.is_empty() {
        reply
    } else {
        reply.and_wish(Command::Open(first))
    }
}

/// That it is on, at its beginning or when the clock runs again.
pub(super) fn is_on(at: &Scene<'_>) -> Said {
    let blanks = at.sitting.blanks().count();
    Said::Sweep(SweepSaid::Begun { blanks })
}

/// What comes of a move that is for a running sitting and asks for nothing once more.
pub(super) fn hear(said: Move, at: &Scene<'_>) -> Reply {
    match said {
        Move::Sweep => leave(at),
        Move::Next | Move::NextBlank | Move::Skip => match at.other_blank() {
            Some(blank) => at.go(blank),
            None => Reply::said(Said::NoOtherBlank {
                only: at.sitting.blanks().next().is_some(),
            }),
        },
        Move::Previous => at.step(Step::Previous),
        Move::First => at.step(Step::First),
        Move::Last => at.step(Step::Last),
        Move::Say(_) | Move::SayNext => Reply::said(Said::Sweep(SweepSaid::OnlyGuesses)),
        Move::HideClock | Move::ShowClock | Move::StartBreak => running::hear(said, at),
        Move::AnswerAt(..) | Move::Go(_) | Move::NextFlag | Move::NextUnsure => elsewhere(said, at),
        said => match at.row() {
            Some(row) => on_row(said, at, row),
            None => Refusal::NoSuchQuestion.into(),
        },
    }
}

fn on_row(said: Move, at: &Scene<'_>, row: &Row) -> Reply {
    let reply = match said {
        Move::Answer(option, _) => guess(at, row, option),
        said => running::on_row(said, at, row),
    };
    at.on(row.number, reply)
}

fn leave(at: &Scene<'_>) -> Reply {
    let blanks = at.sitting.blanks().count();
    at.wish(Command::LeaveSweep, Said::Sweep(SweepSaid::Left { blanks }))
}

fn elsewhere(said: Move, at: &Scene<'_>) -> Reply {
    let reply = running::hear(said, at);
    if reply.acts.is_empty() {
        return reply;
    }
    let answered = match said {
        Move::AnswerAt(question, ..) => Some(question),
        _ => None,
    };
    let blanks = at.sitting.blanks();
    let blanks = blanks.filter(|blank| Some(*blank) != answered).count();
    reply
        .first(Command::LeaveSweep)
        .and_say(Said::Sweep(SweepSaid::Left { blanks }))
}

/// Guesses, and goes on to the next blank; with the last blank the sweep is over.
fn guess(at: &Scene<'_>, row: &Row, option: Label) -> Reply {
    let question = row.number;
    let answer = Command::Answer(question, option);
    if let Err(refusal) = at.sitting.decide(answer.clone(), at.at) {
        return refusal.into();
    }
    let reply = Reply::said(Said::Sweep(SweepSaid::Guessed { question, option }))
        .and_wish(answer)
        .and_wish(Command::Say(question, How::Guessed));
    let blanks = at.sitting.blanks().filter(|blank| *blank != question);
    match next_round(blanks, Some(question)) {
        Some(next) => reply.and_wish(Command::Open(next)),
        None => reply
            .and_wish(Command::LeaveSweep)
            .and_say(running::all_answered(at)),
    }
}
