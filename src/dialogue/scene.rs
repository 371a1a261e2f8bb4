//! A sitting at a moment, as far as a dialogue needs to know.

use super::reply::Reply;
use crate::domain::event::{Event, How};
use crate::domain::labels::Labels;
use crate::domain::paper::Paper;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Command, Phase, Row, Sitting};
use crate::domain::time::Elapsed;
use crate::odds::guess::safe_blanks;
use crate::words::guess::GuessWorth;
use crate::words::sitting::{FillOffer, Reminder, Said};

/// How things stand when something is said.
#[derive(Clone, Copy, Debug)]
pub struct Scene<'a> {
    /// The sitting.
    pub sitting: &'a Sitting,
    /// The questions, where they are at hand.
    pub paper: Option<&'a Paper>,
    /// The moment.
    pub at: Elapsed,
}

impl<'a> Scene<'a> {
    /// Where the sitting stands.
    pub const fn phase(&self) -> Phase {
        self.sitting.phase()
    }

    /// The questions that can be gone to: all, after time those without an answer in time, and in a
    /// sweep the blanks and the guesses.
    pub fn questions(&self) -> Vec<QuestionNo> {
        let guessing = self.phase() == Phase::GuessRound;
        let sweeping = self.is_sweeping();
        let guess = |row: &Row| row.in_time.is_none_or(|given| given.how == How::Guessed);
        let rows = self.sitting.rows().iter();
        rows.filter(|row| !guessing || row.in_time.is_none())
            .filter(|row| !sweeping || guess(row))
            .map(|row| row.number)
            .collect()
    }

    /// Whether the blanks are being filled while there is time.
    pub fn is_sweeping(&self) -> bool {
        self.phase() == Phase::Running && self.sitting.is_sweeping()
    }

    /// The question being worked on: the open one; in the guess round and in a sweep always one that
    /// can be guessed.
    pub fn current(&self) -> Option<QuestionNo> {
        let open = self.sitting.open();
        if self.phase() != Phase::GuessRound && !self.is_sweeping() {
            return open;
        }
        let questions = self.questions();
        open.filter(|open| questions.contains(open))
            .or_else(|| self.sitting.blanks().next())
            .or_else(|| questions.first().copied())
    }

    /// The row of the question being worked on.
    pub fn row(&self) -> Option<&'a Row> {
        self.sitting.row(self.current()?)
    }

    /// What answers the question being worked on; where none is, most questions of the paper.
    pub fn labels(&self) -> &'a Labels {
        let paper = &self.sitting.header().paper;
        self.current()
            .map_or(&paper.options, |question| paper.labels(question))
    }

    /// Whether digits answer the question being worked on, so that a jump needs a sign before it.
    pub fn digits_answer(&self) -> bool {
        self.current().is_some() && self.labels().are_digits()
    }

    /// Whether the questions are read on the screen, and not on a printed paper.
    pub fn is_read_here(&self) -> bool {
        self.paper.is_some() && self.sitting.header().paper.on_screen
    }

    /// The questions filled at random.
    pub fn fills(&self) -> impl Iterator<Item = QuestionNo> + use<'a> {
        let rows = self.sitting.rows().iter();
        rows.filter(|row| row.standing().is_some_and(|given| given.how == How::Filled))
            .map(|row| row.number)
    }

    /// What filling at random would do now.
    pub fn filling(&self) -> FillOffer {
        FillOffer {
            blanks: self.sitting.blanks().count(),
            filled: safe_blanks(self.sitting).len(),
        }
    }

    /// What the reminder says: the blanks, the time unless the clock is hidden, and what guesses on
    /// them bring.
    pub fn reminder(&self) -> Reminder {
        Reminder {
            left: self.left_shown(),
            blanks: self.blanks(),
            guesses: GuessWorth::of(self.sitting),
        }
    }

    /// The time left, unless the clock is hidden.
    pub(super) fn left_shown(&self) -> Option<Elapsed> {
        let shown = !self.sitting.clock_hidden();
        shown.then(|| self.sitting.left(self.at))
    }

    /// Whether the blanks are being mentioned: from the moment set until time is up.
    pub fn reminds(&self) -> bool {
        let due = self.sitting.reminder().is_some_and(|due| self.at >= due);
        due && self.sitting.blanks().next().is_some()
    }

    /// Whether time is up and the log does not have it yet.
    pub(super) fn is_time_up_due(&self) -> bool {
        let tick = self.sitting.decide(Command::Tick, self.at);
        matches!(tick, Ok(Some(Event::TimeUp { .. })))
    }

    /// The wish, with what is said where it is granted.
    pub(super) fn wish(&self, command: Command, said: Said) -> Reply {
        match self.sitting.decide(command.clone(), self.at) {
            Ok(_) => Reply::said(said).and_wish(command),
            Err(refusal) => refusal.into(),
        }
    }

    pub(super) fn blanks(&self) -> Vec<QuestionNo> {
        self.sitting.blanks().collect()
    }

    /// The next blank that is not being worked on, beginning anew at the front.
    pub(super) fn other_blank(&self) -> Option<QuestionNo> {
        let here = self.current();
        let others = self.sitting.blanks().filter(|blank| Some(*blank) != here);
        next_round(others, here)
    }
}

impl Scene<'_> {
    /// Goes a step where only some questions can be gone to.
    pub(super) fn step(&self, step: Step) -> Reply {
        match beside(&self.questions(), self.current(), step) {
            Some(question) => self.go(question),
            None => Reply::said(Said::NoOtherThatWay),
        }
    }
}

/// Where a step from one question to another goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Step {
    Next,
    Previous,
    First,
    Last,
}

/// The question after (or before) `from` in `questions`, if there is one.
pub(super) fn beside(
    questions: &[QuestionNo],
    from: Option<QuestionNo>,
    step: Step,
) -> Option<QuestionNo> {
    let here = from.and_then(|from| questions.iter().position(|q| *q == from));
    let there = match (step, here) {
        (Step::Last, _) => questions.len().checked_sub(1),
        (Step::First, _) | (_, None) => Some(0),
        (Step::Previous, Some(here)) => here.checked_sub(1),
        (Step::Next, Some(here)) => Some(here + 1),
    };
    questions.get(there?).copied()
}

/// The next of `wanted` after `from`, beginning anew at the front.
pub(super) fn next_round(
    wanted: impl Iterator<Item = QuestionNo>,
    from: Option<QuestionNo>,
) -> Option<QuestionNo> {
    let wanted: Vec<QuestionNo> = wanted.collect();
    let after = wanted.iter().find(|q| from.is_none_or(|from| **q > from));
    after.or(wanted.first()).copied()
}
