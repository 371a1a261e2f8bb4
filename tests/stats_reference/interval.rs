//! Intervals for a proportion against 40-digit arithmetic and printed tables.

use crate::reading::{close, table};
use pacebell::stats::interval::{Interval, clopper_pearson, jeffreys, wilson, wilson_corrected};

#[test]
fn intervals_agree_with_forty_digit_arithmetic() {
    let mut checked = 0;
    for row in table("intervals.csv") {
        let (x, n, level) = (row.count("x"), row.count("n"), row.value("level"));
        let found = match row.text("method") {
            "wilson" => wilson(x, n, level),
            "wilson_cc" => wilson_corrected(x, n, level),
            "clopper_pearson" => clopper_pearson(x, n, level),
            "jeffreys_end_rule" => jeffreys(x, n, level),
            _ => continue,
        };
        let what = format!("{} of {x}/{n} at {level}", row.text("method"));
        let found = found.unwrap();
        close(found.low, row.value("low"), 1e-9, &what);
        close(found.high, row.value("high"), 1e-9, &what);
        checked += 1;
    }
    assert_eq!(checked, 4 * 57);
}

/// Newcombe (1998), *Statistics in Medicine* 17, 857-872, Table I; the printed limits from memory.
#[test]
fn newcombes_examples_come_out_as_printed() {
    let printed = [
        (81, 263, [0.2553, 0.3662, 0.2535, 0.3682, 0.2527, 0.3676]),
        (15, 148, [0.0624, 0.1605, 0.0598, 0.1644, 0.0578, 0.1617]),
        (0, 20, [0.0, 0.1611, 0.0, 0.2005, 0.0, 0.1684]),
        (1, 29, [0.0061, 0.1718, 0.0018, 0.1963, 0.0009, 0.1776]),
    ];
    for (x, n, limits) in printed {
        let found: Vec<f64> = [wilson, wilson_corrected, clopper_pearson]
            .iter()
            .filter_map(|of| of(x, n, 0.95))
            .flat_map(|Interval { low, high }| [low, high])
            .collect();
        assert_eq!(found.len(), limits.len());
        for (found, expected) in found.iter().zip(limits) {
            close(*found, expected, 5.1e-5, &format!("{x}/{n}"));
        }
    }
}

#[test]
fn the_corrected_interval_agrees_with_a_printed_one() {
    // https://search.r-project.org/CRAN/refmans/statpsych/html/ci.prop1.html
    let found = wilson_corrected(12, 100, 0.95).unwrap();
    close(found.low, 0.066_251_53, 5.1e-8, "low");
    close(found.high, 0.203_977_2, 5.1e-8, "high");
}
