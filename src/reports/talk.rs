//! The sheet for a talk about one sitting: as a page to print, as text, as JSON.

mod json;
mod page;
mod text;

use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use crate::analysis::findings::{Finding, Tone, findings, rests_on, said_before, told_up_to};
use crate::analysis::{Basis, Studied};
use crate::domain::header::{Header, INVENTED};
use crate::domain::labels::Label;
use crate::domain::mark::Mark;
use crate::domain::marking::{Outcome, QuestionMark};
use crate::domain::notes::Cause;
use crate::domain::rule::QuestionNo;
use crate::domain::step::Step;
use crate::domain::time::Elapsed;
use crate::season::step::{FollowedStep, StepState, judged_by};
use crate::words::findings::{for_pupil, for_tutor, trust};
use crate::words::log::event;
use crate::words::notices::{last_of_all, not_ended};
use crate::words::standing::counts_nowhere;
use crate::words::talk as words;

pub use json::json;
pub use page::page;
pub use text::text;

/// So many findings are what ten minutes hold (common practice, no source).
const FINDINGS: usize = 3;
/// One of them is praise, where some is earned.
const PRAISE: usize = 1;
/// So many lines of the log are named below a finding.
const LINES: usize = 6;

/// A line of the session file.
#[derive(Clone, Debug, PartialEq, Eq)]
struct LogLine {
    /// Its number in the file, from 1.
    line: usize,
    /// The moment of its event.
    at: Elapsed,
    /// What happened.
    event: String,
}

/// A finding with the lines that it rests on.
#[derive(Clone, Debug)]
struct FindingOnSheet {
    finding: Finding,
    /// What the pupil reads, where there is something to try or to enjoy.
    words: Option<String>,
    /// What the tutor reads, with its numbers.
    numbers: String,
    log: Vec<LogLine>,
}

impl FindingOnSheet {
    fn words(&self) -> &str {
        self.words.as_ref().unwrap_or(&self.numbers)
    }
}

/// A question on which a mark was lost.
#[derive(Clone, Debug, PartialEq)]
struct LostMark {
    question: QuestionNo,
    given: Option<Label>,
    outcome: Outcome,
    marks: Mark,
    time: Option<Elapsed>,
    visits: Option<usize>,
    cause: Option<Cause>,
}

/// Everything on the sheet.
#[derive(Clone, Debug)]
pub struct TalkSheet {
    header: Header,
    file: PathBuf,
    notices: Vec<String>,
    findings: Vec<FindingOnSheet>,
    /// The lost marks, or why nobody can say which they are.
    lost: Result<Vec<LostMark>, &'static str>,
    /// What this sitting judged.
    before: Option<FollowedStep>,
    /// What was agreed about this sitting.
    own: Option<FollowedStep>,
    remember: Vec<String>,
}

impl TalkSheet {
    /// What the sheet says of a sitting, with the notes beside it; `steps` are those of its pupil.
    pub fn of(studied: &Studied, file: &Path, steps: &[FollowedStep], today: NaiveDate) -> Self {
        let analysis = &studied.analysis;
        let header = analysis.header();
        let withdrawn = analysis.standing().withdrawn;
        let invented = header.invented.then(|| INVENTED.to_owned());
        let notices = invented.into_iter();
        let notices = notices
            .chain(withdrawn.map(counts_nowhere))
            .chain(not_ended(analysis.ending()).map(str::to_owned))
            .chain(trust(analysis.trust()));
        let own = steps.iter().find(|own| own.about.sitting == header.sitting);
        Self {
            notices: notices.collect(),
            findings: three(studied),
            lost: lost(studied),
            before: judged_by(steps, &header.sitting).cloned(),
            own: own.cloned(),
            remember: last_of_all(&header.paper, today),
            file: file.to_owned(),
            header: header.clone(),
        }
    }

    /// The step that stands, with what became of it.
    fn standing(&self) -> Option<(&Step, &StepState)> {
        let own = self.own.as_ref()?;
        Some((own.agreed.step.as_ref()?, &own.state))
    }
}

/// The lines that are named below a finding, and how many more there are.
fn named(log: &[LogLine]) -> (Vec<String>, Option<String>) {
    let lines = log.iter().take(LINES);
    let lines = lines.map(|own| words::log_line(own.line, own.at, &own.event));
    let more = log.len().saturating_sub(LINES);
    let mut lines: Vec<_> = lines.collect();
    if lines.is_empty() {
        lines.push(words::NO_LINES.to_owned());
    }
    (lines, (more > 0).then(|| words::more_lines(more)))
}

/// What went well first, then what to try next time.
fn three(studied: &Studied) -> Vec<FindingOnSheet> {
    let analysis = &studied.analysis;
    let all = findings(&Basis {
        analysis,
        keyed: studied.keyed.as_ref(),
        norms: None,
    });
    let new = all.iter().filter(|own| !said_before(own, &all));
    let new: Vec<_> = new.cloned().collect();
    let mut told = told_up_to(&new, FINDINGS, PRAISE);
    told.sort_by_key(|finding| finding.tone() != Tone::Praise);
    let line = |place: usize| {
        let stamped = analysis.log().get(place)?;
        Some(LogLine {
            // Line 1 is the header.
            line: place + 2,
            at: stamped.at,
            event: event(&stamped.event),
        })
    };
    let sheet = |finding: Finding| FindingOnSheet {
        numbers: for_tutor(&finding, analysis.limits()),
        words: for_pupil(&finding),
        log: rests_on(&finding, analysis)
            .into_iter()
            .filter_map(line)
            .collect(),
        finding,
    };
    told.into_iter().map(sheet).collect()
}

/// The questions wrong or blank in time, in the paper's order.
fn lost(studied: &Studied) -> Result<Vec<LostMark>, &'static str> {
    let analysis = &studied.analysis;
    let Some(keyed) = &studied.keyed else {
        return Err(words::NO_KEY);
    };
    if !analysis.came_to_its_end() {
        return Err(words::GIVEN_UP);
    }
    let rule = &analysis.header().paper.rule;
    let one = |own: &QuestionMark| {
        let number = own.answer.number;
        let marks = rule.section(number)?.right - own.marks;
        let missed = matches!(own.outcome, Outcome::Wrong | Outcome::Blank);
        let pace = analysis.question(number);
        missed.then(|| LostMark {
            question: number,
            given: own.answer.given,
            outcome: own.outcome,
            marks,
            time: analysis.time_on(number),
            visits: pace.filter(|_| analysis.is_timed()).map(|pace| pace.visits),
            cause: studied.notes.as_ref().and_then(|notes| notes.cause(number)),
        })
    };
    Ok(keyed
        .marks
        .in_time
        .questions
        .iter()
        .filter_map(one)
        .collect())
}
