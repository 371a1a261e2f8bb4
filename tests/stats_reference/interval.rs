//! Intervals for a proportion against 40-digit arithmetic and printed tables.

use crate::reading::{close, table};
use pacebell::stats::interval::wilson;

#[test]
fn intervals_agree_with_forty_digit_arithmetic() {
    let mut checked = 0;
    for row in table("intervals.csv") {
        let (x, n, level) = (row.count("x"), row.count("n"), row.value("level"));
        if row.text("method") != "wilson" {
            continue;
        }
        let what = format!("{x}/{n} at {level}");
        let found = wilson(x, n, level).unwrap();
        close(found.low, row.value("low"), 1e-9, &what);
        close(found.high, row.value("high"), 1e-9, &what);
        checked += 1;
    }
    assert_eq!(checked, 57);
}

/// Newcombe (1998), *Statistics in Medicine* 17, 857-872, Table I; the printed limits from memory.
#[test]
fn newcombes_examples_come_out_as_printed() {
    let printed = [
        (81, 263, [0.2553, 0.3662]),
        (15, 148, [0.0624, 0.1605]),
        (0, 20, [0.0, 0.1611]),
        (1, 29, [0.0061, 0.1718]),
    ];
    for (x, n, [low, high]) in printed {
        let found = wilson(x, n, 0.95).unwrap();
        close(found.low, low, 5.1e-5, &format!("{x}/{n}: low"));
        close(found.high, high, 5.1e-5, &format!("{x}/{n}: high"));
    }
}
