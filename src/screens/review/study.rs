//! One sitting with everything that its pages show, worked out once.

use std::path::PathBuf;
use std::sync::Arc;

use super::listed::Version;
use crate::analysis::findings::{Finding, Seen, Tone, findings, told};
use crate::analysis::stay::planned;
use crate::analysis::{Analysis, Basis, Keyed, Norms, Replay};
use crate::domain::event::{How, Stamped};
use crate::domain::header::Header;
use crate::domain::key::Key;
use crate::domain::labels::Label;
use crate::domain::mark::Mark;
use crate::domain::marking::Outcome;
use crate::domain::notes::Notes;
use crate::domain::paper::Paper;
use crate::domain::rule::QuestionNo;
use crate::domain::thresholds::{Limit, Thresholds};
use crate::domain::time::Elapsed;
use crate::season::step::{FollowedStep, judged_by};
use crate::words::findings::for_tutor;
use crate::words::review::{no_key, not_finished};
use crate::words::sign::{Sign, mark_or_blank, remark};
use crate::words::step::{agreed_and_when, step_before};
use crate::words::text::width as columns_of;
use crate::words::time::moment;

/// A sitting with everything that lies beside it, as read.
#[derive(Clone, Debug)]
pub struct Opened {
    /// The file.
    pub path: PathBuf,
    /// What was settled before the start.
    pub header: Header,
    /// What happened.
    pub events: Vec<Stamped>,
    /// The questions, where the very version that was sat is at hand.
    pub paper: Option<Arc<Paper>>,
    /// The key, or why there is none.
    pub key: Result<Arc<Key>, String>,
    /// The tutor's notes, or what is wrong with their file.
    pub notes: Result<Notes, String>,
    /// The steps agreed about its pupil's sittings.
    pub steps: Vec<FollowedStep>,
    /// The thresholds in force.
    pub limits: Arc<Thresholds>,
    /// What has to be said on every page: damage, a torn end.
    pub remarks: Vec<String>,
    /// Whether the sitting still goes on, so that nothing is marked yet.
    pub is_open: bool,
}

/// A finding in words.
#[derive(Clone, Debug)]
pub(super) struct Told {
    pub(super) tone: Tone,
    pub(super) words: String,
    pub(super) questions: Vec<QuestionNo>,
}

/// One question's part of the sitting.
#[derive(Clone, Debug)]
pub(super) struct QuestionFacts {
    pub(super) number: QuestionNo,
    /// The answer that stands.
    pub(super) given: Option<Label>,
    pub(super) how: Option<How>,
    pub(super) after_time: bool,
    pub(super) outcome: Option<Outcome>,
    /// What it gave, and what a right answer gives.
    pub(super) marks: Option<(Mark, Mark)>,
    /// The time on it, where that can be trusted.
    pub(super) time: Option<Elapsed>,
    pub(super) visits: usize,
    pub(super) changes: usize,
    pub(super) flagged: bool,
    /// The pace plan's time, or an even share.
    pub(super) plan: Elapsed,
    /// The group's median time, and how many of how many marked sheets have it right.
    pub(super) median: Option<Elapsed>,
    pub(super) right_in_group: Option<(usize, usize)>,
    /// The marks that the time over the plan would have been worth elsewhere.
    pub(super) sunk: Option<f64>,
}

impl QuestionFacts {
    /// The sign of what became of it; an unmarked blank is one all the same.
    pub(super) fn sign(&self) -> &'static str {
        let unmarked = self.given.is_none().then_some(Sign::Blank);
        mark_or_blank(self.outcome.map_or(unmarked, Sign::of_outcome))
    }

    /// The letter that stands, or as much room.
    pub(super) fn letter(&self) -> String {
        self.given
            .map_or_else(|| " ".to_owned(), |given| given.to_string())
    }

    /// The word that its mark needs: void, or late.
    pub(super) fn remark(&self) -> &'static str {
        remark(self.outcome, self.after_time)
    }

    /// The marks that a right answer would have brought more.
    pub(super) fn lost(&self) -> Option<Mark> {
        let (given, right) = self.marks?;
        let missed = matches!(self.outcome, Some(Outcome::Wrong | Outcome::Blank));
        missed.then(|| right - given)
    }
}

/// A sitting worked out.
#[derive(Clone, Debug)]
pub(super) struct Study {
    pub(super) opened: Opened,
    pub(super) version: Version,
    pub(super) replay: Replay,
    pub(super) analysis: Analysis,
    pub(super) known: Option<Keyed>,
    pub(super) group: Option<Arc<Norms>>,
    /// Every finding, and as many of them as one talk holds.
    pub(super) all: Vec<Told>,
    pub(super) told: Vec<Told>,
    pub(super) facts: Vec<QuestionFacts>,
}

impl Study {
    /// Works a sitting out.
    pub(super) fn new(opened: Opened, group: Option<Arc<Norms>>) -> Self {
        let header = Arc::new(opened.header.clone());
        let log = opened.events.as_slice().into();
        let analysis = Analysis::of(header, log, Arc::clone(&opened.limits));
        let key = opened.key.as_ref().ok().filter(|_| !opened.is_open);
        let known = key.and_then(|key| Keyed::of(&analysis, Arc::clone(key)).ok());
        let mut study = Self {
            version: Version::of(&opened.header),
            replay: analysis.replay(),
            analysis,
            known,
            group: None,
            all: Vec::new(),
            told: Vec::new(),
            facts: Vec::new(),
            opened,
        };
        study.hold_against(group);
        study
    }

    /// Holds the sitting against its group, or against none.
    pub(super) fn hold_against(&mut self, group: Option<Arc<Norms>>) {
        let least = self.opened.limits.count(Limit::GroupLeast);
        self.group = group.filter(|group| group.people >= least);
        let (all, few) = self.findings();
        self.facts = self.question_facts(&all);
        self.all = self.in_words(&all);
        self.told = self.in_words(&few);
    }

    fn findings(&self) -> (Vec<Finding>, Vec<Finding>) {
        let all = findings(&Basis {
            analysis: &self.analysis,
            keyed: self.known.as_ref(),
            norms: self.group.as_deref(),
        });
        let few = told(&all, &self.opened.limits);
        (all, few)
    }

    fn in_words(&self, findings: &[Finding]) -> Vec<Told> {
        let tell = |finding: &Finding| Told {
            tone: finding.tone(),
            words: for_tutor(finding, &self.opened.limits),
            questions: finding.questions(),
        };
        findings.iter().map(tell).collect()
    }

    fn question_facts(&self, findings: &[Finding]) -> Vec<QuestionFacts> {
        let header = &self.opened.header;
        let sunk = |number| {
            findings.iter().find_map(|finding| match &finding.seen {
                Seen::Sink(sink) if sink.long.question == number => Some(sink.cost),
                _ => None,
            })
        };
        let facts = |row: &crate::domain::sitting::Row| {
            let number = row.number;
            let pace = self.analysis.question(number);
            let standing = row.standing();
            let known = self.known.as_ref();
            let marked = known.and_then(|known| known.marks.question(number));
            let section = header.paper.rule.section(number);
            let norm = self
                .group
                .as_ref()
                .map(|group| group.norm(number))
                .unwrap_or_default();
            QuestionFacts {
                number,
                given: standing.map(|given| given.option),
                how: standing.map(|given| given.how),
                after_time: row.in_time.is_none() && row.after_time.is_some(),
                outcome: marked.map(|question| question.outcome),
                marks: marked
                    .zip(section)
                    .map(|(own, section)| (own.marks, section.right)),
                time: self.analysis.time_on(number),
                visits: pace.map_or(0, |pace| pace.visits),
                changes: self.analysis.changes_of(number),
                flagged: row.flagged,
                plan: planned(header, number),
                median: norm.median,
                right_in_group: (norm.marked > 0).then_some((norm.right, norm.marked)),
                sunk: sunk(number),
            }
        };
        self.replay.whole().rows().iter().map(facts).collect()
    }

    /// The step that the sitting judged, and the one agreed about it, each with what became of it.
    pub(super) fn steps(&self) -> Vec<String> {
        let (steps, id) = (&self.opened.steps, &self.opened.header.sitting);
        let own = steps.iter().find(|own| own.about.sitting == *id);
        let judged = judged_by(steps, id).map(step_before);
        let own = own.map(agreed_and_when);
        judged.into_iter().chain(own).collect()
    }

    /// One question's part.
    pub(super) fn facts(&self, number: QuestionNo) -> Option<&QuestionFacts> {
        self.facts.iter().find(|facts| facts.number == number)
    }

    /// The questions, in order.
    pub(super) fn numbers(&self) -> Vec<QuestionNo> {
        self.facts.iter().map(|facts| facts.number).collect()
    }

    /// Why there are no marks, and what that costs.
    pub(super) fn why_unmarked(&self, what: &str) -> Option<String> {
        match &self.opened.key {
            Err(reason) => Some(no_key(what, reason)),
            Ok(_) => self.opened.is_open.then(|| not_finished(what)),
        }
    }

    /// Whose sitting, when and on which paper, in so many columns: the paper's id where its title
    /// has no room.
    pub(super) fn title(&self, width: usize) -> String {
        let header = &self.opened.header;
        let when = moment(header.started.naive_local());
        let invented = if header.invented {
            "Invented data: "
        } else {
            ""
        };
        let titled = |paper: &str| format!("{invented}{}, {when}, {paper}", header.pupil);
        let title = titled(&header.paper.title);
        if columns_of(&title) <= width {
            title
        } else {
            titled(&header.paper.id)
        }
    }
}
