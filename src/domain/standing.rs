//! What a sitting can stand for, and why it does not count where it does not.

use super::event::Ending;
use super::header::{Header, Mode};
use super::paper::Paper;
use super::sitting::{Phase, Sitting};

/// How far a sitting got, and how much of its paper it was.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Standing {
    /// How it ended; nothing while it is open.
    pub ending: Option<Ending>,
    /// Whether every question of the paper was asked.
    pub whole: bool,
    /// Whether the sheet was done on paper and typed in.
    pub typed_in: bool,
    /// Why it counts for nothing whatever its log says, where somebody has decided so.
    pub withdrawn: Option<Exclusion>,
}

/// What a sitting is to count for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Use {
    /// A sheet among those of a group on its paper.
    Sheet,
    /// What is known of its pupil: blanks mean something, since nobody goes on with it.
    Evidence,
}

/// Why a sitting does not count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Exclusion {
    /// The tutor has set it aside.
    SetAside,
    /// There are two files of it that say different things, and the tutor has not set one aside.
    Disputed,
    /// It is of another paper.
    OtherPaper,
    /// It is of another version of the paper's questions.
    OtherVersion,
    /// It was sat under another marking rule.
    OtherRule,
    /// No key for it is at hand.
    NoKey,
    /// It has not ended.
    Open,
    /// It was given up.
    GivenUp,
    /// It is of a part of the paper.
    Part,
    /// It was given less than the paper's own time, and others were given it.
    ShortTime,
    /// Its pupil has an earlier one that counts.
    Later,
    /// Nobody sat it, and others were sat.
    Invented,
    /// A later answer sheet of its pupil takes its place.
    Replaced,
}

impl Exclusion {
    /// Its name in files and in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::SetAside => "set_aside",
            Self::Disputed => "disputed",
            Self::OtherPaper => "other_paper",
            Self::OtherVersion => "other_version",
            Self::OtherRule => "other_rule",
            Self::NoKey => "no_key",
            Self::Open => "open",
            Self::GivenUp => "given_up",
            Self::Part => "part",
            Self::ShortTime => "short_time",
            Self::Later => "later",
            Self::Invented => "invented",
            Self::Replaced => "replaced",
        }
    }
}

impl Standing {
    /// What a sitting's log and header tell.
    pub fn of(sitting: &Sitting) -> Self {
        let header = sitting.header();
        Self {
            ending: match sitting.phase() {
                Phase::Closed(ending) => Some(ending),
                Phase::Running | Phase::OnBreak | Phase::TimeUp | Phase::GuessRound => None,
            },
            whole: is_whole(header),
            typed_in: header.mode == Mode::Entered,
            withdrawn: None,
        }
    }

    /// The same, withdrawn for that reason where there is one.
    #[must_use]
    pub const fn withdrawn(self, reason: Option<Exclusion>) -> Self {
        Self {
            withdrawn: reason,
            ..self
        }
    }

    /// Why the sitting does not count for a use; nothing where it does.
    pub fn bars(&self, wanted: Use) -> Option<Exclusion> {
        if self.withdrawn.is_some() {
            return self.withdrawn;
        }
        match (self.ending, wanted) {
            (None, _) => Some(Exclusion::Open),
            (Some(Ending::Abandoned), _) => Some(Exclusion::GivenUp),
            (Some(_), Use::Sheet) if !self.whole => Some(Exclusion::Part),
            (Some(_), Use::Sheet | Use::Evidence) => None,
        }
    }
}

/// Whether every question of the paper was asked.
pub fn is_whole(header: &Header) -> bool {
    header.paper.numbers().all(|number| header.asks(number))
}

/// Whether a sitting under the clock was given less than its paper's own time.
pub fn is_short(header: &Header, paper: &Paper) -> bool {
    header.mode == Mode::Timed && header.standard < paper.allowed
}
