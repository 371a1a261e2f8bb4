//! A group's term: every pupil by every paper and by every question, how papers ended, and who needs a word.
//!
//! A paper sat again is a column of its own: the first sitting is the pupil's entry in the group, a later one of a
//! paper that was met before.

mod outside;
mod term;
mod word;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use chrono::{DateTime, Days, NaiveDate, Utc};

use crate::analysis::findings::Blind;
use crate::analysis::{Analysis, Studied};
use crate::cohort::entry::Entry;
use crate::domain::marking::{Answer, Take, answers};
use crate::domain::paper::PaperId;
use crate::domain::rule::QuestionNo;
use crate::domain::thresholds::{Limit, Thresholds};
use crate::season::practice::PracticeState;
use crate::season::progress::Line;
use crate::season::step::steps;

pub use outside::{MarkBand, OutsidePaper, OutsideQuestion, OutsideSize, PercentBand, outside};
pub use term::{
    OverviewAnswer, OverviewSheet, PaperColumn, PracticeSoFar, PupilRow, PupilTerm, SheetEnd,
    WordWeek,
};
pub use word::{NeedsWord, PercentRange, SatPaper, WordReason};

/// A group's term.
#[derive(Clone, Debug)]
pub struct Overview {
    /// The pupils, by alias.
    pub pupils: Vec<PupilRow>,
    /// The papers, in the order in which they were first sat.
    pub columns: Vec<PaperColumn>,
    /// The days by which it is judged who needs a word; nothing where nobody has sat anything.
    pub week: Option<WordWeek>,
    /// Who needs a word, by alias.
    pub words: Vec<NeedsWord>,
}

impl Overview {
    /// Puts a term together. `counted` are the ids of the sittings that count as sheets of their papers.
    pub fn of(mut terms: Vec<PupilTerm>, counted: &BTreeSet<String>, limits: &Thresholds) -> Self {
        terms.sort_by(|one, other| one.pupil.cmp(&other.pupil));
        let pupils: Vec<_> = terms.iter_mut().map(PupilTerm::take_lines).collect();
        let columns = columns(&terms, &pupils, counted);
        // A sitting of a part of its paper has no column, and says as much of its pupil.
        let sittings = terms.iter().flat_map(|term| &term.sittings);
        let counting = sittings.filter(|own| word::counts(own, counted));
        let newest = counting.map(|own| own.header().started.date_naive());
        let week = newest.max().map(|to| {
            let back = u64::try_from(limits.count(Limit::WordDays).saturating_sub(1));
            let from = back
                .ok()
                .and_then(|days| to.checked_sub_days(Days::new(days)));
            WordWeek {
                from: from.unwrap_or(to),
                to,
            }
        });
        let rows = terms.iter().zip(pupils).map(|(term, lines)| PupilRow {
            pupil: term.pupil.clone(),
            lines,
            practice: week.map(|week| practice(term, week.to)).unwrap_or_default(),
            steps: steps(&term.sittings),
        });
        let pupils: Vec<_> = rows.collect();
        let words = week.map(|week| word::who(&terms, &pupils, counted, week, limits));
        Self {
            pupils,
            columns,
            week,
            words: words.unwrap_or_default(),
        }
    }

    /// The papers as each pupil met them first: what a group's figures are drawn from.
    pub fn first_columns(&self) -> impl Iterator<Item = &PaperColumn> {
        self.columns.iter().filter(|column| column.time == 1)
    }
}

fn practice(term: &PupilTerm, today: NaiveDate) -> PracticeSoFar {
    let missed = term.practice.missed();
    let states = missed.filter_map(|own| own.state(today, term.paper_on));
    let tries = term.practice.questions.iter().flat_map(|own| &own.tries);
    let practised = tries.filter(|own| own.in_practice);
    PracticeSoFar {
        due: states
            .filter(|own| matches!(own, PracticeState::Due(_)))
            .count(),
        last: practised.map(|own| own.at.date_naive()).max(),
    }
}

fn columns(
    terms: &[PupilTerm],
    seasons: &[Vec<Line>],
    counted: &BTreeSet<String>,
) -> Vec<PaperColumn> {
    let mut found = BTreeMap::<(PaperId, usize), PaperColumn>::new();
    for (term, season) in terms.iter().zip(seasons) {
        let own = term.sittings.iter();
        let own: Vec<_> = own
            .filter(|own| counted.contains(&own.header().sitting))
            .collect();
        let paper = |own: &&Studied| PaperId::of(&own.header().paper);
        let papers: BTreeSet<_> = own.iter().map(paper).collect();
        for id in papers {
            let sheets: Vec<&Studied> =
                own.iter().copied().filter(|own| paper(own) == id).collect();
            let order = |own: &&Studied| {
                let header = own.header();
                (
                    header.pupil.clone(),
                    (header.started, header.sitting.clone()),
                )
            };
            let (first, later) = Entry::First.pick(sheets, order);
            for (studied, time) in first.into_iter().chain(later).zip(1..) {
                let header = studied.header();
                let keyed = studied.keyed.as_ref();
                let line = season.iter();
                let line = line.clone().find(|line| line.sitting == header.sitting);
                let Some(line) = line else { continue };
                let column = found.entry((id.clone(), time));
                let column = column.or_insert_with(|| PaperColumn {
                    outline: header.paper.clone(),
                    time,
                    key: keyed.map(|keyed| Arc::clone(&keyed.key)),
                    sheets: BTreeMap::new(),
                });
                let newest = column.sheets.values().map(|sheet| sheet.started).max();
                if newest.is_some_and(|newest| newest < header.started) {
                    column.outline = header.paper.clone();
                }
                let own = sheet(studied, line);
                column.sheets.insert(term.pupil.clone(), own);
            }
        }
    }
    let mut columns: Vec<_> = found.into_values().collect();
    columns.sort_by_key(|column| (column.days(), column.time, column.outline.id.clone()));
    columns
}

fn sheet(studied: &Studied, line: &Line) -> OverviewSheet {
    let analysis = &studied.analysis;
    let blanks = analysis.blanks();
    let sweep = line.habits.as_ref().and_then(|habits| habits.sweep);
    OverviewSheet {
        sitting: line.sitting.clone(),
        started: line.started,
        came: came(analysis),
        marks: line.marks.clone(),
        unused: analysis.unused(),
        end: analysis
            .is_timed()
            .then(|| end(analysis, &blanks, sweep.is_some())),
        sweep,
        answers: sheet_answers(studied),
        blanks,
    }
}

/// A sheet that was typed in has its day only; its log tells when that was done.
fn came(analysis: &Analysis) -> DateTime<Utc> {
    let begun = analysis.header().started.to_utc();
    let first = analysis.log().first().filter(|_| !analysis.is_timed());
    first.map_or(begun, |first| first.utc)
}

fn end(analysis: &Analysis, blanks: &[QuestionNo], swept: bool) -> SheetEnd {
    if blanks.is_empty() {
        return if swept {
            SheetEnd::Swept
        } else {
            SheetEnd::NoBlank
        };
    }
    let blind = Blind::of(&analysis.header().paper, blanks);
    if blind.gaining.is_empty() {
        SheetEnd::Left
    } else {
        SheetEnd::LeftFree
    }
}

fn sheet_answers(studied: &Studied) -> Vec<OverviewAnswer> {
    let end = studied.analysis.end();
    let late = answers(end, Take::WithGuessRound);
    let late = |number: QuestionNo| {
        let own = late.iter().find(|own| own.number == number);
        own.filter(|own| own.after_time)?.given
    };
    let outcome = |number| {
        let own = studied.marks()?.question_in_time(number)?;
        Some(own.outcome)
    };
    let answer = |own: &Answer| OverviewAnswer {
        number: own.number,
        given: own.given,
        how: own.how,
        late: late(own.number),
        outcome: outcome(own.number),
    };
    answers(end, Take::InTime).iter().map(answer).collect()
}
