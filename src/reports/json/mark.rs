//! Marks as JSON: field names are promises.
//!
//! One sitting is one object, several are a list. Under another rule the same fields hold the marks
//! (sections, questions, awards, luck) under that rule; two fields more, `under` and `own_rule`,
//! then say whose rule it is and what the sitting's own rule gives. A sitting of a part of the
//! paper has no awards (`[]`): boundaries belong to the whole paper. `counts` says whether it counts in its pupil's
//! figures, `why_not` why it does not, by the name of the exclusion.
//!
//! Findings stand worst first and always under the sitting's own rule. `seconds` is the time that a finding
//! speaks of and `marks` what it brought, below zero where they were lost; both are null where it speaks of
//! none, and `marks` where they can only be estimated. `threshold` is the limit it was held against first, by
//! its name in the tutor's file.

use std::sync::Arc;

use serde::Serialize;

use super::{Exact, written};
use crate::analysis::findings::{Finding, FindingKind, findings};
use crate::analysis::{AwardMark, Basis, Keyed, Marks};
use crate::domain::event::How;
use crate::domain::labels::Label;
use crate::domain::marking::{QuestionMark, SectionMark};
use crate::domain::rule::QuestionNo;
use crate::domain::standing::Exclusion;
use crate::domain::time::Elapsed;
use crate::reports::{MarkedUnder, Report};
use crate::words::findings::for_tutor;

#[derive(Serialize)]
struct MarkedOut<'a> {
    sitting: &'a str,
    pupil: &'a str,
    paper: &'a str,
    mark: ThreeMarks,
    sections: Vec<SectionOut<'a>>,
    questions: Vec<QuestionOut>,
    awards: Vec<AwardOut<'a>>,
    luck: GuessLuck,
    findings: Vec<FindingOut>,
    #[serde(flatten)]
    counting: CountingOut<'a>,
}

/// Whether it counts, and its marks under another rule.
#[derive(Serialize)]
struct CountingOut<'a> {
    counts: bool,
    why_not: Option<&'static str>,
    set_aside: Option<SetAsideOut<'a>>,
    disputed: bool,
    #[serde(flatten)]
    other_rule: Option<OtherRule<'a>>,
}

/// In time, with the guess round, worked out, and the most there could be.
#[derive(Serialize)]
pub(in crate::reports) struct ThreeMarks {
    in_time: Exact,
    with_guess_round: Exact,
    worked: Exact,
    max: Exact,
}

#[derive(Serialize)]
struct SectionOut<'a> {
    name: &'a str,
    right: usize,
    wrong: usize,
    blank: usize,
    void: usize,
    marks: Exact,
    max: Exact,
}

#[derive(Serialize)]
struct QuestionOut {
    number: QuestionNo,
    given: Option<Label>,
    outcome: &'static str,
    how: Option<How>,
    after_time: bool,
    marks: Exact,
    seconds: Option<f64>,
    visits: Option<usize>,
    changes: Option<usize>,
}

#[derive(Serialize)]
struct AwardOut<'a> {
    name: &'a str,
    boundary: Exact,
    reached_in_time: bool,
    reached_with_guess_round: bool,
    short_by: Exact,
}

#[derive(Serialize)]
struct GuessLuck {
    guesses: usize,
    expected: f64,
    actual: Exact,
    at_least_this: Option<f64>,
}

#[derive(Serialize)]
struct FindingOut {
    kind: FindingKind,
    questions: Vec<QuestionNo>,
    seconds: Option<f64>,
    marks: Option<Exact>,
    threshold: Option<&'static str>,
    text: String,
}

#[derive(Serialize)]
struct SetAsideOut<'a> {
    because: &'a str,
    by: &'a str,
    at: String,
}

/// What is added under another rule.
#[derive(Serialize)]
struct OtherRule<'a> {
    under: UnderOut<'a>,
    own_rule: ThreeMarks,
}

#[derive(Serialize)]
struct UnderOut<'a> {
    paper: &'a str,
    title: &'a str,
}

/// The object of one sitting, the list of several.
///
/// # Errors
/// What `serde_json` cannot write; with these fields there is nothing of the kind.
pub fn json(reports: &[Report]) -> Result<String, serde_json::Error> {
    match reports {
        [report] => written(&sheet(report)),
        several => written(&several.iter().map(sheet).collect::<Vec<_>>()),
    }
}

fn sheet(report: &Report) -> MarkedOut<'_> {
    let header = report.subject.sitting().header();
    let scored = report.under.as_ref().unwrap_or(&report.own);
    let barred = report.subject.barred();
    let marked = &scored.marks.with_guess_round;
    MarkedOut {
        sitting: &header.sitting,
        pupil: header.pupil.as_str(),
        paper: &header.paper.id,
        mark: ThreeMarks::from(&scored.marks),
        sections: marked.sections.iter().map(section).collect(),
        questions: marked
            .questions
            .iter()
            .map(|mark| question(report, mark))
            .collect(),
        awards: scored.marks.awards.iter().map(award).collect(),
        luck: luck(scored),
        findings: found(report),
        counting: CountingOut {
            counts: barred.is_none(),
            why_not: barred.map(Exclusion::word),
            set_aside: set_aside(report),
            disputed: report.subject.disputed,
            other_rule: report.under.as_ref().map(|under| OtherRule {
                under: UnderOut {
                    paper: &under.outline.id,
                    title: &under.outline.title,
                },
                own_rule: ThreeMarks::from(&report.own.marks),
            }),
        },
    }
}

fn set_aside(report: &Report) -> Option<SetAsideOut<'_>> {
    let decision = report.subject.decision.as_ref().filter(|own| !own.counts)?;
    Some(SetAsideOut {
        because: &decision.because,
        by: &decision.by,
        at: decision.at.to_rfc3339(),
    })
}

impl From<&Marks> for ThreeMarks {
    fn from(marks: &Marks) -> Self {
        Self {
            in_time: Exact(marks.in_time.total),
            with_guess_round: Exact(marks.with_guess_round.total),
            worked: Exact(marks.worked.total),
            max: Exact(marks.with_guess_round.max),
        }
    }
}

fn section(section: &SectionMark) -> SectionOut<'_> {
    SectionOut {
        name: &section.name,
        right: section.right,
        wrong: section.wrong,
        blank: section.blank,
        void: section.void,
        marks: Exact(section.marks),
        max: Exact(section.max),
    }
}

fn question(report: &Report, mark: &QuestionMark) -> QuestionOut {
    let analysis = &report.subject.analysis;
    let number = mark.answer.number;
    let timed = analysis.is_timed();
    let visits = || analysis.question(number).map_or(0, |pace| pace.visits);
    QuestionOut {
        number,
        given: mark.answer.given,
        outcome: mark.outcome.word(),
        how: mark.answer.how,
        after_time: mark.answer.after_time,
        marks: Exact(mark.marks),
        seconds: analysis.time_on(number).map(Elapsed::as_seconds),
        visits: timed.then(visits),
        changes: timed.then(|| analysis.changes_of(number)),
    }
}

fn award(award: &AwardMark) -> AwardOut<'_> {
    AwardOut {
        name: &award.name,
        boundary: Exact(award.boundary),
        reached_in_time: award.reached_in_time,
        reached_with_guess_round: award.reached_with_guess_round,
        short_by: Exact(award.short_by()),
    }
}

fn luck(scored: &MarkedUnder) -> GuessLuck {
    let luck = &scored.marks.luck;
    GuessLuck {
        guesses: luck.guesses,
        expected: luck.expected,
        actual: Exact(luck.actual),
        at_least_this: luck.at_least_this,
    }
}

fn found(report: &Report) -> Vec<FindingOut> {
    let analysis = &report.subject.analysis;
    let key = Arc::clone(&report.key);
    let keyed = Keyed::marked(analysis, key, report.own.marks.clone());
    let all = findings(&Basis {
        analysis,
        keyed: Some(&keyed),
        norms: None,
    });
    let told = |finding: &Finding| FindingOut {
        kind: (&finding.seen).into(),
        questions: finding.questions(),
        seconds: finding.time().map(Elapsed::as_seconds),
        marks: finding.marks().map(Exact),
        threshold: finding.limit().map(|limit| limit.about().name),
        text: for_tutor(finding, analysis.limits()),
    };
    all.iter().map(told).collect()
}
