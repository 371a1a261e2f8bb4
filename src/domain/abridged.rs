//! A sitting as lists need it: its answers and how it ended, without its log.
//!
//! It holds no mark: those come from the key of the day.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::header::{Alias, Mode};
use super::marking::{Answer, Take, answer};
use super::paper::Outline;
use super::rule::QuestionNo;
use super::sitting::{Given, Sitting};
use super::standing::{Standing, Use};
use super::thresholds::{Limit, Thresholds};
use super::time::Elapsed;

/// What lists need of a sitting.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Abridged {
    /// The file's format.
    pub format: u32,
    /// The sitting's own id.
    pub sitting: String,
    /// Whose it is.
    pub pupil: Alias,
    /// When it was started.
    pub started: DateTime<FixedOffset>,
    /// Whether nobody sat it.
    pub invented: bool,
    /// The marking part of the paper as it was sat.
    pub paper: Arc<Outline>,
    /// What it can stand for, as far as its log tells.
    pub standing: Standing,
    /// The time.
    pub time: TimeTaken,
    /// How many questions have a flag.
    pub flags: usize,
    /// The answers, a row a question of this sitting.
    pub rows: Vec<AbridgedRow>,
}

/// How much time there was, and how much of it was used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TimeTaken {
    /// The time allowed.
    pub allowed: Elapsed,
    /// How much of it was used by the last event.
    pub used: Elapsed,
}

/// One question's answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AbridgedRow {
    /// The question.
    pub number: QuestionNo,
    /// The answer in time.
    pub in_time: Option<Given>,
    /// The answer of the guess round.
    pub after_time: Option<Given>,
}

impl Abridged {
    /// What lists need of this sitting.
    pub fn of(sitting: &Sitting) -> Self {
        let header = sitting.header();
        let row = |row: &super::sitting::Row| AbridgedRow {
            number: row.number,
            in_time: row.in_time,
            after_time: row.after_time,
        };
        Self {
            format: header.format,
            sitting: header.sitting.clone(),
            pupil: header.pupil.clone(),
            started: header.started,
            invented: header.invented,
            paper: Arc::new(header.paper.clone()),
            standing: Standing::of(sitting),
            time: TimeTaken {
                allowed: header.allowed,
                used: sitting.used(sitting.latest()),
            },
            flags: sitting.flags().count(),
            rows: sitting.rows().iter().map(row).collect(),
        }
    }

    /// How the answers came in.
    pub const fn mode(&self) -> Mode {
        if self.standing.typed_in {
            Mode::Entered
        } else {
            Mode::Timed
        }
    }

    /// The answers, question by question.
    pub fn answers(&self, take: Take) -> Vec<Answer> {
        let rows = self.rows.iter();
        rows.map(|row| answer(row.number, (row.in_time, row.after_time), take))
            .collect()
    }

    /// How many questions had no answer when the time in which answers count ended.
    pub fn blanks(&self) -> usize {
        let blank = self.rows.iter().filter(|row| row.in_time.is_none());
        blank.count()
    }

    /// Whether a sitting that ended used so little of its time that it may be a false start; only the tutor can say.
    pub fn is_very_short(&self, limits: &Thresholds) -> bool {
        let least = limits.times(Limit::ShortShare, self.time.allowed);
        let counts = self.standing.bars(Use::Evidence).is_none();
        self.mode() == Mode::Timed && counts && self.time.used < least
    }
}
