//! One sitting as a line of a season, and which lines may be compared.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, FixedOffset};

use super::marks::{LineMarks, MissedMark};
use crate::analysis::evidence::Evidence;
use crate::analysis::stay::sinks;
use crate::analysis::{Analysis, Basis, Studied};
use crate::domain::header::{Header, Mode};
use crate::domain::mark::Mark;
use crate::domain::notes::Cause;
use crate::domain::paper::Paper;
use crate::domain::questions::QuestionList;
use crate::domain::rule::QuestionNo;
use crate::domain::standing::{Exclusion, Use};
use crate::domain::time::Elapsed;
use crate::season::familiarity::{Familiarity, MetSoFar, Questions};

/// What must be alike for two sittings to be compared.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Conditions {
    /// Extra time, in percent.
    pub extra_percent: Mark,
    /// The questions sat, where not all of them were.
    pub only: Option<QuestionList>,
    /// The time before extra time, where it was not the paper's own.
    pub own_time: Option<Elapsed>,
    /// Whether the sheet was done on paper and typed in.
    pub typed_in: bool,
}

/// Why a sitting is not compared.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Apart {
    /// It has not ended.
    Open,
    /// It was given up.
    GivenUp,
    /// Its conditions are not those of most sittings.
    OtherConditions(Conditions),
    /// At least half of its questions had been met before.
    Again,
    /// Somebody has decided that it counts for nothing.
    Withdrawn(Exclusion),
}

impl Line {
    /// Whether somebody has decided that it counts for nothing.
    pub const fn is_withdrawn(&self) -> bool {
        matches!(self.apart, Some(Apart::Withdrawn(_)))
    }
}

/// The sweep of a sitting.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Swept {
    /// How many blanks it filled.
    pub filled: usize,
    /// How long it took.
    pub took: Elapsed,
    /// The time left when it began.
    pub left: Elapsed,
    /// Whether nothing was blank at the end.
    pub complete: bool,
}

/// The habits seen in a sitting under the clock.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Habits {
    /// Questions blank when the time in which answers count ended.
    pub blanks: usize,
    /// Sinks; nothing without a key, or where times cannot be trusted.
    pub sinks: Option<usize>,
    /// The sweep, where there was one.
    pub sweep: Option<Swept>,
}

/// One sitting of a season.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The sitting's id.
    pub sitting: String,
    /// When it started.
    pub started: DateTime<FixedOffset>,
    /// The paper's id.
    pub paper: String,
    /// The paper's title.
    pub title: String,
    /// The questions that were asked.
    pub questions: Questions,
    /// How many questions were asked.
    pub asked: usize,
    /// Its conditions.
    pub conditions: Conditions,
    /// Why it is not compared, where it is not.
    pub apart: Option<Apart>,
    /// Its marks; nothing without a key.
    pub marks: Option<LineMarks>,
    /// Its habits; nothing where the sheet was typed in.
    pub habits: Option<Habits>,
    /// For each topic of each marked question, what it brought.
    pub topics: Vec<(String, MissedMark)>,
    /// What it says of the pupil; nothing without a key.
    pub evidence: Option<Evidence>,
    /// The causes set by the tutor, with the marks lost where they are known.
    pub causes: Vec<(Cause, Option<Mark>)>,
}

/// Makes a line of a sitting.
pub fn line(studied: &Studied) -> Line {
    let analysis = &studied.analysis;
    let header = analysis.header();
    let keyed = studied.keyed.as_ref();
    let missed = studied
        .marks()
        .map(|marks| super::marks::missed(marks, &header.paper))
        .unwrap_or_default();
    let paper = studied.paper.as_deref();
    Line {
        sitting: header.sitting.clone(),
        started: header.started,
        paper: header.paper.id.clone(),
        title: header.paper.title.clone(),
        questions: Questions::of_sitting(header, paper),
        asked: header.questions().count(),
        conditions: conditions(header, paper),
        apart: apart(analysis),
        habits: analysis.is_timed().then(|| habits(studied)),
        topics: topics(paper, &missed),
        evidence: Evidence::of(studied),
        causes: causes(studied),
        marks: keyed.map(|keyed| LineMarks::new(keyed, &header.paper)),
    }
}

fn conditions(header: &Header, paper: Option<&Paper>) -> Conditions {
    let others = paper.is_some_and(|paper| paper.allowed != header.standard);
    let whole = header.questions().count() == usize::from(header.paper.questions);
    Conditions {
        extra_percent: header.arrangements.extra_percent,
        only: header.arrangements.only.clone().filter(|_| !whole),
        own_time: (others && header.mode == Mode::Timed).then_some(header.standard),
        typed_in: header.mode == Mode::Entered,
    }
}

fn apart(analysis: &Analysis) -> Option<Apart> {
    let standing = analysis.standing();
    match standing.bars(Use::Evidence) {
        Some(reason) if standing.withdrawn.is_some() => Some(Apart::Withdrawn(reason)),
        Some(Exclusion::GivenUp) => Some(Apart::GivenUp),
        Some(_) => Some(Apart::Open),
        None => None,
    }
}

fn habits(studied: &Studied) -> Habits {
    let analysis = &studied.analysis;
    let keyed = studied.keyed.as_ref().filter(|_| analysis.trust().any());
    let sinks = keyed.map(|keyed| {
        let basis = Basis {
            analysis,
            keyed: Some(keyed),
            norms: None,
        };
        sinks(&basis).len()
    });
    let sweep = analysis.sweep().map(|sweep| Swept {
        filled: sweep.filled.len(),
        took: sweep.took,
        left: sweep.left,
        complete: sweep.complete,
    });
    Habits {
        blanks: analysis.blanks().len(),
        sinks,
        sweep,
    }
}

fn topics(
    paper: Option<&Paper>,
    missed: &BTreeMap<QuestionNo, MissedMark>,
) -> Vec<(String, MissedMark)> {
    let of = |(number, missed): (&QuestionNo, &MissedMark)| {
        let question = paper.and_then(|paper| paper.question(*number));
        let topics: BTreeSet<String> = question
            .iter()
            .flat_map(|question| question.topics.iter().cloned())
            .collect();
        let missed = *missed;
        topics.into_iter().map(move |topic| (topic, missed))
    };
    missed.iter().flat_map(of).collect()
}

fn causes(studied: &Studied) -> Vec<(Cause, Option<Mark>)> {
    let notes = studied.notes.iter().flat_map(|notes| &notes.questions);
    let lost = |number: QuestionNo| {
        let own = studied.marks()?.question_in_time(number)?;
        Some(own.max - own.marks)
    };
    let cause = |(number, said): (&QuestionNo, &crate::domain::notes::Said)| {
        Some((said.cause?, lost(*number)))
    };
    notes.filter_map(cause).collect()
}

/// Settles which lines are compared: those under the conditions of most (of the latest, where as
/// many are under others), what had been met
/// before, in a sitting or in practice, not again. Gives those conditions.
pub(super) fn set_apart(lines: &mut [Line], mut met: MetSoFar<'_>) -> Option<Conditions> {
    let mut counts = BTreeMap::<&Conditions, (usize, usize)>::new();
    for (index, line) in lines.iter().enumerate() {
        if line.apart.is_none() {
            let entry = counts.entry(&line.conditions).or_default();
            *entry = (entry.0 + 1, index);
        }
    }
    let most = counts.into_iter().max_by_key(|(_, place)| *place);
    let most = most.map(|(conditions, _)| conditions.clone())?;
    for line in lines.iter_mut().filter(|line| !line.is_withdrawn()) {
        let again = Familiarity::among(&line.questions, met.before(line.started)).is_sat_before();
        met.sat(&line.questions);
        if line.apart.is_some() {
            continue;
        }
        if line.conditions != most {
            line.apart = Some(Apart::OtherConditions(line.conditions.clone()));
        } else if again {
            line.apart = Some(Apart::Again);
        }
    }
    Some(most)
}
