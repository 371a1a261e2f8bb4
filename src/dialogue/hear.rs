//! What comes of a move, phase by phase. The clock's phase and the guess round have a file each.

use super::confirm::{Confirm, Pending};
use super::moves::Move;
use super::reply::{Act, Reply};
use super::scene::Scene;
use super::state::Dialogue;
use super::{guessing, running, sweep};
use crate::domain::event::How;
use crate::domain::sitting::{Command, Phase, Refusal};
use crate::domain::time::Elapsed;
use crate::odds::guess::safe_blanks;
use crate::words::guess::GuessWorth;
use crate::words::sitting::{AwayTime, FillOffer, Finishing, Said};

impl Dialogue {
    /// What is said first, and the first question opened.
    ///
    /// With a printed paper only the pupil can say which question is being read.
    pub fn opening(&mut self, at: &Scene<'_>) -> Reply {
        let sitting = at.sitting;
        match at.phase() {
            Phase::Running => {
                let fresh = sitting.latest() == Elapsed::ZERO;
                let reply = Reply::said(Said::ClockRuns {
                    fresh: fresh.then_some(sitting.header().allowed),
                    left: at.left_shown(),
                    questions: sitting.rows().len(),
                    blanks: sitting.blanks().count(),
                });
                let reply = if at.is_sweeping() {
                    reply.and_say(sweep::is_on(at))
                } else {
                    reply
                };
                let first = sitting.rows().first().map(|row| row.number);
                match first.filter(|_| sitting.open().is_none() && at.is_read_here()) {
                    Some(first) => reply.and_wish(Command::Open(first)),
                    None => reply,
                }
            }
            Phase::OnBreak => Reply::said(Said::OnBreak),
            Phase::TimeUp => {
                self.told_of_time_up();
                Reply::said(after_time(at))
            }
            Phase::GuessRound => Reply::said(Said::GuessRoundBegun),
            Phase::Closed(_) => Refusal::Finished.into(),
        }
    }

    /// Takes what was said at this moment.
    pub fn hear(&mut self, said: Move, at: &Scene<'_>) -> Reply {
        let asked = self.asked(at);
        self.pending = None;
        if self.owes_time_up(at) {
            return self.time_is_up(said, at);
        }
        if at.sitting.is_closed() && !matches!(said, Move::Leave | Move::Confirm | Move::Cancel) {
            return Refusal::Finished.into();
        }
        match said {
            Move::Confirm => asked.map_or_else(Reply::default, |asked| confirmed(asked, at)),
            Move::Cancel if asked == Some(Confirm::Fill) => Reply::said(Said::NotFilled),
            Move::Cancel | Move::Listen => Reply::default(),
            Move::Say(How::Filled)
            | Move::Answer(_, Some(How::Filled))
            | Move::AnswerAt(_, _, Some(How::Filled)) => {
                // Only the program fills.
                Reply::default()
            }
            said if !said.is_for(at.phase()) => elsewhere(said, at),
            Move::Finish => self.ask(Confirm::Finish, at, Said::AskFinish(finishing(at))),
            Move::GiveUp => self.ask(Confirm::GiveUp, at, Said::AskGiveUp),
            Move::Leave => self.ask(Confirm::Leave, at, Said::AskLeave(AwayTime::of(at.sitting))),
            Move::Fill => match at.filling() {
                FillOffer { blanks: 0, .. } => Reply::said(Said::NothingBlank),
                filling if filling.is_none() => Reply::said(Said::NothingToFill),
                filling => self.ask(Confirm::Fill, at, Said::AskFill(filling)),
            },
            Move::Guess => match at.sitting.blanks().count() {
                0 => Reply::said(Said::NothingToGuess),
                blanks => self.ask(Confirm::Guess, at, Said::AskGuess { blanks }),
            },
            Move::EndBreak => {
                let reply = at.wish(Command::EndBreak, Said::ClockRunsAgain);
                if at.sitting.is_sweeping() {
                    reply.and_say(sweep::is_on(at))
                } else {
                    reply
                }
            }
            said if at.phase() == Phase::GuessRound => guessing::hear(said, at),
            said if at.is_sweeping() => sweep::hear(said, at),
            Move::Sweep => sweep::begin(at),
            said => running::hear(said, at),
        }
    }

    fn time_is_up(&mut self, said: Move, at: &Scene<'_>) -> Reply {
        let mut reply = Reply::default();
        if !self.announced.time_up {
            let on_screen = at.sitting.header().paper.on_screen;
            reply = reply.and_say(Said::TimeIsUp { on_screen });
        }
        let told = self.announced.asked_after_time;
        if said != Move::Listen {
            let answer = matches!(said, Move::Answer(..) | Move::AnswerAt(..));
            reply = reply.and_say(Said::TooLate { answer });
        } else if told {
            let blank = at.sitting.blanks().next().is_some();
            reply = reply.and_say(Said::Choose { blank });
        }
        self.told_of_time_up();
        if !told {
            reply = reply.and_say(after_time(at));
        }
        if at.is_time_up_due() {
            reply.and_wish(Command::Tick)
        } else {
            reply
        }
    }

    fn ask(&mut self, confirm: Confirm, at: &Scene<'_>, said: Said) -> Reply {
        self.pending = Some(Pending {
            confirm,
            asked_in: at.phase(),
        });
        Reply::said(said)
    }
}

fn after_time(at: &Scene<'_>) -> Said {
    let last = at.sitting.last_answered();
    Said::AfterTime {
        blanks: at.blanks(),
        last: last.map(|(question, given)| (question, given.option)),
    }
}

fn finishing(at: &Scene<'_>) -> Finishing {
    Finishing {
        phase: at.phase(),
        left: at.left_shown(),
        blanks: at.blanks(),
        flags: at.sitting.flags().collect(),
        guesses: GuessWorth::of(at.sitting),
    }
}

fn confirmed(asked: Confirm, at: &Scene<'_>) -> Reply {
    match asked {
        Confirm::Guess => guessing::begin(at),
        Confirm::Finish => Reply::wish(Command::Finish),
        Confirm::GiveUp => Reply::wish(Command::Abandon),
        Confirm::Leave => leave(at),
        Confirm::Fill => Reply {
            said: vec![Said::Filled],
            acts: vec![Act::FillBlanks(safe_blanks(at.sitting))],
        },
    }
}

/// Stops the program; where rest breaks are arranged, leaving is one.
fn leave(at: &Scene<'_>) -> Reply {
    let mut reply = Reply::said(Said::Kept);
    if AwayTime::of(at.sitting) == AwayTime::Break {
        reply = reply.and_wish(Command::StartBreak);
    }
    reply.acts.push(Act::Leave);
    reply
}

/// A move that means nothing in this phase.
fn elsewhere(said: Move, at: &Scene<'_>) -> Reply {
    let blank = at.sitting.blanks().next().is_some();
    match (at.phase(), said) {
        (Phase::OnBreak, _) => Reply::said(Said::OnBreak),
        (Phase::TimeUp, Move::Answer(..) | Move::AnswerAt(..) | Move::Go(_)) => {
            Reply::from(Refusal::Locked).and_say(Said::Choose { blank })
        }
        (Phase::TimeUp, _) => Reply::said(Said::Choose { blank }),
        (Phase::Running, Move::EndBreak) => Refusal::NotOnBreak.into(),
        (Phase::Running, _) => Refusal::NotYet.into(),
        (Phase::GuessRound | Phase::Closed(_), _) => Refusal::Locked.into(),
    }
}
