//! What can happen in a sitting, and when: the records of its file.
//!
//! A name once released stays: old files are read for ever.

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

use super::header::Boot;
use super::labels::Label;
use super::rule::QuestionNo;
use super::time::Elapsed;

/// How an answer was come by.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum How {
    /// Nothing said: worked out.
    #[default]
    Worked,
    /// The pupil said unsure.
    Unsure,
    /// The pupil said a guess.
    Guessed,
    /// The program filled it at random, at the pupil's word.
    Filled,
}

impl How {
    /// Its name in files and tables.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Worked => "worked",
            Self::Unsure => "unsure",
            Self::Guessed => "guessed",
            Self::Filled => "filled",
        }
    }

    /// Whether the answer counts as luck: a guess or filled at random.
    pub const fn is_luck(self) -> bool {
        matches!(self, Self::Guessed | Self::Filled)
    }

    /// What the pupil says next when marking an answer in turn: worked, unsure, guess.
    #[must_use]
    pub const fn next_said(self) -> Self {
        match self {
            Self::Worked => Self::Unsure,
            Self::Unsure => Self::Guessed,
            Self::Guessed | Self::Filled => Self::Worked,
        }
    }
}

/// How a sitting ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Ending {
    /// The pupil handed in before time was up.
    FinishedEarly,
    /// Time was up and nothing was blank.
    TimeUp,
    /// The guess round after time up was ended.
    GuessRoundDone,
    /// The sitting was given up: it is kept, and asks for no mark.
    Abandoned,
    /// An answer sheet done on paper was typed in.
    Entered,
}

/// What stopped the program while the sitting went on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Stop {
    /// The window or the connection was closed.
    TerminalLost,
    /// A signal or the pupil's own leaving ended the program: files of format 1 do not say which.
    Left,
    /// The pupil left by a key, or by ending the input.
    LeftByKey,
    /// A signal ended the program.
    LeftBySignal,
    /// The program broke.
    Panic,
}

impl Stop {
    /// The same as a file of this format can say it.
    #[must_use]
    pub const fn in_format(self, format: u32) -> Self {
        match self {
            Self::LeftByKey | Self::LeftBySignal if format < 2 => Self::Left,
            Self::TerminalLost
            | Self::Left
            | Self::LeftByKey
            | Self::LeftBySignal
            | Self::Panic => self,
        }
    }
}

/// How far the length of an absence can be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum AwayClock {
    /// Measured on the clock that nobody can set.
    Exact,
    /// The machine was restarted: measured on the wall clock.
    Wall,
    /// Not known. The machine was restarted and the wall clock had gone backwards: taken as nothing. Or nothing tells
    /// how long the sitting went on after the last event: the time since then holds the absence.
    Unknown,
}

/// One thing that happened.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum Event {
    /// A question was opened.
    Opened(QuestionNo),
    /// An option was chosen.
    Answered(QuestionNo, Label),
    /// The answer was taken back.
    RubbedOut(QuestionNo),
    /// The question was left for later.
    Skipped(QuestionNo),
    /// A flag was put beside it.
    Flagged(QuestionNo),
    /// The flag was taken away.
    Unflagged(QuestionNo),
    /// The pupil said how the answer was come by.
    Said(QuestionNo, How),
    /// An option was crossed out; an answer that stands on it stays.
    CrossedOut(QuestionNo, Label),
    /// The cross was taken away.
    CrossedBack(QuestionNo, Label),
    /// The pupil hid the clock.
    ClockHidden,
    /// The pupil had the clock shown again.
    ClockShown,
    /// The pupil began to fill the blanks before time was up.
    SweepBegun,
    /// The pupil left the sweep; time up and the end of the sitting end it as well.
    SweepLeft,
    /// A rest break began; the exam clock stands.
    BreakStarted,
    /// The rest break ended.
    BreakEnded,
    /// The machine had slept for so long, until now.
    Slept {
        /// How long.
        span: Elapsed,
        /// Whether that time counts as time used.
        counts: bool,
    },
    /// The program had been held up for so long, until now; the clock ran on.
    Stalled {
        /// How long.
        span: Elapsed,
    },
    /// Somebody changed the system clock by so many milliseconds; the exam clock took no notice.
    ClockChanged {
        /// Forwards, or negative for backwards.
        millis: i64,
    },
    /// The program is about to stop with the sitting still open.
    Interrupted(Stop),
    /// The sitting was taken up again.
    Resumed {
        /// When it was last known to be going on.
        since: Elapsed,
        /// Whether the absence counts as time used.
        counts: bool,
        /// How far its length can be trusted.
        clock: AwayClock,
        /// The machine's boot, and where its clock stood at the start of the sitting.
        boot: Boot,
        /// How the program was left before; nothing where that is not known, as after a kill.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        left: Option<Stop>,
    },
    /// Time was up at `due`; answers locked at that moment.
    TimeUp {
        /// The moment itself.
        due: Elapsed,
    },
    /// The pupil began to guess what was still blank.
    GuessRoundStarted,
    /// The program filled blanks at random.
    Filled {
        /// The seed that the choices came from.
        seed: u64,
        /// What was filled in.
        answers: Vec<(QuestionNo, Label)>,
    },
    /// The sitting ended.
    Closed(Ending),
}

impl Event {
    /// Whether a span of time counts or not by it, and the program itself must not forget it: one that never reached
    /// the session file would have an absence count as time sat.
    pub const fn parts_time(&self) -> bool {
        matches!(
            self,
            Self::Resumed { .. } | Self::Slept { .. } | Self::BreakStarted | Self::BreakEnded
        )
    }

    /// The boot that it tells, where it tells of one.
    pub const fn boot(&self) -> Option<&Boot> {
        if let Self::Resumed { boot, .. } = self {
            Some(boot)
        } else {
            None
        }
    }

    /// The oldest format of a session file that can hold it.
    pub const fn format(&self) -> u32 {
        match self {
            Self::CrossedOut(..)
            | Self::CrossedBack(..)
            | Self::ClockHidden
            | Self::ClockShown
            | Self::SweepBegun
            | Self::SweepLeft
            | Self::Interrupted(Stop::LeftByKey | Stop::LeftBySignal)
            | Self::Resumed { left: Some(_), .. } => 2,
            Self::Opened(_)
            | Self::Answered(..)
            | Self::RubbedOut(_)
            | Self::Skipped(_)
            | Self::Flagged(_)
            | Self::Unflagged(_)
            | Self::Said(..)
            | Self::BreakStarted
            | Self::BreakEnded
            | Self::Slept { .. }
            | Self::Stalled { .. }
            | Self::ClockChanged { .. }
            | Self::Interrupted(Stop::TerminalLost | Stop::Left | Stop::Panic)
            | Self::Resumed { left: None, .. }
            | Self::TimeUp { .. }
            | Self::GuessRoundStarted
            | Self::Filled { .. }
            | Self::Closed(_) => 1,
        }
    }
}

/// An event with both clocks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stamped {
    /// Milliseconds since the start, on the clock that nobody can set.
    pub at: Elapsed,
    /// Wall time.
    pub utc: DateTime<Utc>,
    /// What happened.
    pub event: Event,
}

/// An absence from a sitting.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Away {
    /// How long it was.
    pub span: Elapsed,
    /// Whether it counts as time used.
    pub counts: bool,
    /// Whether time was up before it began, so that there was none to use.
    pub after_time: bool,
    /// How far its length can be trusted.
    pub clock: AwayClock,
}
