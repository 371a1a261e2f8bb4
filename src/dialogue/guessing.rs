//! Moves in the guess round: only what was blank at time up, one after another.

use super::moves::Move;
use super::reply::Reply;
use super::running;
use super::scene::{Scene, Step, next_round};
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Command, Refusal, Row};
use crate::words::sitting::Said;

/// Begins it, where there is something to guess.
pub(super) fn begin(at: &Scene<'_>) -> Reply {
    match at.sitting.blanks().next() {
        Some(first) => at
            .wish(Command::StartGuessRound, Said::GuessRoundBegun)
            .and_wish(Command::Open(first)),
        None => Reply::said(Said::NothingToGuess),
    }
}

/// What comes of a move that is for this phase and asks for nothing once more.
pub(super) fn hear(said: Move, at: &Scene<'_>) -> Reply {
    if said == Move::TakeFillsBack {
        return take_fills_back(at);
    }
    // At time up every question may have had its answer: then there is nothing to act on.
    let Some(row) = at.row() else {
        return Refusal::NoSuchQuestion.into();
    };
    match said {
        Move::Answer(option, _) => guess(at, row, option),
        Move::Go(question) => go(at, question),
        Move::AnswerAt(question, option, _) => match at.sitting.row(question) {
            Some(row) => guess(at, row, option),
            None => Refusal::NoSuchQuestion.into(),
        },
        Move::Next => at.step(Step::Next),
        Move::Previous => at.step(Step::Previous),
        Move::First => at.step(Step::First),
        Move::Last => at.step(Step::Last),
        Move::NextBlank => match at.other_blank() {
            Some(blank) => at.go(blank),
            None => Reply::said(Said::NoOtherBlank { only: false }),
        },
        Move::Skip => match at.other_blank() {
            Some(blank) => at.go(blank),
            None => Reply::said(round_is_through(at.sitting.blanks().next())),
        },
        Move::CrossOut(option) => at.on(row.number, running::cross_out(at, row, option)),
        Move::RubOut => match row.after_time {
            Some(_) => {
                let said = Said::RubbedOut(row.number);
                at.on(row.number, at.wish(Command::RubOut(row.number), said))
            }
            None => Reply::said(Said::NoGuessToRubOut {
                question: row.number,
            }),
        },
        _ => Reply::default(),
    }
}

/// Answers in time are locked; only what was blank is gone to.
fn go(at: &Scene<'_>, question: QuestionNo) -> Reply {
    match at.sitting.row(question) {
        Some(row) if row.in_time.is_some() => Refusal::AnsweredInTime.into(),
        _ => at.go(question),
    }
}

/// Guesses, and goes on to the next blank, round the end to what was passed by.
fn guess(at: &Scene<'_>, row: &Row, option: Label) -> Reply {
    let question = row.number;
    let answer = Command::Answer(question, option);
    if let Err(refusal) = at.sitting.decide(answer.clone(), at.at) {
        return refusal.into();
    }
    let said = Said::Guessed {
        question,
        option,
        before: row.after_time.map(|given| given.option),
    };
    let reply = Reply::said(said).and_wish(answer);
    let reply = at.on(question, reply);
    let blanks = at.sitting.blanks().filter(|blank| *blank != question);
    match next_round(blanks, Some(question)) {
        Some(next) => reply.and_wish(Command::Open(next)),
        None => reply.and_say(round_is_through(None)),
    }
}

const fn round_is_through(still: Option<QuestionNo>) -> Said {
    Said::RoundIsThrough { still }
}

fn take_fills_back(at: &Scene<'_>) -> Reply {
    let reply = at
        .fills()
        .map(Command::RubOut)
        .fold(Reply::default(), Reply::and_wish);
    let said = if reply.acts.is_empty() {
        Said::NothingFilled
    } else {
        Said::FillsTakenBack
    };
    reply.and_say(said)
}
