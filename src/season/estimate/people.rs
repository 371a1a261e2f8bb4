//! How likely each other pupil's sittings are, by level: what a group says of how far its levels lie apart.
//!
//! Past forecasts of one pupil differ in what lay there before each, and mostly by what came since the one before. So what
//! was worked out stays as long as nothing has changed that it rests on; the result is the one from nothing, to the last digit.

use std::collections::BTreeMap;
use std::ptr;

use crate::analysis::evidence::{Evidence, Seen};
use crate::cohort::scale::Indexed;
use crate::domain::header::Alias;
use crate::domain::rule::QuestionNo;
use crate::season::estimate::scale::DifficultyScale;
use crate::season::model::{Priors, Response, responses};
use crate::stats::ability::{Difficulty, Likelihood, Try, TryChances, kernel};
use crate::stats::kernel::Kernel;

/// Other pupils, as far as their sittings tell.
#[derive(Debug, Default)]
pub(super) struct People<'a> {
    /// By their number in the index.
    known: BTreeMap<usize, Person<'a>>,
    papers: BTreeMap<usize, PaperOnScale<'a>>,
    /// The kernels of a day, with the paper's distance in it and without.
    days: Option<[Kernel; 2]>,
}

/// A pupil with the sittings taken in so far, in order.
#[derive(Debug)]
struct Person<'a> {
    alias: &'a Alias,
    sat: Vec<&'a Evidence>,
    likely: Option<Likelihood>,
}

/// What the scale says of a paper.
#[derive(Debug)]
struct PaperOnScale<'a> {
    of: &'a Evidence,
    is_held: bool,
    questions: BTreeMap<QuestionNo, Option<Difficulty>>,
    /// By question, its place (the bits of it) and success.
    chances: BTreeMap<(QuestionNo, u64, bool), TryChances>,
}

impl<'a> People<'a> {
    /// Takes in a group's sittings, on a scale of difficulties; what was taken in before stays where it is the same. The
    /// priors may not change.
    pub(super) fn take_in(
        &mut self,
        group: &[&Indexed<'a>],
        scale: &DifficultyScale,
        priors: &Priors,
    ) {
        let is_still = |own: &PaperOnScale<'_>| own.is_as_on(scale);
        if !(self.papers.values().all(is_still) && self.is_begun_by(group)) {
            self.known.clear();
            self.papers.clear();
        }
        let [with_paper, of_day] = self.days.get_or_insert_with(|| {
            [priors.paper, 0.0].map(|paper| kernel(priors.day().hypot(paper)))
        });
        let mut taken = BTreeMap::<usize, usize>::new();
        for one in group {
            let evidence = one.evidence;
            let person = self.known.entry(one.pupil).or_insert_with(|| Person {
                alias: &evidence.pupil,
                sat: Vec::new(),
                likely: None,
            });
            let place = taken.entry(one.pupil).or_default();
            *place += 1;
            if *place <= person.sat.len() {
                continue;
            }
            person.sat.push(evidence);
            let paper = self.papers.entry(one.paper);
            let paper = paper.or_insert_with(|| PaperOnScale::of(evidence, scale));
            let became = responses(evidence);
            let tried = evidence.answers.iter().zip(became);
            let tried = tried.filter(|(_, became)| became.is_reached());
            let tried: Vec<_> = tried
                .map(|(seen, became)| (seen, became == Response::Right))
                .collect();
            if tried.is_empty() {
                continue;
            }
            let key =
                |(seen, success): &(&Seen, bool)| (seen.number, seen.place.to_bits(), *success);
            for own in &tried {
                let (seen, success) = *own;
                let measured = paper.questions.entry(seen.number);
                let measured =
                    *measured.or_insert_with(|| scale.measured(&evidence.paper, seen.number));
                let difficulty = measured.unwrap_or_else(|| priors.difficulty.at(seen.place));
                let one = Try {
                    difficulty,
                    success,
                };
                let chances = paper.chances.entry(key(own));
                chances.or_insert_with(|| TryChances::of(one));
            }
            let chances = tried.iter().map(key);
            let chances = chances.filter_map(|key| paper.chances.get(&key));
            let day: &Kernel = if paper.is_held { of_day } else { with_paper };
            let likely = Likelihood::of(&chances.collect::<Vec<_>>(), day);
            person.likely = Some(match &person.likely {
                Some(known) => known.and(&likely),
                None => likely,
            });
        }
    }

    /// Whether what was taken in is the beginning of each pupil's sittings among these.
    fn is_begun_by(&self, group: &[&Indexed<'a>]) -> bool {
        let mut taken = BTreeMap::<usize, usize>::new();
        for one in group {
            let place = taken.entry(one.pupil).or_default();
            let own = self.known.get(&one.pupil);
            let known = own.and_then(|own| own.sat.get(*place));
            if known.is_some_and(|known| !ptr::eq(*known, one.evidence)) {
                return false;
            }
            *place += 1;
        }
        let mut known = self.known.iter();
        known.all(|(pupil, own)| {
            taken
                .get(pupil)
                .is_some_and(|count| *count >= own.sat.len())
        })
    }

    /// What is known of each who worked on anything, by alias.
    pub(super) fn likelihoods(&self) -> Vec<&Likelihood> {
        let known = self.known.values();
        let known = known.filter_map(|own| Some((own.alias, own.likely.as_ref()?)));
        let by_alias: BTreeMap<&Alias, &Likelihood> = known.collect();
        by_alias.into_values().collect()
    }
}

impl<'a> PaperOnScale<'a> {
    fn of(one: &'a Evidence, scale: &DifficultyScale) -> Self {
        Self {
            of: one,
            is_held: scale.holds(&one.paper),
            questions: BTreeMap::new(),
            chances: BTreeMap::new(),
        }
    }

    /// Whether the scale says the same of all that was asked of it.
    fn is_as_on(&self, scale: &DifficultyScale) -> bool {
        let paper = &self.of.paper;
        let mut asked = self.questions.iter();
        self.is_held == scale.holds(paper)
            && asked.all(|(number, known)| scale.measured(paper, *number) == *known)
    }
}
