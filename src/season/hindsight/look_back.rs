//! Looking back at past sittings, each from what lay there before it.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{JudgedSitting, NotForecast, Papers, PastChance, PastForecast};
use crate::analysis::evidence::Evidence;
use crate::cohort::scale::{Indexed, ItemIndex};
use crate::domain::header::Alias;
use crate::season::estimate::{Counted, WorkedOut, evidence_of};
use crate::season::familiarity::MetInPractice;
use crate::season::forecast::Forecast;
use crate::season::model::{Priors, in_order};

/// A group's sittings, laid out once to look back at any of them.
#[derive(Debug)]
pub struct LookBack<'a> {
    index: ItemIndex<'a>,
    /// The day of each sitting in the index.
    days: Vec<NaiveDate>,
    practised: &'a MetInPractice,
    papers: &'a Papers,
}

impl<'a> LookBack<'a> {
    /// Over all these sittings, with what was practised and the papers at hand.
    pub fn over(all: &'a [Evidence], practised: &'a MetInPractice, papers: &'a Papers) -> Self {
        Self {
            index: ItemIndex::new(all),
            days: all.iter().map(|one| one.started.date_naive()).collect(),
            practised,
            papers,
        }
    }

    /// Looks back at some of the sittings.
    pub fn at(&self, those: &[&Evidence]) -> Vec<JudgedSitting> {
        let each = self.by_pupil(those);
        each.iter()
            .flat_map(|own| self.at_one_pupils(own))
            .collect()
    }

    /// Sittings pupil by pupil, to be looked back at side by side.
    pub fn by_pupil<'b>(&self, those: &[&'b Evidence]) -> Vec<Vec<&'b Evidence>> {
        let mut pupils = BTreeMap::<&Alias, Vec<&'b Evidence>>::new();
        for one in those {
            pupils.entry(&one.pupil).or_default().push(one);
        }
        pupils.into_values().collect()
    }

    /// Looks back at sittings of one pupil; in order of time, since each goes on from what was worked out for the one
    /// before.
    pub fn at_one_pupils(&self, those: &[&Evidence]) -> Vec<JudgedSitting> {
        let mut those = those.to_vec();
        those.sort_by_key(|one| one.started);
        let Some(pupil) = those.first().map(|one| &one.pupil) else {
            return Vec::new();
        };
        let practised = self.practised.only_of(pupil);
        let every = self.index.sittings().iter().zip(&self.days);
        let (own, others): (Vec<_>, Vec<_>) =
            every.partition(|(other, _)| other.evidence.pupil == *pupil);
        let mut known = WorkedOut::of(&self.index);
        let judged = those.into_iter().map(|one| {
            let own = own.iter().map(|(own, _)| *own);
            let own = own.filter(|own| own.evidence.started < one.started);
            let day = one.started.date_naive();
            let group = others.iter().filter(|(_, other)| **other < day);
            let group = group.map(|(other, _)| *other);
            let before = EarlierSittings {
                own: own.collect(),
                group: group.collect(),
                practised: practised.before(one.started),
            };
            let whole = before.own.iter().filter(|own| own.evidence.is_whole());
            JudgedSitting {
                sitting: one.sitting.clone(),
                pupil: one.pupil.clone(),
                paper: one.paper.id().to_owned(),
                started: one.started,
                before: whole.count(),
                mark: one.totals.in_time,
                max: one.totals.max,
                said: before.said(one, &mut known, self.papers),
            }
        });
        judged.collect()
    }
}

/// What lay there before a sitting.
struct EarlierSittings<'i, 'a> {
    own: Vec<&'i Indexed<'a>>,
    group: Vec<&'i Indexed<'a>>,
    practised: MetInPractice,
}

impl<'i, 'a> EarlierSittings<'i, 'a> {
    /// What would have been said of the sitting.
    fn said(
        &self,
        one: &Evidence,
        known: &mut WorkedOut<'i, 'a>,
        papers: &Papers,
    ) -> Result<PastForecast, NotForecast> {
        if !one.is_whole() {
            return Err(NotForecast::NotWhole);
        }
        let paper = papers.get(&one.paper).ok_or(NotForecast::NoPaper)?;
        let met = self.practised.met_by(&one.pupil);
        if !Counted::of(&in_order(&evidence_of(&self.own)), met.clone()).are_enough() {
            return Err(NotForecast::TooFew);
        }
        let found = known.of_pupil(&self.own, &self.group, met, paper, &Priors::default());
        let (scale, model) = found.ok_or(NotForecast::TooFine)?;
        let told = Forecast::with_met(paper, &model, &scale).ok_or(NotForecast::TooFine)?;
        let range = told.range().ok_or(NotForecast::TooFine)?;
        let awards = paper.outline.awards.iter().filter_map(|award| {
            let own = told.awards.iter().find(|own| own.name == award.name)?;
            Some(PastChance {
                name: own.name.clone(),
                chance: own.chance,
                reached: one.totals.in_time >= award.boundary,
            })
        });
        Ok(PastForecast {
            expected: told.expected(),
            range,
            inside: (range.0..=range.1).contains(&one.totals.in_time),
            awards: awards.collect(),
        })
    }
}
