//! Quantiles, middle and spread against exact fractions and other programs, in milliseconds.

use crate::reading::{json, same, table};
use pacebell::stats::summary::{mean, median, quantile, rapid_threshold_ms, sd};

fn series(name: &str) -> Vec<f64> {
    let values = json("series.json");
    let list = values["series"][name].as_array().unwrap();
    list.iter().map(|value| value.as_f64().unwrap()).collect()
}

#[test]
fn quantiles_agree_with_exact_fractions() {
    let mut checked = 0;
    for row in table("quantiles.csv") {
        if row.text("type") != "7" {
            continue;
        }
        let found = quantile(&series(row.text("series")), row.value("p"));
        let what = format!("{} at {}", row.text("series"), row.text("p"));
        same(found, row.number("value_exact_ms"), 1e-6, &what);
        checked += 1;
    }
    assert_eq!(checked, 42);
}

#[test]
fn middle_and_spread_agree_with_exact_fractions() {
    for row in table("series_stats.csv") {
        let name = row.text("series");
        let values = series(name);
        let found = [
            (mean(&values), "mean_exact_ms"),
            (sd(&values), "sd_n_minus_1_ms"),
            (median(&values), "median_exact_ms"),
        ];
        for (value, column) in found {
            same(
                value,
                row.number(column),
                1e-6,
                &format!("{name}: {column}"),
            );
        }
    }
}

#[test]
fn a_tenth_of_the_mean_is_rapid_but_never_more_than_ten_seconds() {
    // Wise & Ma (2012); the cap from memory. Mean 45 s gives 4.5 s; mean 130 s gives 10 s, not 13.
    same(
        rapid_threshold_ms(&[30_000.0, 60_000.0]),
        Some(4500.0),
        1e-9,
        "a tenth",
    );
    same(
        rapid_threshold_ms(&[130_000.0; 3]),
        Some(10_000.0),
        1e-9,
        "the cap",
    );
}

#[test]
fn one_quick_answer_among_ten_is_rapid() {
    // Ten times in seconds, worked out by hand: mean 80.7, so 7 s is rapid and 9 s is not.
    let times = [95.0, 110.0, 62.0, 140.0, 88.0, 7.0, 120.0, 75.0, 101.0, 9.0];
    let ms = times.map(|seconds| seconds * 1000.0);
    same(rapid_threshold_ms(&ms), Some(8070.0), 1e-9, "threshold");
}
