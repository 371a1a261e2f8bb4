//! What an event changes.

use super::{Given, Phase, Row, Sitting, Visit};
use crate::domain::event::{Event, How};
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;

impl Sitting {
    /// Moves the state past an event that happened at `at`; cannot go wrong.
    ///
    /// What names a question outside this sitting changes nothing, and neither does what comes after the
    /// end, so that any file can be read.
    pub fn apply(&mut self, at: Elapsed, event: &Event) {
        if self.is_closed() {
            return;
        }
        let at = at.max(self.latest);
        if !self.is_after_time() && is_an_act(event) {
            self.conduct.acted = at;
        }
        match event {
            Event::Opened(question) => self.opened(*question, at),
            Event::Answered(question, option) => self.answered(*question, *option),
            Event::RubbedOut(question) => self.rubbed_out(*question),
            Event::Skipped(question) => self.change(*question, |row| row.skipped = true),
            Event::Flagged(question) => self.change(*question, |row| row.flagged = true),
            Event::Unflagged(question) => self.change(*question, |row| row.flagged = false),
            Event::Said(question, how) => self.change(*question, |row| {
                if let Some(given) = &mut row.in_time {
                    given.how = *how;
                }
            }),
            Event::CrossedOut(question, option) => self.change(*question, |row| {
                row.crossed.insert(*option);
            }),
            Event::CrossedBack(question, option) => self.change(*question, |row| {
                row.crossed.remove(option);
            }),
            Event::ClockHidden => self.conduct.clock_hidden = true,
            Event::ClockShown => self.conduct.clock_hidden = false,
            Event::SweepBegun => self.conduct.sweeping = true,
            Event::SweepLeft => self.conduct.sweeping = false,
            Event::BreakStarted | Event::BreakEnded if self.is_after_time() => {}
            Event::BreakStarted => {
                self.phase = Phase::OnBreak;
                self.stopped.begin(at);
                self.absent.begin(at);
            }
            Event::BreakEnded => {
                self.phase = Phase::Running;
                self.stopped.end(at);
                self.absent.end(at);
            }
            Event::Slept { span, counts } => self.away(at.since(*span), at, *counts),
            Event::Resumed { since, counts, .. } => self.away(*since, at, *counts),
            Event::Stalled { .. } | Event::ClockChanged { .. } | Event::Interrupted(_) => {}
            Event::TimeUp { due } => self.time_up(*due, at),
            Event::GuessRoundStarted => self.phase = Phase::GuessRound,
            Event::Filled { answers, .. } => {
                for (question, option) in answers {
                    let given = Given {
                        option: *option,
                        how: How::Filled,
                    };
                    self.change(*question, |row| row.after_time = Some(given));
                }
            }
            Event::Closed(ending) => {
                self.leave(at);
                self.conduct.sweeping = false;
                self.stopped.end(at);
                self.absent.end(at);
                self.phase = Phase::Closed(*ending);
            }
        }
        self.conduct.left = None;
        if let Event::Interrupted(stop) = event {
            self.conduct.left = Some(*stop);
        }
        self.latest = at;
    }

    fn change(&mut self, question: QuestionNo, change: impl FnOnce(&mut Row)) {
        if let Some(row) = self.rows.iter_mut().find(|row| row.number == question) {
            change(row);
        }
    }

    fn is_after_time(&self) -> bool {
        self.due.is_some()
    }

    /// Ends the visit that is going on.
    fn leave(&mut self, at: Elapsed) {
        if let Some(visit) = self.visits.last_mut().filter(|visit| visit.to.is_none()) {
            visit.to = Some(at.max(visit.from));
        }
    }

    fn opened(&mut self, question: QuestionNo, at: Elapsed) {
        if self.row(question).is_none() {
            return;
        }
        self.open = Some(question);
        if self.is_after_time() {
            return;
        }
        self.leave(at);
        self.visits.push(Visit {
            question,
            from: at,
            to: None,
        });
        self.change(question, |row| row.seen = true);
    }

    fn answered(&mut self, question: QuestionNo, option: Label) {
        let after = self.is_after_time();
        if !after {
            self.conduct.answered = Some(question);
        }
        self.change(question, |row| {
            if after {
                row.after_time = Some(Given {
                    option,
                    how: How::Guessed,
                });
            } else {
                row.in_time = Some(Given {
                    option,
                    how: How::Worked,
                });
                row.skipped = false;
                if row.history.last() != Some(&option) {
                    row.history.push(option);
                }
            }
        });
    }

    fn rubbed_out(&mut self, question: QuestionNo) {
        let after = self.is_after_time();
        self.change(question, |row| {
            if after {
                row.after_time = None;
            } else {
                row.in_time = None;
            }
        });
    }

    /// Nobody was there from `from` to `to`; a rest break that is on holds that stretch already.
    fn away(&mut self, from: Elapsed, to: Elapsed, counts: bool) {
        if self.absent.is_open() || self.is_after_time() {
            return;
        }
        self.absent.add(from, to);
        if !counts {
            self.stopped.add(from, to);
        }
    }

    /// Time is up once: not before the last thing done in time, nor after the record that says so.
    fn time_up(&mut self, due: Elapsed, at: Elapsed) {
        if self.is_after_time() {
            return;
        }
        let due = due.max(self.conduct.acted).min(at);
        self.leave(due);
        self.conduct.sweeping = false;
        self.due = Some(due);
        self.phase = Phase::TimeUp;
    }
}

/// Whether an event is the pupil's doing, and not what the program notices of itself.
const fn is_an_act(event: &Event) -> bool {
    match event {
        Event::Opened(_)
        | Event::Answered(..)
        | Event::RubbedOut(_)
        | Event::Skipped(_)
        | Event::Flagged(_)
        | Event::Unflagged(_)
        | Event::Said(..)
        | Event::CrossedOut(..)
        | Event::CrossedBack(..)
        | Event::ClockHidden
        | Event::ClockShown
        | Event::SweepBegun
        | Event::SweepLeft
        | Event::BreakStarted
        | Event::BreakEnded => true,
        Event::Slept { .. }
        | Event::Stalled { .. }
        | Event::ClockChanged { .. }
        | Event::Interrupted(_)
        | Event::Resumed { .. }
        | Event::TimeUp { .. }
        | Event::GuessRoundStarted
        | Event::Filled { .. }
        | Event::Closed(_) => false,
    }
}
