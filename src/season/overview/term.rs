//! What an overview is made of: pupils, papers, sheets.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset, NaiveDate, Utc};

use crate::analysis::Studied;
use crate::domain::event::How;
use crate::domain::header::Alias;
use crate::domain::key::Key;
use crate::domain::labels::Label;
use crate::domain::marking::Outcome;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::season::familiarity::MetInPractice;
use crate::season::practice::PractisedSeason;
use crate::season::progress::{Line, LineMarks, Swept, line, set_in_order};
use crate::season::step::FollowedStep;

/// What is at hand of one pupil.
#[derive(Clone, Debug)]
pub struct PupilTerm {
    /// Whose it is.
    pub pupil: Alias,
    /// Every sitting, the earliest first.
    pub sittings: Vec<Studied>,
    /// What the sittings and the practice say of single questions.
    pub practice: PractisedSeason,
    /// The day of the paper that the pupil works towards, where it is known.
    pub paper_on: Option<NaiveDate>,
    lines: Vec<Line>,
}

impl PupilTerm {
    /// Works out each sitting's line, which is most of the work on a term.
    pub fn new(
        pupil: Alias,
        mut sittings: Vec<Studied>,
        practice: PractisedSeason,
        paper_on: Option<NaiveDate>,
    ) -> Self {
        sittings.sort_by_key(|own| (own.header().started, own.header().sitting.clone()));
        let mut lines: Vec<_> = sittings.iter().map(line).collect();
        let met = MetInPractice::opened(&pupil, &practice.opened);
        set_in_order(&mut lines, met.met_by(&pupil));
        Self {
            pupil,
            sittings,
            practice,
            paper_on,
            lines,
        }
    }

    pub(super) fn take_lines(&mut self) -> Vec<Line> {
        std::mem::take(&mut self.lines)
    }
}

/// The days by which it is judged who needs a word, both of them included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WordWeek {
    /// The first.
    pub from: NaiveDate,
    /// The last: the day of the newest sitting.
    pub to: NaiveDate,
}

impl WordWeek {
    /// Whether a moment lies in them.
    pub(super) fn holds(self, at: DateTime<FixedOffset>) -> bool {
        (self.from..=self.to).contains(&at.date_naive())
    }
}

/// The practice of a pupil, as it stood on the day of the newest sitting.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PracticeSoFar {
    /// How many missed questions are due.
    pub due: usize,
    /// The last day with practice, where there was any.
    pub last: Option<NaiveDate>,
}

/// One pupil.
#[derive(Clone, Debug)]
pub struct PupilRow {
    /// The alias.
    pub pupil: Alias,
    /// Every sitting, the earliest first, with what keeps it from being compared.
    pub lines: Vec<Line>,
    /// The practice.
    pub practice: PracticeSoFar,
    /// The steps agreed in talks and what became of them, the earliest sitting's first.
    pub steps: Vec<FollowedStep>,
}

impl PupilRow {
    /// The sittings that are compared.
    pub fn compared(&self) -> impl Iterator<Item = &Line> {
        self.lines.iter().filter(|line| line.apart.is_none())
    }
}

/// How the time of a sheet done under the clock ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SheetEnd {
    /// A sweep filled the last blanks.
    Swept,
    /// Nothing was blank, and nothing had to be filled.
    NoBlank,
    /// Something was blank on which a guess gains on average.
    LeftFree,
    /// Something was blank, and a guess on it gains nothing.
    Left,
}

/// One answer of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OverviewAnswer {
    /// The question.
    pub number: QuestionNo,
    /// The option that stood when time was up.
    pub given: Option<Label>,
    /// How it was found.
    pub how: Option<How>,
    /// The option given after time was up, on a question that was blank.
    pub late: Option<Label>,
    /// What became of the answer in time; nothing without a key.
    pub outcome: Option<Outcome>,
}

/// One pupil's sheet on one paper.
#[derive(Clone, Debug)]
pub struct OverviewSheet {
    /// The sitting's id.
    pub sitting: String,
    /// When it was begun.
    pub started: DateTime<FixedOffset>,
    /// When its answers came here: when it was begun, or typed in.
    pub came: DateTime<Utc>,
    /// The marks; nothing without a key.
    pub marks: Option<LineMarks>,
    /// The questions that were blank when time was up.
    pub blanks: Vec<QuestionNo>,
    /// The time that was not used; nothing of a sheet that was typed in, or worked to its end.
    pub unused: Option<Elapsed>,
    /// The sweep, where there was one.
    pub sweep: Option<Swept>,
    /// How it ended; nothing of a sheet that was typed in.
    pub end: Option<SheetEnd>,
    /// The answers, question by question.
    pub answers: Vec<OverviewAnswer>,
}

impl OverviewSheet {
    /// The day on which it was sat.
    pub fn day(&self) -> NaiveDate {
        self.started.date_naive()
    }

    /// One answer.
    pub fn answer(&self, number: QuestionNo) -> Option<&OverviewAnswer> {
        self.answers.iter().find(|own| own.number == number)
    }
}

/// One paper, as it was sat for the first time or again.
#[derive(Clone, Debug)]
pub struct PaperColumn {
    /// The paper, by the newest of its sheets.
    pub outline: Outline,
    /// 1 for the first sitting of each pupil, 2 for the second, and so on.
    pub time: usize,
    /// The key, where it is at hand.
    pub key: Option<Arc<Key>>,
    /// Every pupil's sheet.
    pub sheets: BTreeMap<Alias, OverviewSheet>,
}

impl PaperColumn {
    /// The first and the last day on which it was sat.
    pub fn days(&self) -> Option<(NaiveDate, NaiveDate)> {
        let days = || self.sheets.values().map(OverviewSheet::day);
        Some((days().min()?, days().max()?))
    }

    /// How many of the sheets ended so.
    pub fn ended(&self, end: SheetEnd) -> usize {
        let own = self.sheets.values();
        own.filter(|sheet| sheet.end == Some(end)).count()
    }

    /// How many of the sheets were done under the clock.
    pub fn timed(&self) -> usize {
        let own = self.sheets.values();
        own.filter(|sheet| sheet.end.is_some()).count()
    }

    /// How many of the sheets have a right answer to a question in time; nothing without a key, and for a void one.
    pub fn right(&self, number: QuestionNo) -> Option<usize> {
        let outcomes = || {
            let own = self.sheets.values();
            own.filter_map(|sheet| sheet.answer(number)?.outcome)
        };
        let judged = outcomes().next()? != Outcome::Void;
        judged.then(|| outcomes().filter(|own| *own == Outcome::Right).count())
    }
}
