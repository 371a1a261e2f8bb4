//! What is settled before a pupil sits down.

use chrono::{DateTime, FixedOffset};

use crate::domain::header::{
    Alias, Arrangements, Boot, Header, Mode, PacePlan, SESSION_FORMAT, sitting_id, with_extra_time,
};
use crate::domain::paper::Paper;
use crate::domain::time::Elapsed;

/// Who sits which paper, how long, under which arrangements.
#[derive(Clone, Debug)]
pub struct Setup<'a> {
    /// The pupil.
    pub pupil: Alias,
    /// The paper.
    pub paper: &'a Paper,
    /// The time before extra time, where it is not the paper's own.
    pub minutes: Option<Elapsed>,
    /// The arrangements.
    pub arrangements: Arrangements,
    /// The pace plan, where there is one.
    pub plan: Option<PacePlan>,
}

impl Setup<'_> {
    /// The time before extra time.
    pub fn standard(&self) -> Elapsed {
        self.minutes.unwrap_or(self.paper.allowed)
    }

    /// The time allowed, extra time included.
    pub fn allowed(&self) -> Elapsed {
        with_extra_time(self.standard(), self.arrangements.extra_percent)
    }

    /// The first record of the sitting's file.
    pub(super) fn header(&self, started: DateTime<FixedOffset>, boot: Boot) -> Header {
        Header {
            format: SESSION_FORMAT,
            sitting: sitting_id(started, rand::random()),
            pupil: self.pupil.clone(),
            mode: Mode::Timed,
            replaces: None,
            paper: self.paper.outline.clone(),
            question_fingerprints: self.paper.question_fingerprints(),
            standard: self.standard(),
            allowed: self.allowed(),
            arrangements: self.arrangements.clone(),
            plan: self.plan.clone(),
            program: format!("pacebell {}", env!("CARGO_PKG_VERSION")),
            invented: false,
            started,
            boot,
        }
    }
}
