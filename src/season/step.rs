//! What became of the steps that a pupil and the tutor agreed on: nothing keeps it, each is judged anew from the logs.
//!
//! A step is judged by the pupil's next sitting that counts, was begun after the talk, and asked the whole paper. Where
//! that one's log cannot tell, the step stays open for the one after it, until a step is agreed about a later sitting:
//! then that one stands, and the earlier was never judged.

use chrono::{DateTime, FixedOffset};

use crate::analysis::step::{StepFacts, StepJudgement, WhyUnknown, judge};
use crate::analysis::{Basis, Studied};
use crate::domain::standing::Use;
use crate::domain::step::{AgreedStep, Step};

/// A sitting, as a step speaks of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SittingOfStep {
    /// Its id.
    pub sitting: String,
    /// When it was begun.
    pub started: DateTime<FixedOffset>,
    /// The title of its paper.
    pub paper: String,
}

impl SittingOfStep {
    fn of(studied: &Studied) -> Self {
        let header = studied.header();
        Self {
            sitting: header.sitting.clone(),
            started: header.started,
            paper: header.paper.title.clone(),
        }
    }
}

/// What became of a step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StepState {
    /// Nothing has judged it yet; the newest sitting since that could not, and why.
    Open(Option<(SittingOfStep, WhyUnknown)>),
    /// It was kept.
    Done(SittingOfStep, StepFacts),
    /// It was not.
    NotDone(SittingOfStep, StepFacts),
    /// It is past without having been judged: for that reason, or since it is in words of their own.
    NotJudged(SittingOfStep, Option<WhyUnknown>),
    /// It was withdrawn.
    Withdrawn,
}

impl StepState {
    /// Its name in JSON.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Open(_) => "open",
            Self::Done(..) => "done",
            Self::NotDone(..) => "not_done",
            Self::NotJudged(..) => "not_judged",
            Self::Withdrawn => "withdrawn",
        }
    }

    /// The sitting after which it is no longer open, where there was one.
    pub const fn sitting(&self) -> Option<&SittingOfStep> {
        match self {
            Self::Done(by, _) | Self::NotDone(by, _) | Self::NotJudged(by, _) => Some(by),
            Self::Open(_) | Self::Withdrawn => None,
        }
    }

    /// Whether the pupil is to keep it in the next sitting.
    pub const fn is_open(&self) -> bool {
        matches!(self, Self::Open(_))
    }
}

/// A step that was agreed about a sitting, and what became of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FollowedStep {
    /// The sitting that was talked about.
    pub about: SittingOfStep,
    /// The last word on it.
    pub agreed: AgreedStep,
    /// What became of it.
    pub state: StepState,
}

/// The steps agreed about one pupil's sittings, the earliest sitting first; each sitting has one at the most, the last
/// that was agreed. The sittings come with the notes beside them.
pub fn steps<'a>(sittings: impl IntoIterator<Item = &'a Studied>) -> Vec<FollowedStep> {
    let mut all: Vec<&Studied> = sittings.into_iter().collect();
    all.sort_by_key(|own| (own.header().started, own.header().sitting.clone()));
    let followed = |(place, about): (usize, &&Studied)| {
        let agreed = about.notes.as_ref()?.agreed()?.clone();
        let later = all.get(place + 1..).unwrap_or_default();
        Some(FollowedStep {
            about: SittingOfStep::of(about),
            state: state(about, &agreed, later),
            agreed,
        })
    };
    all.iter().enumerate().filter_map(followed).collect()
}

/// The step that the pupil is to keep in the next sitting: the one agreed about the latest sitting that has one, while
/// nothing has judged it.
pub fn open_step(steps: &[FollowedStep]) -> Option<&Step> {
    let standing = steps.iter().rfind(|own| own.agreed.step.is_some())?;
    let step = standing.agreed.step.as_ref();
    step.filter(|_| standing.state.is_open())
}

/// The step that a sitting judged, where it judged one.
pub fn judged_by<'a>(steps: &'a [FollowedStep], sitting: &str) -> Option<&'a FollowedStep> {
    let mut own = steps.iter().rev();
    own.find(|own| own.state.sitting().is_some_and(|by| by.sitting == sitting))
}

fn state(about: &Studied, agreed: &AgreedStep, later: &[&Studied]) -> StepState {
    let Some(step) = &agreed.step else {
        return StepState::Withdrawn;
    };
    let mut open = None;
    for next in later {
        let header = next.header();
        let counts = next.analysis.standing().bars(Use::Sheet).is_none();
        let same_kind = header.invented == about.header().invented;
        if !counts || !same_kind || header.started <= agreed.at {
            continue;
        }
        let by = SittingOfStep::of(next);
        let basis = Basis {
            analysis: &next.analysis,
            keyed: next.keyed.as_ref(),
            norms: None,
        };
        let why = match step {
            Step::OwnWords(_) => return StepState::NotJudged(by, None),
            Step::Listed(step) => match judge(&basis, *step) {
                StepJudgement::Done(facts) => return StepState::Done(by, facts),
                StepJudgement::NotDone(facts) => return StepState::NotDone(by, facts),
                StepJudgement::Unknown(why) => why,
            },
        };
        // From here on another step stands.
        if next
            .notes
            .as_ref()
            .is_some_and(|notes| notes.step().is_some())
        {
            return StepState::NotJudged(by, Some(why));
        }
        open = Some((by, why));
    }
    StepState::Open(open)
}
