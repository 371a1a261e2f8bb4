//! A pupil over a season: marks, luck taken out, habits as trends, topics, causes of lost marks.
//!
//! Only sittings under the same conditions are compared; the others are listed with the reason. A
//! single mark of 25 questions has a standard error near 2.4 questions, so every trend comes with
//! its own and is said in words that it can bear.

mod line;
mod marks;
mod on_scale;
mod scale;
mod topics;
mod trend;

use std::collections::BTreeMap;

use serde::Serialize;

use super::familiarity::{MetInPractice, MetSoFar};
use crate::domain::header::Alias;
use crate::domain::mark::{Mark, MarkTotal};
use crate::domain::notes::Cause;

pub use line::{Apart, Conditions, Habits, Line, Swept, line};
pub use marks::{LineMarks, Margin, MissedMark, luck_taken_out};
pub use on_scale::{NoScale, OnScale, ScalePlace};
pub use topics::{LEVEL, TopicShare};
pub use trend::{Error, Trend, Verdict, trend, weighted};

/// How often a cause was set, and what it cost.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct CauseTally {
    /// How many questions.
    pub count: usize,
    /// The marks lost on those that have been marked.
    pub lost: MarkTotal,
}

/// What a trend is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Of {
    /// What the worked marks are worth on the latest paper.
    Worth,
    /// The mark in time over the boundary of each paper's first award, in percent of the paper's most.
    #[serde(rename = "margin_percent")]
    Margin,
    /// The mark in time with luck taken out, in percent of the paper's most.
    #[serde(rename = "luck_out_percent")]
    LuckOut,
    /// Questions blank when the time in which answers count ended.
    Blanks,
    /// Sinks.
    Sinks,
    /// The seconds that the sweep took, where there was one.
    SweepSeconds,
}

/// A pupil's season.
#[derive(Clone, Debug, PartialEq)]
pub struct Progress {
    /// Whose it is.
    pub pupil: Alias,
    /// Every sitting, the earliest first.
    pub lines: Vec<Line>,
    /// The conditions of those that are compared.
    pub conditions: Option<Conditions>,
    /// How the figures move from one compared sitting to the next; none for a single sitting.
    pub trends: Vec<(Of, Trend)>,
    /// Topics, the most marks within reach first.
    pub topics: Vec<TopicShare>,
    /// Causes of lost marks as the tutor set them, the most frequent first.
    pub causes: Vec<(Cause, CauseTally)>,
    /// The sittings on one scale, once [`Progress::on_scale`] was asked for it and something is marked.
    pub scale: Option<OnScale>,
}

impl Progress {
    /// The sittings that are compared.
    pub fn compared(&self) -> impl Iterator<Item = &Line> {
        self.lines.iter().filter(|line| line.apart.is_none())
    }

    /// The sittings that are not compared, each with its reason.
    pub fn apart(&self) -> impl Iterator<Item = (&Line, &Apart)> {
        let apart = |line: &'_ Line| line.apart.is_some();
        let lines = self.lines.iter().filter(move |line| apart(line));
        lines.filter_map(|line| Some((line, line.apart.as_ref()?)))
    }

    /// The sittings that no key has marked.
    pub fn not_marked(&self) -> impl Iterator<Item = &Line> {
        self.lines.iter().filter(|line| line.marks.is_none())
    }
}

/// Puts sittings in order, and settles which of them are compared; gives the conditions of those.
pub fn set_in_order(lines: &mut [Line], met: MetSoFar<'_>) -> Option<Conditions> {
    lines.sort_by(|one, other| (one.started, &one.sitting).cmp(&(other.started, &other.sitting)));
    line::set_apart(lines, met)
}

/// Puts a season together, whatever order its sittings come in; what was practised counts as met.
pub fn progress(pupil: Alias, mut lines: Vec<Line>, practised: &MetInPractice) -> Progress {
    let conditions = set_in_order(&mut lines, practised.met_by(&pupil));
    let compared: Vec<&Line> = lines.iter().filter(|line| line.apart.is_none()).collect();
    let trends = trends(&compared);
    let topics = topics::topics(&compared, practised.met_by(&pupil));
    Progress {
        pupil,
        conditions,
        trends,
        topics,
        causes: causes(&lines),
        scale: None,
        lines,
    }
}

fn trends(compared: &[&Line]) -> Vec<(Of, Trend)> {
    let marks = compared.iter().filter_map(|line| line.marks.as_ref());
    let marks: Vec<&LineMarks> = marks.filter(|marks| marks.max > Mark::ZERO).collect();
    let habits: Vec<&Habits> = compared.iter().filter_map(|l| l.habits.as_ref()).collect();
    let real = |count: &usize| crate::stats::real(*count);
    let percent = |part: f64, marks: &LineMarks| part * 100.0 / marks.max.to_f64();
    let margins = marks.iter().map(|marks| {
        let margin = marks.margins.first()?;
        Some(percent(margin.over.to_f64(), marks))
    });
    let margins: Option<Vec<f64>> = margins.collect();
    let luck_out = marks
        .iter()
        .map(|marks| percent(marks.luck_out.to_f64(), marks));
    let luck_out: Vec<f64> = luck_out.collect();
    let errors = marks.iter().map(|marks| Some(percent(marks.error?, marks)));
    let error = errors
        .collect::<Option<Vec<f64>>>()
        .and_then(|errors| trend::together(&errors));
    let blanks: Vec<f64> = habits.iter().map(|habits| real(&habits.blanks)).collect();
    let sinks = habits.iter().filter_map(|habits| habits.sinks.as_ref());
    let sinks: Vec<f64> = sinks.map(real).collect();
    let sweeps = habits.iter().filter_map(|habits| habits.sweep.as_ref());
    let sweeps: Vec<f64> = sweeps.map(|sweep| sweep.took.as_seconds()).collect();
    let of = [
        (Of::Margin, margins.and_then(|values| trend(&values, error))),
        (Of::LuckOut, trend(&luck_out, error)),
        (Of::Blanks, trend(&blanks, None)),
        (Of::Sinks, trend(&sinks, None)),
        (Of::SweepSeconds, trend(&sweeps, None)),
    ];
    let mut trends: Vec<_> = of
        .into_iter()
        .filter_map(|(of, trend)| Some((of, trend?)))
        .collect();
    settle(&mut trends);
    trends
}

/// Says which of the trends of a page have a direction.
fn settle(page: &mut [(Of, Trend)]) {
    trend::settle(page.iter_mut().map(|(_, trend)| trend));
}

fn causes(lines: &[Line]) -> Vec<(Cause, CauseTally)> {
    let mut tallies = BTreeMap::<Cause, CauseTally>::new();
    let counted = lines.iter().filter(|line| !line.is_withdrawn());
    for (cause, lost) in counted.flat_map(|line| &line.causes) {
        let tally = tallies.entry(*cause).or_default();
        tally.count += 1;
        tally.lost += lost.unwrap_or_default();
    }
    let mut tallies: Vec<_> = tallies.into_iter().collect();
    tallies.sort_by_key(|(cause, tally)| (std::cmp::Reverse(tally.count), *cause));
    tallies
}
