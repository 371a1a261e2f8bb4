//! Looking back goes on from one sitting of a pupil to the next; each must come out as if it were looked back at alone.

use std::sync::Arc;

use chrono::TimeDelta;
use pacebell::analysis::evidence::Evidence;
use pacebell::domain::paper::{Award, Fingerprint, Paper, PaperId};
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::standing::Exclusion;
use pacebell::season::estimate::Estimates;
use pacebell::season::familiarity::{MetInPractice, Questions};
use pacebell::season::forecast::Forecast;
use pacebell::season::hindsight::{
    JudgedSitting, LookBack, NotForecast, Papers, PastChance, PastForecast,
};
use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::season::{Pupil, evidence, sample, share};

/// Papers of one kind under names of their own, so that nothing but pupils and words links them.
fn papers() -> Vec<Paper> {
    let named = |id: &str| {
        let mut paper = sample("saltmarsh-a.paper.ron");
        paper.outline.id = id.to_owned();
        paper
    };
    ["one", "two", "three", "four"].map(named).into()
}

/// Pupils who sit now this paper and now that one, now with words in their files and now without.
fn group(papers: &[Paper], random: &mut ChaCha8Rng) -> Vec<Evidence> {
    let mut all = Vec::new();
    for pupil in 0..7 {
        let own = Pupil::drawn(random);
        for day in 0..random.random_range(2..7_i64) {
            let at = random.random_range(0..papers.len());
            let paper = &papers[at];
            let sitting = own.sits(25, share(paper), random);
            let mut one = evidence(&format!("pupil-{pupil}"), paper, &sitting);
            one.sitting = format!("{pupil}-{day}");
            let hours = random.random_range(0..5);
            one.started += TimeDelta::days(day / 2 + random.random_range(0..2))
                + TimeDelta::hours(hours)
                + TimeDelta::minutes(day);
            // Two papers share the last ten of their questions; of some files the words are unknown.
            let words = |number: u16| {
                let paper = if number > 15 { at / 2 } else { 10 + at };
                let words = Fingerprint::of([format!("{paper} {number}").as_str()]);
                (QuestionNo(number), words)
            };
            one.texts.clear();
            if at > 0 && random.random_range(0..5) > 0 {
                one.texts = (1..=25).map(words).collect();
            }
            if random.random_range(0..12) == 0 {
                one.not_whole = Some(Exclusion::Part);
            }
            all.push(one);
        }
    }
    all
}

/// What was there before a sitting by the words of the documentation, and the forecast that it gives.
fn alone(
    one: &Evidence,
    all: &[Evidence],
    practised: &MetInPractice,
    papers: &Papers,
) -> Result<PastForecast, NotForecast> {
    if !one.is_whole() {
        return Err(NotForecast::NotWhole);
    }
    let mut before = Vec::new();
    for other in all {
        let is_before = if other.pupil == one.pupil {
            other.started < one.started
        } else {
            other.started.date_naive() < one.started.date_naive()
        };
        if is_before {
            before.push(other.clone());
        }
    }
    let paper = &papers[&one.paper];
    let practised = practised.before(one.started);
    let estimates = Estimates::new(&one.pupil, paper, &before, &practised).unwrap();
    if !estimates.are_enough() {
        return Err(NotForecast::TooFew);
    }
    let told = Forecast::with_met(paper, &estimates.model, &estimates.scale).unwrap();
    let range = told.range().unwrap();
    let chance = |award: &Award| PastChance {
        name: award.name.clone(),
        chance: told
            .awards
            .iter()
            .find(|own| own.name == award.name)
            .unwrap()
            .chance,
        reached: one.totals.in_time >= award.boundary,
    };
    Ok(PastForecast {
        expected: told.expected(),
        range,
        inside: range.0 <= one.totals.in_time && one.totals.in_time <= range.1,
        awards: paper.outline.awards.iter().map(chance).collect(),
    })
}

#[test]
fn each_look_back_is_the_one_that_its_sitting_alone_would_have_to_the_last_digit() {
    let shelf = papers();
    let papers: Papers = shelf
        .iter()
        .map(|paper| (PaperId::of(&paper.outline), Arc::new(paper.clone())))
        .collect();
    let (mut forecast, mut declined, mut linked) = (0, 0, 0);
    for seed in 0..4 {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let mut all = group(&shelf, &mut random);
        if seed > 0 {
            all.shuffle(&mut random);
        }
        let opened = |one: &Evidence| (one.started, Questions::of_evidence(one));
        let opened: Vec<_> = all.iter().take(4).map(opened).collect();
        let practised = MetInPractice::opened(&all[0].pupil, &opened);
        let look = LookBack::over(&all, &practised, &papers);
        let mut found = look.at(&all.iter().collect::<Vec<_>>());
        assert_eq!(found.len(), all.len());
        for one in &all {
            let at = found.iter().position(|own| own.sitting == one.sitting);
            let JudgedSitting { said, .. } = found.swap_remove(at.unwrap());
            let expected = alone(one, &all, &practised, &papers);
            assert_eq!(said, expected, "seed {seed}, {}", one.sitting);
            forecast += usize::from(said.is_ok());
            declined += usize::from(said.is_err());
        }
        let paper = &shelf[0];
        let whole = Estimates::new(&all[0].pupil, paper, &all, &practised).unwrap();
        linked += usize::from(whole.scale.people > 0);
    }
    assert!(
        forecast > 20 && declined > 20 && linked > 2,
        "{forecast} {declined} {linked}"
    );
}
