//! An agreed step in every `--json`: `{about, agreed_on, by, kind, text, state, judged_by, why_unknown, said}`.
//!
//! `about` is the sitting that was talked about, `kind` the words of `--step` or null, `text` words of their own or
//! null, `state` one of `open`, `done`, `not_done`, `not_judged` and `withdrawn`; `judged_by` is the sitting after which
//! it was no longer open, and `why_unknown` why a log cannot tell.

use serde::Serialize;

use crate::domain::step::Step;
use crate::season::step::{FollowedStep, StepState};
use crate::words::step::agreed;

/// A step that was agreed, and what became of it.
#[derive(Serialize)]
pub(in crate::reports) struct StepOut<'a> {
    about: &'a str,
    agreed_on: String,
    by: &'a str,
    kind: Option<String>,
    text: Option<&'a str>,
    state: &'static str,
    judged_by: Option<&'a str>,
    why_unknown: Option<&'static str>,
    said: String,
}

impl<'a> StepOut<'a> {
    /// The step as it is told.
    pub(in crate::reports) fn of(followed: &'a FollowedStep) -> Self {
        let (kind, text) = match &followed.agreed.step {
            Some(Step::Listed(step)) => (Some(step.to_string()), None),
            Some(Step::OwnWords(text)) => (None, Some(text.as_str())),
            None => (None, None),
        };
        let why = match &followed.state {
            StepState::Open(Some((_, why))) | StepState::NotJudged(_, Some(why)) => {
                Some(why.word())
            }
            _ => None,
        };
        Self {
            about: &followed.about.sitting,
            agreed_on: followed.agreed.at.to_rfc3339(),
            by: &followed.agreed.by,
            kind,
            text,
            state: followed.state.word(),
            judged_by: followed.state.sitting().map(|by| by.sitting.as_str()),
            why_unknown: why,
            said: agreed(followed),
        }
    }
}
