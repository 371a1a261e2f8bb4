//! The first line of a session file of format 1, read and written as it was.
//!
//! Its questions are one range, its plan has checkpoints only, and it knows nothing of single
//! questions' fingerprints or of what a sheet replaces.

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use crate::domain::character::read_on_one_line;
use crate::domain::header::{Alias, Arrangements, Boot, Checkpoint, Header, Mode, PacePlan};
use crate::domain::mark::Mark;
use crate::domain::paper::Outline;
use crate::domain::questions::QuestionList;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;

/// The first record.
#[derive(Serialize, Deserialize)]
pub(super) struct FirstHeader {
    format: u32,
    #[serde(deserialize_with = "read_on_one_line")]
    sitting: String,
    pupil: Alias,
    #[serde(default)]
    mode: Mode,
    paper: Outline,
    standard: Elapsed,
    allowed: Elapsed,
    arrangements: FirstArrangements,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    plan: Option<FirstPlan>,
    #[serde(deserialize_with = "read_on_one_line")]
    program: String,
    #[serde(default, skip_serializing_if = "is_false")]
    invented: bool,
    started: DateTime<FixedOffset>,
    boot: Boot,
}

#[derive(Serialize, Deserialize)]
struct FirstArrangements {
    #[serde(default)]
    extra_percent: Mark,
    #[serde(default)]
    rest_breaks: bool,
    #[serde(default = "yes")]
    sleep_counts: bool,
    #[serde(default)]
    away_counts: bool,
    remind_before: Elapsed,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    only: Option<(QuestionNo, QuestionNo)>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct FirstPlan {
    checkpoints: Vec<Checkpoint>,
}

const fn yes() -> bool {
    true
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands it so")]
const fn is_false(flag: &bool) -> bool {
    !*flag
}

impl FirstHeader {
    /// The header as format 1 has it; nothing where it says what that format cannot.
    pub(super) fn of(header: &Header) -> Option<Self> {
        let arranged = &header.arrangements;
        let only = match &arranged.only {
            Some(list) => Some(list.as_range()?),
            None => None,
        };
        let more = |plan: &PacePlan| plan.leave.is_some() || plan.stay.is_some();
        let newer = header.replaces.is_some()
            || !header.question_fingerprints.is_empty()
            || header.plan.as_ref().is_some_and(more);
        (!newer).then(|| Self {
            format: header.format,
            sitting: header.sitting.clone(),
            pupil: header.pupil.clone(),
            mode: header.mode,
            paper: header.paper.clone(),
            standard: header.standard,
            allowed: header.allowed,
            arrangements: FirstArrangements {
                extra_percent: arranged.extra_percent,
                rest_breaks: arranged.rest_breaks,
                sleep_counts: arranged.sleep_counts,
                away_counts: arranged.away_counts,
                remind_before: arranged.remind_before,
                only,
            },
            plan: header.plan.clone().map(|plan| FirstPlan {
                checkpoints: plan.checkpoints,
            }),
            program: header.program.clone(),
            invented: header.invented,
            started: header.started,
            boot: header.boot.clone(),
        })
    }

    /// The header as the program has it; the reason where its range is none.
    pub(super) fn header(self) -> Result<Header, String> {
        let only = match self.arrangements.only {
            Some((first, last)) => Some(
                QuestionList::range(first, last)
                    .ok_or_else(|| format!("no questions from {first} to {last}"))?,
            ),
            None => None,
        };
        Ok(Header {
            format: self.format,
            sitting: self.sitting,
            pupil: self.pupil,
            mode: self.mode,
            replaces: None,
            paper: self.paper,
            question_fingerprints: std::collections::BTreeMap::new(),
            standard: self.standard,
            allowed: self.allowed,
            arrangements: Arrangements {
                extra_percent: self.arrangements.extra_percent,
                rest_breaks: self.arrangements.rest_breaks,
                sleep_counts: self.arrangements.sleep_counts,
                away_counts: self.arrangements.away_counts,
                remind_before: self.arrangements.remind_before,
                only,
            },
            plan: self.plan.map(|plan| PacePlan {
                checkpoints: plan.checkpoints,
                leave: None,
                stay: None,
            }),
            program: self.program,
            invented: self.invented,
            started: self.started,
            boot: self.boot,
        })
    }
}
