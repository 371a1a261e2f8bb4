//! What the start page is given, and what it gives back.

use std::path::PathBuf;

use chrono::{DateTime, FixedOffset, NaiveDate};

use crate::analysis::Totals;
use crate::domain::header::{Alias, Arrangements, PacePlan};
use crate::domain::paper::Paper;
use crate::domain::register::Register;
use crate::domain::step::Step;
use crate::domain::time::Elapsed;
use crate::season::familiarity::Questions;
use crate::words::start::{self as words, GoesOn};

/// Everything there is to choose from.
#[derive(Clone, Debug)]
pub struct Offer {
    /// The pupils known so far.
    pub pupils: Vec<Alias>,
    /// The papers found, readable or not.
    pub papers: Vec<PaperOffer>,
    /// Sittings kept so far, the latest first; on a shared machine the open ones only.
    pub past: Vec<PastSitting>,
    /// Those who have sat before, or tried the keys.
    pub met: Vec<Alias>,
    /// Those who may practise and have questions due today, with how many.
    pub practice: Vec<(Alias, usize)>,
    /// The tutor's register, where there is one.
    pub register: Option<Register>,
    /// The pace plan of the sitting that begins, where there is one.
    pub plan: Option<PacePlan>,
    /// The open steps of those to whom the register has theirs read out.
    pub steps: Vec<(Alias, Step)>,
    /// The day.
    pub today: NaiveDate,
    /// Where sittings are kept, as text.
    pub sessions: String,
    /// Where there is no paper, and sample papers can be written: what is said of them.
    pub samples: Option<String>,
    /// What could not be read, with the reason.
    pub notices: Vec<String>,
}

impl Offer {
    /// Whether a pupil has sat before, or tried the keys.
    pub fn has_met(&self, pupil: &Alias) -> bool {
        self.met.iter().any(|own| own.is_same(pupil))
    }

    /// The step that is read out to a pupil before a sitting.
    pub fn step_of(&self, pupil: &str) -> Option<&Step> {
        let mut own = self.steps.iter();
        own.find(|(alias, _)| alias.as_str().to_lowercase() == pupil.to_lowercase())
            .map(|(_, step)| step)
    }

    /// How many questions a pupil can practise today.
    pub fn due(&self, pupil: &Alias) -> Option<usize> {
        let mut due = self.practice.iter();
        due.find_map(|(own, count)| own.is_same(pupil).then_some(*count))
    }

    /// The pupils that are listed: on a shared machine those of the register alone, since a row tells
    /// that somebody has sat.
    pub fn listed_pupils(&self) -> Vec<Alias> {
        let register = self.register.as_ref();
        let listed = register.iter().flat_map(|register| &register.pupils);
        let mut pupils: Vec<Alias> = listed.map(|pupil| pupil.alias.clone()).collect();
        if !register.is_some_and(|register| register.shared_machine) {
            let sat = self.past.iter().map(|sitting| &sitting.pupil);
            for alias in self.pupils.iter().chain(sat) {
                if !pupils.iter().any(|own| own.is_same(alias)) {
                    pupils.push(alias.clone());
                }
            }
        }
        pupils.sort();
        pupils
    }
}

/// A paper file.
#[derive(Clone, Debug)]
pub struct PaperOffer {
    /// The paper, or why it cannot be read.
    pub paper: Result<Paper, String>,
    /// The file.
    pub path: PathBuf,
    /// Whether its key lies beside it.
    pub has_key: bool,
}

/// A sitting kept in a file.
#[derive(Clone, Debug)]
pub struct PastSitting {
    /// Whose it is.
    pub pupil: Alias,
    /// The day it was begun.
    pub date: NaiveDate,
    /// The paper's title.
    pub paper: String,
    /// The questions that it asked.
    pub questions: Questions,
    /// Whether it is over, and what came of it.
    pub state: PastState,
    /// The file.
    pub path: PathBuf,
    /// Whether nobody sat it: made to show what a season looks like.
    pub invented: bool,
}

/// Where a kept sitting stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PastState {
    /// It can be taken up again.
    Open {
        /// The time left.
        left: Elapsed,
        /// Whether a rest break is on.
        on_break: bool,
        /// How many questions have an answer.
        answers: usize,
        /// How long ago, on the wall clock, it was last known to be going on.
        away: Elapsed,
        /// Up to when its file can be read, where it is damaged behind that.
        sound_until: Option<DateTime<FixedOffset>>,
    },
    /// It is over.
    Over {
        /// Whether it was given up.
        given_up: bool,
        /// How many questions had no answer in time.
        blanks_in_time: usize,
        /// The marks, where the key is at hand.
        marks: Option<Totals>,
    },
}

impl PastSitting {
    /// How it goes on where it is open.
    pub(super) const fn goes_on(&self) -> GoesOn {
        match self.state {
            PastState::Open {
                left: Elapsed::ZERO,
                ..
            } => GoesOn::GuessRound,
            PastState::Open { on_break: true, .. } => GoesOn::Break,
            PastState::Open { .. } | PastState::Over { .. } => GoesOn::Clock,
        }
    }

    /// What is said of an open sitting: `Saltmarsh A, 31 minutes left, 12 answers`.
    pub fn open_in_words(&self) -> Option<String> {
        match self.state {
            PastState::Open {
                left,
                answers,
                away,
                sound_until,
                ..
            } => {
                let answers = words::answers_kept(answers, sound_until);
                let (paper, invented) = (&self.paper, self.invented);
                Some(words::open_sitting(paper, invented, left, &answers, away))
            }
            PastState::Over { .. } => None,
        }
    }

    /// What is said before a sitting is gone on with whose file is damaged.
    pub fn damage_in_words(&self) -> Option<String> {
        match self.state {
            PastState::Open {
                sound_until: Some(until),
                ..
            } => Some(words::damaged_after(until)),
            PastState::Open { .. } | PastState::Over { .. } => None,
        }
    }

    /// What came of a sitting, in words.
    pub fn result_in_words(&self) -> String {
        match &self.state {
            PastState::Open { .. } => words::still_open(self.invented),
            PastState::Over {
                blanks_in_time,
                marks,
                given_up,
            } => words::result(self.invented, *given_up, *blanks_in_time, marks.as_ref()),
        }
    }
}

/// What was chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Choice {
    /// A new sitting; the clock starts now.
    Sit(Box<Seating>),
    /// An open sitting is taken up again.
    GoOn {
        /// Its file.
        path: PathBuf,
    },
    /// The result of a sitting that is over is looked at again.
    Look {
        /// Its file.
        path: PathBuf,
    },
    /// A new pupil learns the keys first.
    Learn {
        /// Who.
        pupil: Alias,
    },
    /// A new pupil goes on without learning the keys.
    SkipKeys {
        /// Who.
        pupil: Alias,
    },
    /// The sample papers are written, and the pupil goes on to them.
    WriteSamples {
        /// Who.
        pupil: Alias,
    },
    /// Missed questions are tried again.
    Practise {
        /// Whose.
        pupil: Alias,
    },
    /// Nothing; the program ends.
    Quit,
}

/// A new sitting as it was chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Seating {
    /// Who sits.
    pub pupil: Alias,
    /// The paper's file.
    pub paper: PathBuf,
    /// The time before extra time, where it is not the paper's own.
    pub minutes: Option<Elapsed>,
    /// The arrangements; which questions are sat is among them.
    pub arrangements: Arrangements,
    /// Whether the pupil sees the marks at the end, from the key at hand.
    pub marks_at_end: bool,
}
