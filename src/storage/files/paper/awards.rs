//! Awards and earlier years' boundaries of a paper file.

use std::collections::{BTreeMap, BTreeSet};

use serde::Deserialize;

use crate::domain::mark::Mark;
use crate::domain::paper::{Award, AwardShares, PastBoundaries, TieSide};
use crate::domain::rule::{Rule, Section};
use crate::storage::files::locate::Spot;
use crate::storage::files::problem::Findings;
use crate::storage::files::raw::Number;
use crate::storage::files::text::Shape;

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Award")]
pub(super) struct AwardForm {
    name: String,
    boundary: Number,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Past")]
pub(super) struct PastForm {
    year: i32,
    boundaries: BTreeMap<String, Number>,
}

/// The largest part of a ratio.
const LARGEST_PART: u32 = 1_000_000;

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Shares")]
pub(super) struct SharesForm {
    top: Number,
    ratio: String,
    tie: TieSide,
}

/// The awards that could be read, and the names of all, lowest boundary first.
pub(super) struct Awards {
    pub(super) awards: Vec<Award>,
    names: Vec<String>,
}

impl Awards {
    pub(super) fn mean(
        forms: Vec<AwardForm>,
        rule: Option<&Rule>,
        findings: &mut Findings<'_>,
    ) -> Self {
        let most = rule.map(most_marks);
        let mut names: Vec<String> = Vec::new();
        let mut awards: Vec<Award> = Vec::new();
        let most_awards = findings.within(&Spot::top().at("awards"), forms.len());
        for (index, form) in forms.into_iter().take(most_awards).enumerate() {
            let spot = Spot::top().at("awards").item(index);
            findings.text(&spot.at("name"), &form.name, Shape::Line);
            if names.contains(&form.name) {
                findings.wrong(
                    &spot.at("name"),
                    format!(
                        "there are two awards named {:?}; give each its own name",
                        form.name
                    ),
                );
            } else {
                names.push(form.name.clone());
            }
            let spot = spot.at("boundary");
            let Some(boundary) = form.boundary.read(&spot, findings) else {
                continue;
            };
            if boundary < Mark::ZERO {
                findings.wrong(
                    &spot,
                    format!("the boundary {boundary} is below 0; write 0 or more"),
                );
            }
            if let Some(most) = most.filter(|most| boundary > *most) {
                findings.wrong(
                    &spot,
                    format!("the boundary {boundary} is above {most}, the paper's highest mark; lower it, or correct the rule"),
                );
            }
            if let Some(lower) = awards.last().filter(|lower| lower.boundary >= boundary) {
                findings.wrong(
                    &spot,
                    format!("the boundary {boundary} isn't above {}, the one for {:?}; write the lowest award first, each boundary above the one before", lower.boundary, lower.name),
                );
            }
            awards.push(Award {
                name: form.name,
                boundary,
            });
        }
        Self { awards, names }
    }

    /// How the awards are shared out, held against the awards.
    pub(super) fn shares(
        &self,
        form: &SharesForm,
        findings: &mut Findings<'_>,
    ) -> Option<AwardShares> {
        let spot = Spot::top().at("shares");
        let top = form.top.read(&spot.at("top"), findings);
        if top.is_some_and(|top| top <= Mark::ZERO || top > Mark::whole(1)) {
            findings.wrong(
                &spot.at("top"),
                "the share that gets an award must be above 0 and at most 1; write it as 0.5 or \"1/2\"",
            );
        }
        let part = |part: &str| part.trim().parse().ok();
        let sound = |part: &u32| (1..=LARGEST_PART).contains(part);
        let ratio: Option<Vec<u32>> = form.ratio.split(':').map(part).collect();
        let ratio = ratio.filter(|ratio| ratio.iter().all(sound));
        match &ratio {
            None => findings.wrong(
                &spot.at("ratio"),
                format!("{:?} isn't a ratio; write whole numbers from 1 to {LARGEST_PART} with colons between them, lowest award first, such as \"5:3:2\"", form.ratio),
            ),
            Some(ratio) if ratio.len() != self.names.len() => findings.wrong(
                &spot.at("ratio"),
                format!("the ratio has {} parts but the paper has {} awards; write a part for each award, lowest first", ratio.len(), self.names.len()),
            ),
            Some(_) => {}
        }
        Some(AwardShares {
            top: top?,
            ratio: ratio?,
            tie: form.tie,
        })
    }

    /// Earlier years' boundaries, held against the names and the order of the awards.
    pub(super) fn past(
        &self,
        forms: Vec<PastForm>,
        rule: Option<&Rule>,
        findings: &mut Findings<'_>,
    ) -> Vec<PastBoundaries> {
        let most = rule.map(most_marks);
        let mut years = BTreeSet::new();
        let mut past = Vec::new();
        let most_years = findings.within(&Spot::top().at("past"), forms.len());
        for (index, form) in forms.into_iter().take(most_years).enumerate() {
            let spot = Spot::top().at("past").item(index);
            let year = form.year;
            if !years.insert(year) {
                findings.wrong(
                    &spot.at("year"),
                    format!("the year {year} is there twice; keep one of the two"),
                );
            }
            super::year::is_likely(&spot.at("year"), year, findings);
            let boundaries = self.year(&spot.at("boundaries"), &form, findings);
            let highest = boundaries.iter().max_by_key(|(_, boundary)| **boundary);
            if let Some(((name, boundary), most)) = highest.zip(most)
                && *boundary > most
            {
                findings.note(
                    &spot.at("boundaries").at(name),
                    format!("the boundary {boundary} is above {most}, this paper's highest mark, so the boundaries of {year} are for another maximum; leave that year out, or convert them"),
                );
            }
            past.push(PastBoundaries { year, boundaries });
        }
        past
    }

    fn year(
        &self,
        spot: &Spot,
        form: &PastForm,
        findings: &mut Findings<'_>,
    ) -> BTreeMap<String, Mark> {
        let most = findings.within(spot, form.boundaries.len());
        let names = form.boundaries.keys().take(most);
        for name in names.filter(|name| !self.names.contains(*name)) {
            let sentence = if self.names.is_empty() {
                format!("the paper has no award {name:?}; list its awards in the field `awards`")
            } else {
                let names = self.names.join(", ");
                format!("the paper has no award {name:?}; use one of {names}")
            };
            findings.wrong(&spot.at(name), sentence);
        }
        let mut boundaries = BTreeMap::new();
        let mut lower: Option<(&str, Mark)> = None;
        for name in &self.names {
            let Some(number) = form.boundaries.get(name) else {
                continue;
            };
            let spot = spot.at(name);
            let Some(boundary) = number.read(&spot, findings) else {
                continue;
            };
            if boundary < Mark::ZERO {
                findings.wrong(
                    &spot,
                    format!("the boundary {boundary} is below 0; write 0 or more"),
                );
            }
            if let Some((award, below)) = lower.filter(|(_, below)| *below >= boundary) {
                findings.wrong(
                    &spot,
                    format!("in {} the boundary {boundary} isn't above {below}, the one for {award:?}; keep the order of the awards", form.year),
                );
            }
            lower = Some((name, boundary));
            boundaries.insert(name.clone(), boundary);
        }
        boundaries
    }
}

/// The most that a paper under a sound rule can give.
pub fn most_marks(rule: &Rule) -> Mark {
    let all = |section: &Section| {
        let count = (section.last.index() + 1).saturating_sub(section.first.index());
        section.best() * i64::try_from(count).unwrap_or(0)
    };
    rule.start + rule.sections.iter().map(all).sum()
}
