//! Moves while the clock runs.

use super::moves::Move;
use super::reply::Reply;
use super::scene::{Scene, Step, beside, next_round};
use crate::domain::event::How;
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Command, Refusal, Row};
use crate::words::sitting::{CrossedOption, LookAgain, Said};

/// What comes of a move that is for this phase and asks for nothing once more.
pub(super) fn hear(said: Move, at: &Scene<'_>) -> Reply {
    match said {
        Move::Go(question) => at.go(question),
        Move::AnswerAt(question, option, how) => match at.sitting.row(question) {
            Some(row) => at.on(question, answer(at, row, option, how)),
            None => Refusal::NoSuchQuestion.into(),
        },
        Move::Next => step(at, Step::Next),
        Move::Previous => step(at, Step::Previous),
        Move::First => step(at, Step::First),
        Move::Last => step(at, Step::Last),
        Move::NextBlank => next_blank(at),
        Move::NextFlag => match next_round(at.sitting.flags(), at.current()) {
            Some(flag) => at.go(flag),
            None => Reply::said(Said::NoFlags),
        },
        Move::NextUnsure => match next_round(at.unsure(), at.current()) {
            Some(unsure) => at.go(unsure),
            None => Reply::said(Said::NoUnsure),
        },
        Move::HideClock => at.quietly(Command::HideClock),
        Move::ShowClock => at.quietly(Command::ShowClock),
        Move::StartBreak => at.wish(Command::StartBreak, Said::OnBreak),
        said => match at.row() {
            Some(row) => on_row(said, at, row),
            None => Reply::said(Said::WhichQuestion),
        },
    }
}

pub(super) fn on_row(said: Move, at: &Scene<'_>, row: &Row) -> Reply {
    let question = row.number;
    match said {
        Move::Answer(option, how) => answer(at, row, option, how),
        Move::Skip => leave_for_later(at, row),
        Move::Flag => {
            let up = !row.flagged;
            at.wish(Command::Flag(question), Said::Flagged { question, up })
        }
        Move::RubOut => match row.in_time {
            Some(_) => at.wish(Command::RubOut(question), Said::RubbedOut(question)),
            None => Reply::said(Said::NothingToRubOut { question }),
        },
        Move::CrossOut(option) => cross_out(at, row, option),
        Move::Say(how) => say(at, row, |_| how),
        Move::SayNext => say(at, row, How::next_said),
        _ => Reply::default(),
    }
}

/// A changed answer keeps the word that was said of it.
fn answer(at: &Scene<'_>, row: &Row, option: Label, how: Option<How>) -> Reply {
    let question = row.number;
    let word = row.in_time.map(|given| given.how);
    let kept = word.filter(|how| *how != How::Worked);
    let said = Said::Answered {
        question,
        option,
        before: row.in_time.map(|given| given.option),
        how: how.or(kept),
        crossed: row.crossed.contains(&option),
    };
    let mut reply = at.wish(Command::Answer(question, option), said);
    if reply.acts.is_empty() {
        return reply;
    }
    if let Some(how) = how.or(kept) {
        reply = reply.and_wish(Command::Say(question, how));
    }
    let last = row.in_time.is_none() && at.sitting.blanks().all(|blank| blank == question);
    if last {
        reply.and_say(all_answered(at))
    } else {
        reply
    }
}

/// Where to look once nothing is blank: the flags, then what was called unsure.
pub(super) fn all_answered(at: &Scene<'_>) -> Said {
    Said::AllAnswered(LookAgain {
        flags: at.sitting.flags().next().is_some(),
        unsure: at.unsure().next().is_some(),
    })
}

pub(super) fn cross_out(at: &Scene<'_>, row: &Row, option: Label) -> Reply {
    let question = row.number;
    let out = !row.crossed.contains(&option);
    let all = at.sitting.header().paper.labels(question).len();
    let crossed = row.crossed.len();
    let crossed = if out {
        crossed + 1
    } else {
        crossed.saturating_sub(1)
    };
    let left = all.saturating_sub(crossed);
    at.wish(
        Command::CrossOut(question, option),
        Said::CrossedOut(CrossedOption {
            question,
            option,
            out,
            left,
            chosen: row.standing().is_some_and(|given| given.option == option),
        }),
    )
}

fn say(at: &Scene<'_>, row: &Row, how: impl Fn(How) -> How) -> Reply {
    let question = row.number;
    let Some(given) = row.in_time else {
        return Reply::said(Said::NothingToSayOf(question));
    };
    let how = how(given.how);
    let said = Said::How {
        question,
        option: given.option,
        how,
    };
    at.wish(Command::Say(question, how), said)
}

/// Goes on to the question after; a question that has its answer keeps it.
fn leave_for_later(at: &Scene<'_>, row: &Row) -> Reply {
    let question = row.number;
    let next = beside(&at.questions(), Some(question), Step::Next);
    let last = next.is_none();
    let reply = match row.in_time {
        Some(given) => Reply::said(Said::KeepsAnswer {
            question,
            option: given.option,
            last,
        }),
        None => at.wish(
            Command::Skip(question),
            Said::LeftForLater { question, last },
        ),
    };
    match next {
        Some(next) => reply.and_wish(Command::Open(next)),
        None => reply.and_say(last_question(at)),
    }
}

fn step(at: &Scene<'_>, step: Step) -> Reply {
    match beside(&at.questions(), at.current(), step) {
        Some(question) => at.go(question),
        None if step == Step::Previous => Reply::said(Said::FirstQuestion),
        None => Reply::said(last_question(at)),
    }
}

fn last_question(at: &Scene<'_>) -> Said {
    let blanks = at.blanks();
    if blanks.is_empty() {
        return all_answered(at);
    }
    Said::LastQuestion {
        first: at.sitting.rows().first().map(|row| row.number),
        blanks,
        open: at.current(),
    }
}

fn next_blank(at: &Scene<'_>) -> Reply {
    match at.other_blank() {
        Some(blank) => at.go(blank),
        None if at.sitting.blanks().next().is_some() => {
            Reply::said(Said::NoOtherBlank { only: true })
        }
        None => Reply::said(all_answered(at)),
    }
}

impl Scene<'_> {
    /// The questions whose answers were called unsure, in order.
    pub(super) fn unsure(&self) -> impl Iterator<Item = QuestionNo> {
        let rows = self.sitting.rows().iter();
        rows.filter(|row| row.in_time.is_some_and(|given| given.how == How::Unsure))
            .map(|row| row.number)
    }

    /// The wish, without a word where it is granted.
    fn quietly(&self, command: Command) -> Reply {
        match self.sitting.decide(command.clone(), self.at) {
            Ok(_) => Reply::wish(command),
            Err(refusal) => refusal.into(),
        }
    }

    /// The reply, with its question opened first where it is not open and something is done.
    pub(super) fn on(&self, question: QuestionNo, reply: Reply) -> Reply {
        if reply.acts.is_empty() || self.sitting.open() == Some(question) {
            reply
        } else {
            reply.first(Command::Open(question))
        }
    }

    /// Opens a question.
    pub(super) fn go(&self, question: QuestionNo) -> Reply {
        self.quietly(Command::Open(question))
    }
}
