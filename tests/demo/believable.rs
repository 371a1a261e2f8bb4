//! A season looks like one: what should go up goes up, what should go down goes down.
//!
//! The bounds are ours: there is no published group that sat these papers.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use std::sync::Arc;

use pacebell::analysis::{Analysis, Marks};
use pacebell::domain::event::How;
use pacebell::domain::header::{Alias, Mode};
use pacebell::domain::key::Key;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::sitting::Sitting;
use pacebell::invented::Made;
use pacebell::storage::files::key;
use pacebell::storage::journal::Record;

use crate::lived::made;

const SEEDS: [u64; 3] = [1, 2, 3];

static KEYS: LazyLock<[Key; 3]> = LazyLock::new(|| {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/sample-papers");
    let load = |paper: &str| key::load(format!("{folder}/{paper}.key.ron").as_ref()).unwrap();
    ["saltmarsh-a", "saltmarsh-b", "saltmarsh-old"].map(load)
});

fn key_of(paper: &str) -> &'static Key {
    KEYS.iter().find(|key| key.paper == paper).unwrap()
}

fn sitting(made: &Made) -> Sitting {
    let record = Record::new("x".as_ref(), made.header.clone(), made.events.clone());
    record.unwrap().sitting()
}

fn mark(made: &Made) -> f64 {
    let key = key_of(&made.header.paper.id);
    let marks = Marks::of(&sitting(made), key, &made.header.paper).unwrap();
    marks.in_time.total.to_f64()
}

fn blanks(made: &Made) -> f64 {
    let blank = |row: &&pacebell::domain::sitting::Row| row.in_time.is_none();
    f64::from(u32::try_from(sitting(made).rows().iter().filter(blank).count()).unwrap())
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / f64::from(u32::try_from(values.len()).unwrap())
}

/// The whole sittings of a whole paper under the rule of now.
fn whole(season: &[Made]) -> Vec<&Made> {
    let wanted = |one: &&Made| {
        let header = &one.header;
        header.arrangements.only.is_none() && header.paper.id != "saltmarsh-old" && one.is_whole()
    };
    season.iter().filter(wanted).collect()
}

/// First and last sitting of the same paper, where a pupil sat it twice.
fn pairs(season: &[Made]) -> Vec<(&Made, &Made)> {
    let mut by_pupil: BTreeMap<(&Alias, &str), Vec<&Made>> = BTreeMap::new();
    for one in whole(season) {
        let own = (&one.header.pupil, one.header.paper.id.as_str());
        by_pupil.entry(own).or_default().push(one);
    }
    let twice = by_pupil.into_values().filter(|sittings| sittings.len() > 1);
    twice
        .map(|sittings| (sittings[0], sittings[sittings.len() - 1]))
        .collect()
}

#[test]
fn marks_go_with_strength() {
    for seed in SEEDS {
        let season = made(seed, 24);
        let mut pupils: BTreeMap<&Alias, (f64, Vec<f64>)> = BTreeMap::new();
        for one in whole(&season) {
            let own = pupils
                .entry(&one.header.pupil)
                .or_insert((one.strength, vec![]));
            own.1.push(mark(one));
        }
        let mut pupils: Vec<_> = pupils
            .values()
            .map(|(s, marks)| (*s, mean(marks)))
            .collect();
        pupils.sort_by(|a, b| a.0.total_cmp(&b.0));
        let marks: Vec<_> = pupils.iter().map(|(_, mark)| *mark).collect();
        let (low, high) = (mean(&marks[..8]), mean(&marks[16..]));
        assert!(high > low + 15.0, "seed {seed}: {low} and {high} of 125");
        let all = mean(&marks);
        assert!((50.0..80.0).contains(&all), "seed {seed}: {all} of 125");
    }
}

#[test]
fn marks_rise_and_blanks_in_time_fall_over_the_season() {
    for seed in SEEDS {
        let season = made(seed, 24);
        let pairs = pairs(&season);
        assert!(pairs.len() > 30);
        let rise: Vec<_> = pairs.iter().map(|(a, b)| mark(b) - mark(a)).collect();
        assert!(mean(&rise) > 3.0, "seed {seed}: {}", mean(&rise));
        let fall: Vec<_> = pairs.iter().map(|(a, b)| blanks(a) - blanks(b)).collect();
        assert!(mean(&fall) > 0.3, "seed {seed}: {}", mean(&fall));
    }
}

/// What is seen in a sitting by the same analysis that every page uses.
#[test]
fn a_season_has_sweeps_second_passes_and_long_stays_and_no_batches() {
    let (mut sweeps, mut long, mut again) = (0, 0, 0);
    for one in made(1, 12)
        .iter()
        .filter(|one| one.header.mode == Mode::Timed)
    {
        let events = one.events.as_slice().into();
        let pacing = Analysis::of(Arc::new(one.header.clone()), events, Arc::default());
        sweeps += usize::from(pacing.sweep().is_some());
        again += usize::from(pacing.questions().iter().any(|pace| pace.visits > 1));
        let times = pacing.questions().iter();
        let times = times.filter_map(|pace| pacing.time_on(pace.number));
        let stays = times.filter(|time| time.as_seconds() > 300.0);
        long += stays.count();
        assert!(pacing.trust().blocks().is_empty(), "{}", one.header.sitting);
    }
    assert!(
        sweeps >= 5 && long >= 15 && again >= 40,
        "{sweeps} {long} {again}"
    );
}

/// Of four wrong options, the one that draws most has well over a quarter.
#[test]
fn wrong_answers_gather_on_the_tempting_options() {
    let season = made(1, 24);
    let mut wrong: BTreeMap<(&str, QuestionNo), BTreeMap<char, u32>> = BTreeMap::new();
    for one in whole(&season) {
        let key = key_of(&one.header.paper.id);
        for row in sitting(one).rows() {
            let Some(given) = row.in_time.filter(|given| given.how == How::Worked) else {
                continue;
            };
            if !key.accepts(row.number, given.option) {
                let own = wrong.entry((&one.header.paper.id, row.number)).or_default();
                *own.entry(given.option.as_char()).or_default() += 1;
            }
        }
    }
    let sum = |counts: &BTreeMap<char, u32>| counts.values().sum::<u32>();
    let enough = wrong.values().filter(|counts| sum(counts) >= 12);
    let shares =
        enough.map(|counts| f64::from(*counts.values().max().unwrap()) / f64::from(sum(counts)));
    let shares: Vec<_> = shares.collect();
    assert!(shares.len() > 15, "{}", shares.len());
    assert!(mean(&shares) > 0.45, "{}", mean(&shares));
}
