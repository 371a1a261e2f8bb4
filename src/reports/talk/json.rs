//! The sheet as JSON: field names are promises.
//!
//! `log` names the lines of the session file that a finding rests on, `line` from 1, `seconds` since the start. `lost` is
//! null where nobody can say which marks were lost. `step` is what was agreed about this sitting, and `judged` the step
//! that this sitting judged, as [`crate::reports::json::step`] has them; null where there is none.

use serde::Serialize;

use super::{LogLine, TalkSheet};
use crate::analysis::findings::FindingKind;
use crate::domain::labels::Label;
use crate::domain::notes::Cause;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::reports::json::step::StepOut;
use crate::reports::json::{Exact, written};

#[derive(Serialize)]
struct SheetOut<'a> {
    sitting: &'a str,
    pupil: &'a str,
    paper: &'a str,
    findings: Vec<TalkFinding<'a>>,
    lost: Option<Vec<LostOut>>,
    step: Option<StepOut<'a>>,
    judged: Option<StepOut<'a>>,
}

#[derive(Serialize)]
struct TalkFinding<'a> {
    kind: FindingKind,
    questions: Vec<QuestionNo>,
    text: &'a str,
    log: Vec<LineOut<'a>>,
}

#[derive(Serialize)]
struct LineOut<'a> {
    line: usize,
    seconds: f64,
    event: &'a str,
}

impl<'a> LineOut<'a> {
    fn of(own: &'a LogLine) -> Self {
        Self {
            line: own.line,
            seconds: own.at.as_seconds(),
            event: &own.event,
        }
    }
}

#[derive(Serialize)]
struct LostOut {
    number: QuestionNo,
    given: Option<Label>,
    outcome: &'static str,
    marks: Exact,
    seconds: Option<f64>,
    visits: Option<usize>,
    cause: Option<&'static str>,
}

/// The sheet as one object.
///
/// # Errors
/// What `serde_json` cannot write; here there is nothing of the kind.
pub fn json(sheet: &TalkSheet) -> serde_json::Result<String> {
    let findings = sheet.findings.iter().map(|own| TalkFinding {
        kind: FindingKind::from(&own.finding.seen),
        questions: own.finding.questions(),
        text: &own.numbers,
        log: own.log.iter().map(LineOut::of).collect(),
    });
    let lost = sheet.lost.as_ref().ok().map(|all| {
        let lost = all.iter().map(|own| LostOut {
            number: own.question,
            given: own.given,
            outcome: own.outcome.word(),
            marks: Exact(own.marks),
            seconds: own.time.map(Elapsed::as_seconds),
            visits: own.visits,
            cause: own.cause.map(Cause::word),
        });
        lost.collect()
    });
    written(&SheetOut {
        sitting: &sheet.header.sitting,
        pupil: sheet.header.pupil.as_str(),
        paper: &sheet.header.paper.id,
        findings: findings.collect(),
        lost,
        step: sheet.own.as_ref().map(StepOut::of),
        judged: sheet.before.as_ref().map(StepOut::of),
    })
}
