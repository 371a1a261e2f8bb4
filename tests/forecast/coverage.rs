//! Simulated pupils: the 80 % interval holds about 80 % of next papers, and chances beat the base rate.

use pacebell::analysis::evidence::{Done, Evidence, Seen};
use pacebell::domain::header::Alias;
use pacebell::domain::mark::Mark;
use pacebell::domain::paper::Paper;
use pacebell::season::estimate::Estimates;
use pacebell::season::forecast::{AwardChance, Forecast};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::season::{Pupil, evidence, sample, share};

/// What a campaign found.
#[derive(Debug)]
struct Found {
    /// The share of next papers inside the interval.
    inside: f64,
    /// The mean squared error of the award chances, and of each award's base rate (Brier 1950, *Monthly Weather
    /// Review* 78, 1-3, from memory).
    brier: f64,
    base: f64,
    /// How wide the interval is on average.
    width: f64,
}

fn campaign(before: usize, pupils: usize, group: usize, seed: u64) -> Found {
    let (known, next) = (
        sample("saltmarsh-a.paper.ron"),
        sample("saltmarsh-b.paper.ron"),
    );
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let (mut inside, mut width, mut said) = (0.0, 0.0, Vec::new());
    for _ in 0..pupils {
        let pupil = Pupil::drawn(&mut random);
        let mut season: Vec<_> = (0..before)
            .map(|number| {
                // Each sitting is on questions of its own.
                let mut paper = known.clone();
                paper.outline.id = format!("heath-{number}");
                evidence("otter", &paper, &pupil.sits(25, share(&known), &mut random))
            })
            .collect();
        for other in 0..group {
            let sitting = Pupil::drawn(&mut random).sits(25, share(&known), &mut random);
            season.push(evidence(&format!("other-{other}"), &known, &sitting));
        }
        let forecast = forecast(&next, &season);
        let mark = mark(&next, &pupil.sits(25, share(&next), &mut random));
        let (low, high) = forecast.range().unwrap();
        inside += f64::from(u8::from((low..=high).contains(&mark)));
        width += high.to_f64() - low.to_f64();
        // The year's boundary is drawn from the past ones, as the forecast takes them.
        let year = &next.past[rand::RngExt::random_range(&mut random, 0..next.past.len())];
        let outcome = |award: &AwardChance| {
            (
                award.chance,
                f64::from(u8::from(mark >= year.boundaries[&award.name])),
            )
        };
        said.push(forecast.awards.iter().map(outcome).collect::<Vec<_>>());
    }
    let count = f64::from(u32::try_from(pupils).unwrap());
    let (mut brier, mut base) = (0.0, 0.0);
    for award in 0..3 {
        let rate = said.iter().map(|one| one[award].1).sum::<f64>() / count;
        brier += said
            .iter()
            .map(|one| (one[award].0 - one[award].1).powi(2))
            .sum::<f64>()
            / count
            / 3.0;
        base += rate * (1.0 - rate) / 3.0;
    }
    Found {
        inside: inside / count,
        brier,
        base,
        width: width / count,
    }
}

/// The mark of a sitting, exactly.
fn mark(paper: &Paper, sitting: &[(Seen, bool)]) -> Mark {
    let rule = &paper.outline.rule;
    let marks = sitting.iter().map(|(seen, lucky)| {
        let section = rule.section(seen.number).unwrap();
        match (seen.done, lucky) {
            (Done::Right, _) | (Done::Guessed, true) => section.right,
            (Done::Wrong, _) | (Done::Guessed, false) => section.wrong,
            (Done::Blank, _) => section.blank,
        }
    });
    rule.start + marks.sum()
}

fn forecast(paper: &Paper, season: &[Evidence]) -> Forecast {
    let estimates = Estimates::new(&Alias::new("otter").unwrap(), paper, season).unwrap();
    Forecast::new(paper, &estimates).unwrap()
}

/// Wide limits: 45 pupils have a sampling error of 6 in 100.
#[test]
fn a_small_campaign_finds_about_four_in_five_inside() {
    for (before, seed) in [(1, 1), (3, 2), (10, 3)] {
        let found = campaign(before, 45, 0, seed);
        assert!((0.65..=0.95).contains(&found.inside), "{before}: {found:?}");
        assert!(found.brier < found.base, "{before}: {found:?}");
    }
}

/// 2000 pupils: a sampling error of 1 in 100.
#[test]
#[ignore = "a campaign of some minutes"]
fn the_interval_holds_75_to_85_in_100_and_narrows_with_sittings() {
    let mut width = f64::INFINITY;
    for (before, seed) in [(1, 11), (3, 12), (10, 13)] {
        let found = campaign(before, 2000, 0, seed);
        assert!((0.75..=0.85).contains(&found.inside), "{before}: {found:?}");
        assert!(
            found.brier < found.base && found.width < width,
            "{before}: {found:?}"
        );
        width = found.width;
        let _ = std::io::Write::write_fmt(
            &mut std::io::stderr(),
            format_args!("{before} before: {found:?}\n"),
        );
    }
    let found = campaign(3, 200, 20, 14);
    assert!(
        (0.70..=0.90).contains(&found.inside),
        "with a group: {found:?}"
    );
    assert!(found.brier < found.base, "with a group: {found:?}");
}
