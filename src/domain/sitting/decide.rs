//! What a wish becomes: an event, nothing new, or a refusal with its reason.

use std::fmt;

use super::{Phase, Sitting};
use crate::domain::event::{AwayClock, Ending, Event, How, Stop};
use crate::domain::header::{Boot, Mode};
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;

/// What somebody wants.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Command {
    /// Nothing; only time has passed.
    Tick,
    /// Open a question.
    Open(QuestionNo),
    /// Choose an option.
    Answer(QuestionNo, Label),
    /// Take the answer back.
    RubOut(QuestionNo),
    /// Leave a question for later.
    Skip(QuestionNo),
    /// Put up the flag, or take it away.
    Flag(QuestionNo),
    /// Say how the answer was come by.
    Say(QuestionNo, How),
    /// Cross an option out, or take the cross away.
    CrossOut(QuestionNo, Label),
    /// Hide the clock.
    HideClock,
    /// Have the clock shown again.
    ShowClock,
    /// Begin to fill the blanks before time is up.
    BeginSweep,
    /// Leave the sweep.
    LeaveSweep,
    /// Begin a rest break.
    StartBreak,
    /// End the rest break.
    EndBreak,
    /// Begin the guess round.
    StartGuessRound,
    /// Fill blanks with these options, drawn from this seed.
    Fill {
        /// The seed.
        seed: u64,
        /// What it drew.
        answers: Vec<(QuestionNo, Label)>,
    },
    /// End the sitting.
    Finish,
    /// Give the sitting up; it is kept.
    Abandon,
}

/// What the program has noticed of itself and of the machine's clocks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Notice {
    /// The program is about to stop.
    Interrupt(Stop),
    /// The program is back.
    Resume {
        /// When the sitting was last known to be going on.
        since: Elapsed,
        /// How far the length of the absence can be trusted.
        clock: AwayClock,
        /// The boot it goes on in.
        boot: Boot,
    },
    /// The machine has slept for so long, until now.
    Slept(Elapsed),
    /// The program has been held up for so long, until now.
    Stalled(Elapsed),
    /// The system clock was changed by so many milliseconds.
    ClockChanged(i64),
}

/// Why a wish is not granted: an answer, not an error.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Refusal {
    /// The sitting is over.
    Finished,
    /// A rest break is on.
    OnBreak,
    /// No rest break is on.
    NotOnBreak,
    /// Rest breaks were not arranged.
    NoBreaks,
    /// The question is not part of this sitting.
    NoSuchQuestion,
    /// The question has no such option.
    NoSuchOption,
    /// There is no answer to take back or to speak of.
    NothingThere,
    /// Time is up: answers are locked.
    Locked,
    /// It was answered in time, and that answer is locked.
    AnsweredInTime,
    /// The guess round comes after time up.
    NotYet,
    /// The sitting's file is of an older format, which cannot hold it.
    OlderFile,
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Finished => "The sitting is over.",
            Self::OnBreak => "This is a rest break. End it first.",
            Self::NotOnBreak => "There's no rest break to end.",
            Self::NoBreaks => "This sitting has no rest breaks.",
            Self::NoSuchQuestion => "That question isn't in this sitting.",
            Self::NoSuchOption => "That isn't one of this question's options.",
            Self::NothingThere => "There's no answer here yet.",
            Self::Locked => "Time's up. Answers given in time are locked.",
            Self::AnsweredInTime => "You answered this one in time, so it's locked.",
            Self::NotYet => "The guess round starts when time's up.",
            Self::OlderFile => "This sitting was started in an older version, which can't do that.",
        })
    }
}

type Decision = Result<Option<Event>, Refusal>;

impl Sitting {
    /// What a notice becomes under this sitting's arrangements; nothing once it is over.
    ///
    /// The shell takes notices before wishes, since one may move the deadline.
    pub fn note(&self, notice: Notice) -> Option<Event> {
        let arranged = &self.header.arrangements;
        let event = match notice {
            Notice::Slept(span) => Event::Slept {
                span,
                counts: arranged.sleep_counts,
            },
            Notice::Stalled(span) => Event::Stalled { span },
            Notice::ClockChanged(millis) => Event::ClockChanged { millis },
            Notice::Interrupt(stop) => Event::Interrupted(stop.in_format(self.header.format)),
            Notice::Resume { since, clock, boot } => Event::Resumed {
                since,
                counts: self.absence_counts(),
                clock,
                boot,
                left: self.conduct.left.filter(|_| self.header.format >= 2),
            },
        };
        (!self.is_closed()).then_some(event)
    }

    /// What `command` becomes at the moment `at`.
    ///
    /// A repeated wish (the same answer again, the question that is open already) is no event.
    /// Once time is up and that has not been recorded, the event is [`Event::TimeUp`], whatever was
    /// wished: the shell records it and asks again.
    pub fn decide(&self, command: Command, at: Elapsed) -> Decision {
        if self.is_closed() {
            return Err(Refusal::Finished);
        }
        if let Some(due) = self
            .deadline()
            .filter(|due| at >= *due && self.header.mode == Mode::Timed)
        {
            return Ok(Some(Event::TimeUp { due }));
        }
        if self.header.format < 2 {
            // What an older file cannot hold is no event of it: there the page's own word has to do.
            match command {
                Command::HideClock | Command::ShowClock | Command::LeaveSweep => return Ok(None),
                Command::CrossOut(..) | Command::BeginSweep => return Err(Refusal::OlderFile),
                Command::Tick
                | Command::Open(_)
                | Command::Answer(..)
                | Command::RubOut(_)
                | Command::Skip(_)
                | Command::Flag(_)
                | Command::Say(..)
                | Command::StartBreak
                | Command::EndBreak
                | Command::StartGuessRound
                | Command::Fill { .. }
                | Command::Finish
                | Command::Abandon => {}
            }
        }
        match self.phase {
            Phase::Running => self.decide_running(&command),
            Phase::OnBreak => self.decide_on_break(&command),
            Phase::TimeUp | Phase::GuessRound => self.decide_after_time(command),
            Phase::Closed(_) => Err(Refusal::Finished),
        }
    }

    fn decide_running(&self, command: &Command) -> Decision {
        match *command {
            Command::Open(question) => self.decide_open(question),
            Command::Answer(question, option) => {
                let row = self.row(question).ok_or(Refusal::NoSuchQuestion)?;
                if !self.label_fits(question, option) {
                    return Err(Refusal::NoSuchOption);
                }
                let same = row.in_time.is_some_and(|given| given.option == option);
                Ok((!same).then_some(Event::Answered(question, option)))
            }
            Command::RubOut(question) => {
                let row = self.row(question).ok_or(Refusal::NoSuchQuestion)?;
                row.in_time.ok_or(Refusal::NothingThere)?;
                Ok(Some(Event::RubbedOut(question)))
            }
            Command::Skip(question) => {
                let row = self.row(question).ok_or(Refusal::NoSuchQuestion)?;
                let new = row.in_time.is_none() && !row.skipped;
                Ok(new.then_some(Event::Skipped(question)))
            }
            Command::Flag(question) => {
                let row = self.row(question).ok_or(Refusal::NoSuchQuestion)?;
                let event = if row.flagged {
                    Event::Unflagged(question)
                } else {
                    Event::Flagged(question)
                };
                Ok(Some(event))
            }
            Command::Say(question, how) => {
                let row = self.row(question).ok_or(Refusal::NoSuchQuestion)?;
                let given = row.in_time.ok_or(Refusal::NothingThere)?;
                Ok((given.how != how).then_some(Event::Said(question, how)))
            }
            Command::CrossOut(question, option) => self.decide_cross(question, option),
            Command::HideClock => Ok(self.hide_clock()),
            Command::ShowClock => Ok(self.show_clock()),
            Command::BeginSweep => Ok((!self.conduct.sweeping).then_some(Event::SweepBegun)),
            Command::LeaveSweep => Ok(self.conduct.sweeping.then_some(Event::SweepLeft)),
            Command::StartBreak if self.header.arrangements.rest_breaks => {
                Ok(Some(Event::BreakStarted))
            }
            Command::StartBreak => Err(Refusal::NoBreaks),
            Command::EndBreak => Err(Refusal::NotOnBreak),
            Command::StartGuessRound | Command::Fill { .. } => Err(Refusal::NotYet),
            Command::Finish => {
                let ending = match self.header.mode {
                    Mode::Timed => Ending::FinishedEarly,
                    Mode::Entered => Ending::Entered,
                };
                Ok(Some(Event::Closed(ending)))
            }
            Command::Abandon => Ok(Some(Event::Closed(Ending::Abandoned))),
            Command::Tick => Ok(None),
        }
    }

    fn decide_open(&self, question: QuestionNo) -> Decision {
        self.row(question).ok_or(Refusal::NoSuchQuestion)?;
        Ok((self.open != Some(question)).then_some(Event::Opened(question)))
    }

    /// Any option of a question can be crossed out, the chosen one too: what was answered stays.
    fn decide_cross(&self, question: QuestionNo, option: Label) -> Decision {
        let row = self.row(question).ok_or(Refusal::NoSuchQuestion)?;
        if !self.label_fits(question, option) {
            return Err(Refusal::NoSuchOption);
        }
        Ok(Some(if row.crossed.contains(&option) {
            Event::CrossedBack(question, option)
        } else {
            Event::CrossedOut(question, option)
        }))
    }

    fn hide_clock(&self) -> Option<Event> {
        (!self.conduct.clock_hidden).then_some(Event::ClockHidden)
    }

    fn show_clock(&self) -> Option<Event> {
        self.conduct.clock_hidden.then_some(Event::ClockShown)
    }

    fn decide_on_break(&self, command: &Command) -> Decision {
        match command {
            Command::HideClock => Ok(self.hide_clock()),
            Command::ShowClock => Ok(self.show_clock()),
            Command::EndBreak => Ok(Some(Event::BreakEnded)),
            Command::Abandon => Ok(Some(Event::Closed(Ending::Abandoned))),
            Command::Tick => Ok(None),
            Command::Open(_)
            | Command::Answer(..)
            | Command::RubOut(_)
            | Command::Skip(_)
            | Command::Flag(_)
            | Command::Say(..)
            | Command::CrossOut(..)
            | Command::BeginSweep
            | Command::LeaveSweep
            | Command::StartBreak
            | Command::StartGuessRound
            | Command::Fill { .. }
            | Command::Finish => Err(Refusal::OnBreak),
        }
    }

    fn decide_after_time(&self, command: Command) -> Decision {
        let guessing = self.phase == Phase::GuessRound;
        match command {
            Command::StartGuessRound => Ok((!guessing).then_some(Event::GuessRoundStarted)),
            Command::Finish => {
                let ending = if guessing || self.blanks().next().is_some() {
                    Ending::GuessRoundDone
                } else {
                    Ending::TimeUp
                };
                Ok(Some(Event::Closed(ending)))
            }
            Command::Abandon => Ok(Some(Event::Closed(Ending::Abandoned))),
            Command::Open(question) if guessing => self.decide_open(question),
            Command::Answer(question, option) if guessing => {
                let row = self.row(question).ok_or(Refusal::NoSuchQuestion)?;
                if row.in_time.is_some() {
                    return Err(Refusal::AnsweredInTime);
                }
                if !self.label_fits(question, option) {
                    return Err(Refusal::NoSuchOption);
                }
                let same = row
                    .after_time
                    .is_some_and(|g| g.option == option && g.how == How::Guessed);
                Ok((!same).then_some(Event::Answered(question, option)))
            }
            Command::CrossOut(question, option) if guessing => {
                let row = self.row(question).ok_or(Refusal::NoSuchQuestion)?;
                if row.in_time.is_some() {
                    return Err(Refusal::AnsweredInTime);
                }
                self.decide_cross(question, option)
            }
            Command::HideClock => Ok(self.hide_clock()),
            Command::ShowClock => Ok(self.show_clock()),
            Command::RubOut(question) if guessing => {
                let row = self.row(question).ok_or(Refusal::NoSuchQuestion)?;
                if row.in_time.is_some() {
                    return Err(Refusal::AnsweredInTime);
                }
                row.after_time.ok_or(Refusal::NothingThere)?;
                Ok(Some(Event::RubbedOut(question)))
            }
            Command::Fill { seed, answers } if guessing => {
                for (question, option) in &answers {
                    let row = self.row(*question).ok_or(Refusal::NoSuchQuestion)?;
                    if row.in_time.is_some() {
                        return Err(Refusal::AnsweredInTime);
                    }
                    if !self.label_fits(*question, *option) {
                        return Err(Refusal::NoSuchOption);
                    }
                }
                Ok((!answers.is_empty()).then_some(Event::Filled { seed, answers }))
            }
            Command::Tick => Ok(None),
            Command::Open(_)
            | Command::Answer(..)
            | Command::RubOut(_)
            | Command::Fill { .. }
            | Command::Skip(_)
            | Command::Flag(_)
            | Command::Say(..)
            | Command::CrossOut(..)
            | Command::BeginSweep
            | Command::LeaveSweep
            | Command::StartBreak
            | Command::EndBreak => Err(Refusal::Locked),
        }
    }
}
