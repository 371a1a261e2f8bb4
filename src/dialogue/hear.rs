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
use crate::words::sitting::{AwayTime, FillOffer, Finishing, FirstLetter, Said};

impl Dialogue {
    /// What is said first, and the first question opened.
    ///
    /// With a printed paper only the pupil can say which question is being read.
    pub fn opening(&mut self, at: &Scene<'_>) -> Reply {
        let sitting = at.sitting;
        match at.phase() {
            Phase::Running => {
                let fresh = sitting.latest() == Elapsed::ZERO;
                let first = sitting.rows().first().map(|row| row.number);
                let first = first.filter(|_| at.current().is_none() && at.is_read_here());
                let letter = match at.current().or(first) {
                    _ if at.is_sweeping() => FirstLetter::Guesses,
                    Some(_) => FirstLetter::Answers,
                    None => FirstLetter::NeedsNumber,
                };
                let reply = Reply::said(Said::ClockRuns {
                    fresh: fresh.then_some(sitting.header().allowed),
                    left: at.left_shown(),
                    questions: sitting.rows().len(),
                    blanks: sitting.blanks().count(),
                    letter,
                });
                let reply = if at.is_sweeping() {
                    reply.and_say(sweep::is_on(at))
                } else {
                    reply
                };
                match first {
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
        if self.owes_time_up(at) || (said == Move::Listen && self.has_more_to_tell(at)) {
            return self.time_is_up(said, at);
        }
        if self.has_more_to_tell(at) {
            return self.first_after_time(said, at);
        }
        self.takes(said, asked, at)
    }

    /// The first move after time was announced, which the announcement still has to explain itself to.
    fn first_after_time(&mut self, said: Move, at: &Scene<'_>) -> Reply {
        self.told_of_time_up();
        let mut reply = self.takes(said, None, at);
        if reply.acts.is_empty() && self.pending.is_none() {
            reply
                .said
                .retain(|said| !matches!(said, Said::Choose { .. }));
            reply = reply.and_say(after_time(at));
        }
        reply
    }

    fn takes(&mut self, said: Move, asked: Option<Confirm>, at: &Scene<'_>) -> Reply {
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
            Move::Finish => self.ask(Confirm::Finish, at),
            Move::GiveUp => self.ask(Confirm::GiveUp, at),
            Move::Leave => self.ask(Confirm::Leave, at),
            Move::Fill => match at.filling() {
                FillOffer { blanks: 0, .. } => Reply::said(Said::NothingBlank),
                filling if filling.is_none() => Reply::said(Said::NothingToFill),
                _ => self.ask(Confirm::Fill, at),
            },
            Move::Guess => match at.sitting.blanks().count() {
                0 => Reply::said(Said::NothingToGuess),
                _ => self.ask(Confirm::Guess, at),
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

    /// The question that waits for its yes, put once more; nothing where none does.
    pub fn asks_again(&self, at: &Scene<'_>) -> Option<Said> {
        let asked = self.asked(at).filter(|_| !self.owes_time_up(at));
        asked.map(|asked| question(asked, at))
    }

    fn ask(&mut self, confirm: Confirm, at: &Scene<'_>) -> Reply {
        self.pending = Some(Pending {
            confirm,
            asked_in: at.phase(),
        });
        Reply::said(question(confirm, at))
    }
}

/// How something is asked.
fn question(confirm: Confirm, at: &Scene<'_>) -> Said {
    match confirm {
        Confirm::Finish => Said::AskFinish(finishing(at)),
        Confirm::GiveUp => Said::AskGiveUp,
        Confirm::Leave => Said::AskLeave(AwayTime::of(at.sitting)),
        Confirm::Fill => Said::AskFill(at.filling()),
        Confirm::Guess => Said::AskGuess {
            blanks: at.sitting.blanks().count(),
        },
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
