//! Quantiles, spread and trimmed means against exact fractions and other programs, in milliseconds.

use crate::reading::{close, json, same, table};
use pacebell::stats::summary::{
    Position, geometric_mean, iqr, logs, mad, mad_scaled, mean, median, quantile,
    rapid_threshold_ms, robust_z, sd, trimmed_mean,
};

fn series(name: &str) -> Vec<f64> {
    let values = json("series.json");
    let list = values["series"][name].as_array().unwrap();
    list.iter().map(|value| value.as_f64().unwrap()).collect()
}

#[test]
fn quantiles_agree_with_exact_fractions() {
    let mut checked = 0;
    for row in table("quantiles.csv") {
        let position = match row.text("type") {
            "6" => Position::NPlusOne,
            "7" => Position::NMinusOne,
            _ => continue,
        };
        let found = quantile(&series(row.text("series")), row.value("p"), position);
        let what = format!("{} at {}", row.text("series"), row.text("p"));
        same(found, row.number("value_exact_ms"), 1e-6, &what);
        checked += 1;
    }
    assert_eq!(checked, 84);
}

#[test]
fn middle_and_spread_agree_with_exact_fractions() {
    for row in table("series_stats.csv") {
        let name = row.text("series");
        let values = series(name);
        let seconds: Vec<f64> = values.iter().map(|ms| ms / 1000.0).collect();
        let ln = logs(&seconds).unwrap();
        let found = [
            (mean(&values), "mean_exact_ms"),
            (sd(&values), "sd_n_minus_1_ms"),
            (median(&values), "median_exact_ms"),
            (mad(&values), "mad_exact_ms"),
            (mad_scaled(&values), "mad_times_1.4826_ms"),
            (iqr(&values, Position::NPlusOne), "iqr_type6_exact_ms"),
            (iqr(&values, Position::NMinusOne), "iqr_type7_exact_ms"),
            (geometric_mean(&values), "geometric_mean_ms"),
            (mean(&ln), "mean_ln_seconds"),
            (sd(&ln), "sd_n_minus_1_ln_seconds"),
            (trimmed_mean(&values, 10), "mean_trimmed_10pct_each_end_ms"),
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
fn one_quick_answer_among_ten_stands_out() {
    // Ten times in seconds, worked out by hand: mean 80.7, so 7 s is rapid and 9 s is not.
    let times = [95.0, 110.0, 62.0, 140.0, 88.0, 7.0, 120.0, 75.0, 101.0, 9.0];
    let ms = times.map(|seconds| seconds * 1000.0);
    same(rapid_threshold_ms(&ms), Some(8070.0), 1e-9, "threshold");
    let ln = logs(&times).unwrap();
    close(
        robust_z(7.0_f64.ln(), &ln).unwrap(),
        -7.4,
        0.05,
        "z of 7 s on log time",
    );
}
