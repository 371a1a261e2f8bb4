//! The thresholds: named once, each with a source or the admission that there is none; and the
//! worked examples of the threshold for rapid answers.

use pacebell::domain::time::Elapsed;
use pacebell::stats::summary::{mean, median, rapid_threshold_ms};
use pacebell::words::thresholds::{Limit, NO_SOURCE, Thresholds, described};

#[test]
fn every_threshold_is_named_once_and_says_where_it_comes_from() {
    let described = described(&Thresholds::default());
    let mut names: Vec<_> = described.iter().map(|one| one.name).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), Limit::ALL.len() + 1);
    assert!(
        described
            .iter()
            .all(|one| !one.source.is_empty() && !one.own)
    );
    assert!(described.iter().any(|one| one.source != NO_SOURCE));
    for limit in Limit::ALL {
        let about = limit.about();
        assert_eq!(Limit::named(about.name), Some(limit));
        assert!(
            (about.least..=about.most).contains(&about.usual),
            "{about:?}"
        );
    }
}

#[test]
fn a_threshold_can_be_set_within_reason() {
    let mut own = Thresholds::default();
    assert!(own.set(Limit::LongTimes, "2.5".parse().unwrap()));
    assert_eq!(
        own.times(Limit::LongTimes, Elapsed::seconds(144)),
        Elapsed::seconds(360)
    );
    assert!(own.is_own(Limit::LongTimes));
    assert!(!own.set(Limit::BatchShare, "3".parse().unwrap()));
    assert_eq!(own.get(Limit::BatchShare), "1/4".parse().unwrap());
}

/// Wise & Ma (2012): a tenth of the mean; the cap of 10 s is from memory. Means of 45 s and 130 s
/// give 4.5 s and 10 s; the ten times below (seconds) have the mean 80.7 s, so that 7 s is flagged
/// and 9 s is not; on the median, 91.5 s, it would be 9.15 s (computed independently, no published
/// source for the case).
#[test]
fn a_tenth_of_the_groups_mean_at_most_ten_seconds() {
    let close = |one: Option<f64>, other: f64| (one.unwrap() - other).abs() < 1e-9;
    assert!(close(rapid_threshold_ms(&[45_000.0]), 4_500.0));
    assert!(close(rapid_threshold_ms(&[130_000.0]), 10_000.0));
    let times = [95.0, 110.0, 62.0, 140.0, 88.0, 7.0, 120.0, 75.0, 101.0, 9.0];
    let times = times.map(|seconds| seconds * 1000.0);
    assert!(close(mean(&times), 80_700.0));
    let threshold = rapid_threshold_ms(&times);
    assert!(close(threshold, 8_070.0));
    let flagged: Vec<_> = times
        .iter()
        .filter(|time| **time < threshold.unwrap())
        .collect();
    assert_eq!(flagged, [&7_000.0]);
    assert!(close(median(&times), 91_500.0));
}
