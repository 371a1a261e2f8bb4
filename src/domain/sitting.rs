//! One sitting as a state that events move: what live play, resume, review and replay share.
//!
//! [`Sitting::decide`] says what a wish becomes, and may refuse; [`Sitting::apply`] moves the state
//! past something that has happened, and cannot; [`Sitting::deadline`] says when the next thing
//! happens by itself. Nobody here asks for the time: every call brings its moment.

mod apply;
mod decide;
mod sheet;

use std::sync::Arc;

use super::event::{Ending, Stop};
use super::header::Header;
use super::labels::Label;
use super::rule::QuestionNo;
use super::spans::Spans;
use super::time::Elapsed;

pub use decide::{Command, Notice, Refusal};
pub use sheet::{Given, Row, RowState, Visit};

/// Where a sitting stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// The clock runs and answers are taken.
    Running,
    /// A rest break: the clock stands, the questions are hidden.
    OnBreak,
    /// Time is up; the guess round has not been begun.
    TimeUp,
    /// What was blank at time up is being guessed.
    GuessRound,
    /// Over.
    Closed(Ending),
}

/// A sitting at one moment.
#[derive(Clone, Debug)]
pub struct Sitting {
    header: Arc<Header>,
    phase: Phase,
    /// The question on the screen.
    open: Option<QuestionNo>,
    rows: Vec<Row>,
    visits: Vec<Visit>,
    /// Stretches that do not count as time used.
    stopped: Spans,
    /// Stretches in which nobody worked: breaks, sleep, absences.
    absent: Spans,
    /// The moment of the last event.
    latest: Elapsed,
    /// The moment at which time was up, once it was.
    due: Option<Elapsed>,
    conduct: Conduct,
}

/// What is known of how it is sat, beside the answers and the time.
#[derive(Clone, Copy, Debug, Default)]
struct Conduct {
    /// Whether the pupil has hidden the clock.
    clock_hidden: bool,
    /// Whether the pupil is filling the blanks before time is up.
    sweeping: bool,
    /// When the pupil last did something in time.
    acted: Elapsed,
    /// How the program was left, until the sitting goes on.
    left: Option<Stop>,
    /// The question that was answered last in time.
    answered: Option<QuestionNo>,
}

impl Sitting {
    /// A sitting at its first moment, nothing seen.
    pub fn new(header: Arc<Header>) -> Self {
        let rows = header.questions().map(Row::new).collect();
        Self {
            header,
            phase: Phase::Running,
            open: None,
            rows,
            visits: Vec::new(),
            stopped: Spans::default(),
            absent: Spans::default(),
            latest: Elapsed::ZERO,
            due: None,
            conduct: Conduct::default(),
        }
    }

    /// What was settled before the start.
    pub fn header(&self) -> &Header {
        &self.header
    }

    /// Where it stands.
    pub const fn phase(&self) -> Phase {
        self.phase
    }

    /// Whether it is over.
    pub const fn is_closed(&self) -> bool {
        matches!(self.phase, Phase::Closed(_))
    }

    /// The question on the screen.
    pub const fn open(&self) -> Option<QuestionNo> {
        self.open
    }

    /// The answer sheet, a row a question of this sitting.
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// One question's row, where it belongs to this sitting.
    pub fn row(&self, question: QuestionNo) -> Option<&Row> {
        self.rows.iter().find(|row| row.number == question)
    }

    /// Every visit in order; the last may still go on.
    pub fn visits(&self) -> &[Visit] {
        &self.visits
    }

    /// Breaks, sleep and absences.
    pub const fn absent(&self) -> &Spans {
        &self.absent
    }

    /// Stretches that do not count as time used.
    pub const fn stopped(&self) -> &Spans {
        &self.stopped
    }

    /// The moment of the last event.
    pub const fn latest(&self) -> Elapsed {
        self.latest
    }

    /// The moment at which time was up, once it was.
    pub const fn due(&self) -> Option<Elapsed> {
        self.due
    }

    /// Whether the pupil has hidden the clock.
    pub const fn clock_hidden(&self) -> bool {
        self.conduct.clock_hidden
    }

    /// Whether the pupil is filling the blanks before time is up.
    pub const fn is_sweeping(&self) -> bool {
        self.conduct.sweeping
    }

    /// The question that was answered last in time, where that answer still stands.
    pub fn last_answered(&self) -> Option<(QuestionNo, Given)> {
        let row = self.row(self.conduct.answered?)?;
        Some((row.number, row.in_time?))
    }

    /// The options of a question that are not crossed out; all of them where none would be left.
    pub fn labels_left(&self, question: QuestionNo) -> Vec<Label> {
        let all = self.header.paper.labels(question);
        let is_crossed = |label: &Label| {
            let row = self.row(question);
            row.is_some_and(|row| row.crossed.contains(label))
        };
        let left: Vec<Label> = all.iter().filter(|label| !is_crossed(label)).collect();
        if left.is_empty() {
            all.iter().collect()
        } else {
            left
        }
    }

    /// How many these are.
    pub fn options_left(&self, question: QuestionNo) -> usize {
        self.labels_left(question).len()
    }

    /// Whether the absence that is ending counts as time used.
    ///
    /// Leaving by a key is no break: it counts, unless rest breaks are arranged.
    pub fn absence_counts(&self) -> bool {
        self.counts_after(self.conduct.left)
    }

    /// Whether the time away will count as time used if the pupil leaves by a key now.
    pub fn leaving_counts(&self) -> bool {
        self.counts_after(Some(Stop::LeftByKey))
    }

    fn counts_after(&self, left: Option<Stop>) -> bool {
        let arranged = &self.header.arrangements;
        let by_key = matches!(left, Some(Stop::LeftByKey));
        arranged.away_counts || (by_key && !arranged.rest_breaks)
    }

    /// How much of the time allowed is used at `at`.
    pub fn used(&self, at: Elapsed) -> Elapsed {
        let at = self.due.map_or(at, |due| at.min(due));
        at.since(self.stopped.total(at)).min(self.header.allowed)
    }

    /// How much of the time allowed is left at `at`.
    pub fn left(&self, at: Elapsed) -> Elapsed {
        self.header.allowed.since(self.used(at))
    }

    /// When `decide(Tick)` will next have something to say: time up; nothing while the clock stands.
    pub fn deadline(&self) -> Option<Elapsed> {
        let runs = self.phase == Phase::Running;
        runs.then(|| self.header.allowed + self.stopped.total(self.latest))
    }

    /// When the blanks are to be mentioned.
    pub fn reminder(&self) -> Option<Elapsed> {
        self.deadline()
            .map(|due| due.since(self.header.arrangements.remind_before))
    }

    /// The questions without an answer in time, in order; in the guess round, those still blank.
    pub fn blanks(&self) -> impl Iterator<Item = QuestionNo> + '_ {
        self.rows
            .iter()
            .filter(|row| row.standing().is_none())
            .map(|row| row.number)
    }

    /// The questions with a flag, in order.
    pub fn flags(&self) -> impl Iterator<Item = QuestionNo> + '_ {
        self.rows
            .iter()
            .filter(|row| row.flagged)
            .map(|row| row.number)
    }

    /// The labels that answer `question`.
    fn label_fits(&self, question: QuestionNo, label: Label) -> bool {
        self.header.paper.labels(question).index(label).is_some()
    }
}

#[cfg(test)]
mod tests;
