//! A pupil's sittings on one scale, said as worked marks on one paper.
//!
//! The difficulties come from other pupils alone: linked through the pupil's own sittings, whatever the pupil
//! gained between two papers would be taken for a difference of the papers.

use std::collections::{BTreeMap, BTreeSet};

use super::on_scale::{NoScale, OnScale, ScalePlace};
use super::{Line, Of, Progress, trend};
use crate::analysis::evidence::{Done, Evidence, Seen};
use crate::cohort::prior_means;
use crate::cohort::scale::equating::MeanEquating;
use crate::cohort::scale::{Counting, ItemDifficulty, ScaleCalibration};
use crate::domain::mark::Mark;
use crate::domain::paper::Outline;
use crate::domain::paper::PaperId;
use crate::season::mark_range;
use crate::season::model::Priors;
use crate::stats::rasch::{expected_right, warm};
use crate::stats::real;

/// The paper that marks are said on.
struct Reference<'a> {
    evidence: &'a Evidence,
    outline: &'a Outline,
    /// What it gives whatever is done: start marks and credited questions.
    base: f64,
}

impl Progress {
    /// Puts the season on one scale: with everybody's marked sittings, and the papers of the pupil's own by sitting.
    #[must_use]
    pub fn on_scale(mut self, evidence: &[Evidence], outlines: &BTreeMap<String, Outline>) -> Self {
        self.scale = scale(&self, evidence, outlines);
        let place = |line: &Line| self.scale.as_ref()?.sittings.get(&line.sitting).copied();
        let found: Vec<ScalePlace> = self.compared().filter_map(place).collect();
        let worth: Vec<f64> = found.iter().map(|place| place.worth).collect();
        let errors: Vec<f64> = found.iter().map(|place| place.error).collect();
        if let Some(trend) = trend::weighted(&worth, &errors) {
            self.trends.insert(0, (Of::Worth, trend));
            super::settle(&mut self.trends);
        }
        self
    }
}

fn scale(
    progress: &Progress,
    evidence: &[Evidence],
    outlines: &BTreeMap<String, Outline>,
) -> Option<OnScale> {
    let (own, others): (Vec<_>, Vec<_>) =
        evidence.iter().partition(|one| one.pupil == progress.pupil);
    let of = |line: &Line| own.iter().copied().find(|one| one.sitting == line.sitting);
    let marked = progress.compared().filter_map(|line| {
        let outline = outlines.get(&line.sitting)?;
        Some((of(line)?, outline, line.marks.as_ref()?.max))
    });
    let marked: Vec<_> = marked.collect();
    let (latest, outline, max) = *marked.last()?;
    let reference = Reference::new(latest, outline, max);
    let wanted: Vec<&PaperId> = marked.iter().rev().map(|(one, ..)| &one.paper).collect();
    let papers: BTreeSet<&PaperId> = wanted.iter().copied().collect();
    let linked = ScaleCalibration::new(&others, &wanted, Counting::Asked);
    let linked = linked.map_err(NoScale::from).and_then(|linked| {
        let held = linked.holds(latest);
        let alone = || NoScale::NotLinked(latest.paper.id().to_owned());
        held.then_some(linked).ok_or_else(alone)
    });
    let mut found = OnScale {
        reference: latest.paper.id().to_owned(),
        max,
        people: 0,
        papers: Vec::new(),
        shortage: None,
        apart: Vec::new(),
        sittings: BTreeMap::new(),
        shifts: Vec::new(),
    };
    let mut off: BTreeSet<&PaperId> = papers;
    match &linked {
        Ok(linked) => {
            let names: BTreeSet<_> = linked.papers.iter().map(PaperId::id).collect();
            found.papers = names.into_iter().map(str::to_owned).collect();
            found.people = linked.people;
            for one in &own {
                if let Some(place) = reference.place(one, linked) {
                    off.remove(&one.paper);
                    found.sittings.insert(one.sitting.clone(), place);
                }
            }
            let apart: BTreeSet<_> = off.iter().map(|paper| paper.id().to_owned()).collect();
            found.apart = apart.into_iter().collect();
        }
        Err(why) => found.shortage = Some(why.clone()),
    }
    off.remove(&latest.paper);
    let shifts = off.into_iter();
    found.shifts = shifts
        .filter_map(|paper| MeanEquating::between(&others, paper, &latest.paper))
        .collect();
    Some(found)
}

impl<'a> Reference<'a> {
    fn new(evidence: &'a Evidence, outline: &'a Outline, max: Mark) -> Self {
        let best = evidence.answers.iter().filter_map(|seen| {
            let section = outline.rule.section(seen.number)?;
            Some(section.best().to_f64())
        });
        Self {
            evidence,
            outline,
            base: max.to_f64() - best.sum::<f64>(),
        }
    }

    /// The worked mark to expect, when of what is not right this share is wrong and the rest blank.
    fn expected(&self, linked: &ScaleCalibration, measure: f64, wrong: f64) -> f64 {
        let of = |seen: &Seen| {
            let section = self.outline.rule.section(seen.number)?;
            let right = match linked.difficulty(self.evidence, seen.number) {
                Some(ItemDifficulty::Measured(found)) => {
                    expected_right(measure, &[found.difficulty])
                }
                // Half a pupil is lent each way, so that nothing is certain.
                Some(ItemDifficulty::AllRight(people)) => {
                    (real(people) + 0.5) / (real(people) + 1.0)
                }
                Some(ItemDifficulty::NoneRight(people)) => 0.5 / (real(people) + 1.0),
                None => expected_right(measure, &[prior_means::difficulty(seen.place).mean]),
            };
            let (wins, loses) = (section.right.to_f64(), section.wrong.to_f64());
            let other = wrong * loses + (1.0 - wrong) * section.blank.to_f64();
            Some(right * wins + (1.0 - right) * other)
        };
        self.base + self.evidence.answers.iter().filter_map(of).sum::<f64>()
    }

    fn place(&self, one: &Evidence, linked: &ScaleCalibration) -> Option<ScalePlace> {
        let measured =
            one.answers
                .iter()
                .filter_map(|seen| match linked.difficulty(one, seen.number)? {
                    ItemDifficulty::Measured(found) => {
                        Some((found.difficulty, Counting::Asked.right(seen)?))
                    }
                    ItemDifficulty::AllRight(_) | ItemDifficulty::NoneRight(_) => None,
                });
        let (difficulties, right): (Vec<f64>, Vec<bool>) = measured.unzip();
        let right = right.into_iter().filter(|right| *right).count();
        let measure = warm(&difficulties, right)?;
        let link = linked.link_error(one, self.evidence)?;
        let spread = measure.error.hypot(link).hypot(Priors::default().day());
        let count = |done| real(one.answers.iter().filter(|seen| seen.done == done).count());
        let missed = real(one.answers.len()) - count(Done::Right);
        let wrong = if missed > 0.0 {
            count(Done::Wrong) / missed
        } else {
            0.0
        };
        let at = |value: f64| self.expected(linked, value, wrong);
        let step = 0.01;
        let slope = (at(measure.value + step) - at(measure.value - step)) / (2.0 * step);
        let reach = mark_range::deviates() * spread;
        Some(ScalePlace {
            measure,
            worth: at(measure.value),
            error: slope.abs() * spread,
            range: (at(measure.value - reach), at(measure.value + reach)),
        })
    }
}
