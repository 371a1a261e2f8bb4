use chrono::{DateTime, TimeDelta};

use super::*;
use crate::domain::header::Alias;

/// A sitting of so many marks of which so much was said.
fn past(day: i64, mark: i64, said: Result<(f64, i64, i64), NotForecast>) -> JudgedSitting {
    let first = DateTime::parse_from_rfc3339("2026-08-28T09:00:00+01:00").unwrap();
    let awards = |chance| PastChance {
        name: "heron".into(),
        chance,
        reached: mark >= 60,
    };
    JudgedSitting {
        sitting: format!("s{day}"),
        pupil: Alias::new("otter").unwrap(),
        paper: "mock".into(),
        started: first + TimeDelta::days(day),
        before: 2,
        mark: Mark::whole(mark),
        max: Mark::whole(125),
        said: said.map(|(mean, low, high)| PastForecast {
            expected: (mean, 10.0),
            range: (Mark::whole(low), Mark::whole(high)),
            inside: (low..=high).contains(&mark),
            awards: vec![awards((mean / 125.0).min(1.0))],
        }),
    }
}

fn held(judged: usize, inside: usize) -> RangesHeld {
    RangesHeld {
        judged,
        inside,
        not_forecast: 0,
    }
}

/// The binomial distribution of 10 at 0.8: at most 5 have 0.0328, at most 6 have 0.1209; of 20: at most 12 have
/// 0.0321, at most 13 have 0.0867 (any table of it, from memory).
#[test]
fn too_few_is_what_comes_one_time_in_twenty() {
    assert!(held(10, 5).is_too_few() && !held(10, 6).is_too_few());
    assert!(held(20, 12).is_too_few() && !held(20, 13).is_too_few());
    assert!(!held(9, 0).is_too_few(), "nine are too few to judge by");
}

/// Of 10 at 0.8 at most 4 have 0.0064, at most 5 have 0.0328, and all ten 0.1074 (from memory).
#[test]
fn what_is_to_be_expected_is_the_middle_of_the_binomial_distribution() {
    assert_eq!(held(10, 0).expected(), Some((5, 10)));
    assert_eq!(held(1, 0).expected(), Some((0, 1)));
    assert_eq!(held(0, 0).expected(), None);
}

#[test]
fn ranges_widen_by_what_would_have_held_eight_in_ten() {
    // Means of 60, ranges from 50 to 80: ten marks lie 0.5, 1, 1.5 .. 5 times as far above as the range goes.
    let above = |index: i64| past(index, 60 + 10 * index, Ok((60.0, 50, 80)));
    let record = TrackRecord::new((1..=10).map(above));
    assert_eq!(record.tally(), held(10, 2));
    // The ninth of ten is the first with 8 in 10 of eleven at or below it.
    let widening = record.widening().unwrap();
    assert!((widening.factor - 4.5).abs() < 1e-12, "{widening:?}");
    assert_eq!(widening.seen, held(10, 2));
    // The same below, where the range is half as long.
    let below = |index: i64| past(index, 60 - 5 * index, Ok((60.0, 50, 80)));
    let widening = TrackRecord::new((1..=10).map(below)).widening().unwrap();
    assert!((widening.factor - 4.5).abs() < 1e-12, "{widening:?}");
}

#[test]
fn ranges_that_held_stay_as_they_are() {
    let near = |index: i64| past(index, 60 + index % 9, Ok((60.0, 50, 70)));
    assert_eq!(TrackRecord::new((1..=30).map(near)).widening(), None);
    let nine = |index: i64| past(index, 120, Ok((60.0, 50, 70)));
    assert_eq!(TrackRecord::new((1..=9).map(nine)).widening(), None);
}

#[test]
fn sittings_without_a_forecast_are_counted_and_named() {
    let record = TrackRecord::new([
        past(3, 60, Ok((60.0, 50, 70))),
        past(0, 60, Err(NotForecast::TooFew)),
        past(1, 60, Err(NotForecast::TooFew)),
        past(2, 60, Err(NotForecast::NotWhole)),
    ]);
    assert_eq!(record.tally().not_forecast, 3);
    assert_eq!(
        record.not_forecast(),
        [(NotForecast::NotWhole, 1), (NotForecast::TooFew, 2)]
    );
    let order: Vec<_> = record
        .all()
        .iter()
        .map(|one| one.sitting.as_str())
        .collect();
    assert_eq!(order, ["s0", "s1", "s2", "s3"]);
}

#[test]
fn errors_bands_and_score_are_those_of_their_definitions() {
    let record = TrackRecord::new([
        past(0, 50, Ok((62.5, 40, 80))),
        past(1, 70, Ok((62.5, 40, 80))),
        past(2, 115, Ok((112.5, 100, 120))),
    ]);
    let (mean, apart) = record.errors().unwrap();
    assert!((mean - (-12.5 + 7.5 + 2.5) / 3.0).abs() < 1e-12);
    assert!((apart - (12.5 + 7.5 + 2.5) / 3.0).abs() < 1e-12);
    let bands = record.bands();
    let counts: Vec<_> = bands.iter().map(|band| (band.count, band.came)).collect();
    assert_eq!(counts, [(2, 1), (1, 1)]);
    assert!((bands[0].said - 0.5).abs() < 1e-12 && (bands[1].said - 0.9).abs() < 1e-12);
    assert!((record.brier().unwrap() - (0.25 + 0.25 + 0.01) / 3.0).abs() < 1e-12);
    assert_eq!(TrackRecord::default().brier(), None);
}

#[test]
fn a_season_begins_in_september() {
    assert_eq!(past(3, 60, Err(NotForecast::TooFew)).season(), 2025);
    assert_eq!(past(4, 60, Err(NotForecast::TooFew)).season(), 2026);
}
