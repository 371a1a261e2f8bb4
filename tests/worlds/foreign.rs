//! Pupils of a world, sitting after sitting, with what was forecast of the next one.

use std::sync::Arc;
use std::thread;

use pacebell::analysis::evidence::Evidence;
use pacebell::domain::header::Alias;
use pacebell::domain::paper::Paper;
use pacebell::season::estimate::Estimates;
use pacebell::season::familiarity::MetInPractice;
use pacebell::season::forecast::Forecast;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::cells::{Said, number, rules};
use crate::log::{AWARDS, YEARS, evidence, named, paper};
use crate::simulator::{Hour, Pupil, Way, World};

/// How many next sittings of a pupil are drawn.
const NEXT: usize = 41;

/// What is forecast from evidence.
pub(crate) fn forecast(paper: &Paper, evidence: &[Evidence]) -> Forecast {
    let pupil = Alias::new("otter").unwrap();
    let estimates = Estimates::new(&pupil, paper, evidence, &MetInPractice::default()).unwrap();
    Forecast::new(paper, &estimates).unwrap()
}

/// One pupil's sittings; after each of these numbers of them, what is said of the next one and what comes.
pub(crate) fn pupil(world: &World, after: &[u16], seed: u64) -> Vec<Said> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let own = Pupil::of(world, &mut random);
    let (mut season, mut marks, mut said) = (Vec::new(), Vec::new(), Vec::new());
    for sitting in 0..=*after.last().unwrap() {
        if after.contains(&sitting) {
            let told = forecast(&named(world, "mock-next"), &season);
            let (low, high) = told.range().unwrap();
            let chance = |name: &str| {
                told.awards
                    .iter()
                    .find(|own| own.name == name)
                    .unwrap()
                    .chance
            };
            let mut next = || {
                let hour = Hour::of(world, &own, (sitting, false), &mut random);
                let lines = YEARS[random.random_range(0..YEARS.len())];
                (hour.sat(world, own.blanks, Way::OWN).mark, lines)
            };
            said.push(Said {
                mean: told.expected().0,
                range: (low.to_f64(), high.to_f64()),
                chances: AWARDS.map(chance),
                rules: rules(&marks),
                came: (0..NEXT).map(|_| next()).collect(),
            });
        }
        let paper = Arc::new(paper(world, sitting));
        let again = world.is_again(sitting);
        let hour = Hour::of(world, &own, (sitting, again), &mut random);
        let sat = hour.sat(world, own.blanks, Way::OWN);
        season.push(evidence("otter", sitting, &paper, &sat));
        marks.push(number(sat.mark));
    }
    said
}

/// What was said of so many pupils, by number of sittings. As many at once as the machine has cores.
pub(crate) fn pupils(world: &World, after: &[u16], pupils: u64, seed: u64) -> Vec<Vec<Said>> {
    let cores =
        thread::available_parallelism().map_or(1, |cores| u64::try_from(cores.get()).unwrap());
    let one = |core: u64| -> Vec<Vec<Said>> {
        let own = (core..pupils).step_by(usize::try_from(cores).unwrap());
        own.map(|number| pupil(world, after, seed + number))
            .collect()
    };
    let all: Vec<Vec<Said>> = thread::scope(|scope| {
        let work: Vec<_> = (0..cores)
            .map(|core| scope.spawn(move || one(core)))
            .collect();
        work.into_iter()
            .flat_map(|work| work.join().unwrap())
            .collect()
    });
    let column = |place: usize| all.iter().map(|one| one[place].clone()).collect();
    (0..after.len()).map(column).collect()
}
