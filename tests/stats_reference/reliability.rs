//! Reliability coefficients against published examples.

use crate::reading::{close, same};
use pacebell::stats::reliability::{kr20, kr21, sem};
use pacebell::stats::summary::sd;

#[test]
fn ten_students_at_ten_items_have_the_published_sums() {
    // https://core.ecu.edu/wuenschk/StatHelp/KR20.txt prints sum of p q 2.18 and variance 5.84.
    let rows = [
        "1111110110",
        "1011011101",
        "1111011001",
        "0010001000",
        "0000010010",
        "1110111111",
        "1101110111",
        "1111111101",
        "0101111101",
        "1101101110",
    ];
    let right = |row: &str| row.matches('1').count();
    let totals: Vec<f64> = rows
        .iter()
        .map(|row| f64::from(u8::try_from(right(row)).unwrap()))
        .collect();
    // The SD has n - 1 below the line, the variance of the formula n.
    let spread = sd(&totals).unwrap().powi(2) * 0.9;
    close(spread, 5.84, 1e-9, "variance");
    let sum_pq: f64 = (0..10)
        .map(|item| {
            let right = rows
                .iter()
                .filter(|row| row.as_bytes()[item] == b'1')
                .count();
            let p = f64::from(u8::try_from(right).unwrap()) / 10.0;
            p * (1.0 - p)
        })
        .sum();
    close(sum_pq, 2.18, 1e-9, "sum of p q");
    // The page prints no coefficient: 10/9 (1 - 2.18/5.84), and 10/9 (1 - 6.6 * 3.4 / 58.4).
    same(
        kr20(sum_pq, spread, 10),
        Some(0.696_347_031_963_470_3),
        1e-12,
        "KR-20",
    );
    same(
        kr21(6.6, spread, 10),
        Some(0.684_170_471_841_704_8),
        1e-12,
        "KR-21",
    );
}

#[test]
fn standard_errors_come_out_as_printed() {
    // https://openknowledgegraph.com/topics/standard-error-of-measurement-questions.html
    same(sem(15.0, 0.84), Some(6.0), 1e-9, "SD 15");
    same(sem(12.0, 0.81), Some(5.2), 0.051, "SD 12");
    same(sem(12.0, 0.96), Some(2.4), 1e-9, "SD 12, more reliable");
}
