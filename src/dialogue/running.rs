//! Moves while the clock runs.

use super::moves::Move;
use super::reply::Reply;
use super::scene::{Scene, Step, beside, next_round};
use crate::domain::event::How;
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Command, Row};
use crate::words::sitting::Said;

/// What comes of a move that is for this phase and asks for nothing once more.
pub(super) fn hear(said: Move, at: &Scene<'_>) -> Reply {
    match said {
        Move::Go(question) => at.go(question),
        Move::Next => step(at, Step::Next),
        Move::Previous => step(at, Step::Previous),
        Move::First => step(at, Step::First),
        Move::Last => step(at, Step::Last),
        Move::NextBlank => next_blank(at),
        Move::NextFlag => match next_round(at.sitting.flags(), at.current()) {
            Some(flag) => at.go(flag),
            None => Reply::said(Said::NoFlags),
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

fn on_row(said: Move, at: &Scene<'_>, row: &Row) -> Reply {
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
        Move::Say(how) => say(at, row, |_| how),
        Move::SayNext => say(at, row, How::next_said),
        _ => Reply::default(),
    }
}

fn answer(at: &Scene<'_>, row: &Row, option: Label, how: Option<How>) -> Reply {
    let question = row.number;
    let said = Said::Answered {
        question,
        option,
        before: row.in_time.map(|given| given.option),
        how,
    };
    let reply = at.wish(Command::Answer(question, option), said);
    match how.filter(|_| !reply.acts.is_empty()) {
        Some(how) => reply.and_wish(Command::Say(question, how)),
        None => reply,
    }
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
    Said::LastQuestion {
        first: at.sitting.rows().first().map(|row| row.number),
        blanks: at.blanks(),
        open: at.current(),
    }
}

fn next_blank(at: &Scene<'_>) -> Reply {
    match at.other_blank() {
        Some(blank) => at.go(blank),
        None => Reply::said(Said::NoOtherBlank {
            only: at.sitting.blanks().next().is_some(),
        }),
    }
}

impl Scene<'_> {
    /// The wish, without a word where it is granted.
    fn quietly(&self, command: Command) -> Reply {
        match self.sitting.decide(command.clone(), self.at) {
            Ok(_) => Reply::wish(command),
            Err(refusal) => refusal.into(),
        }
    }

    /// Opens a question.
    pub(super) fn go(&self, question: QuestionNo) -> Reply {
        self.quietly(Command::Open(question))
    }
}
