//! The mark's distribution against exact rational enumeration, and against published guessing examples.

use crate::reading::{Row, chance, close, fraction, json, table};
use pacebell::stats::luck::{Chance, Distribution, total};

/// All grids here are quarter marks: the finest that the cases use.
const GRID: f64 = 4.0;

fn guesses(n: usize, p: f64) -> Distribution {
    total(
        0,
        &vec![
            Chance {
                right: 1,
                wrong: 0,
                p
            };
            n
        ],
    )
    .unwrap()
}

fn check(sum: &Distribution, row: &Row, k: &str, names: [&str; 3]) {
    let value = row.whole(k);
    let what = format!("{names:?} at {value}");
    chance(sum.pmf(value), row.value(names[0]), &what);
    chance(sum.at_most(value), row.value(names[1]), &what);
    chance(sum.at_least(value), row.value(names[2]), &what);
}

#[test]
fn equal_chances_give_the_binomial_distribution() {
    for row in table("binomial.csv") {
        let sum = guesses(row.count("n"), row.value("p"));
        check(&sum, &row, "k", ["pmf", "cdf_at_most_k", "tail_at_least_k"]);
        chance(
            sum.at_least(row.whole("k") + 1),
            row.value("tail_more_than_k"),
            "tail",
        );
    }
}

#[test]
fn unequal_chances_give_the_poisson_binomial_distribution() {
    let rows = table("poisson_binomial.csv");
    for case in table("poisson_binomial_cases.csv") {
        let chances: Vec<f64> = case
            .text("probabilities")
            .split_whitespace()
            .map(fraction)
            .collect();
        let ones: Vec<Chance> = chances
            .iter()
            .map(|&p| Chance {
                right: 1,
                wrong: 0,
                p,
            })
            .collect();
        let sum = total(0, &ones).unwrap();
        close(sum.mean(), case.value("mean_exact"), 1e-12, "mean");
        close(
            sum.variance(),
            case.value("variance_exact"),
            1e-12,
            "variance",
        );
        let mine: Vec<&Row> = rows
            .iter()
            .filter(|row| row.text("case") == case.text("case"))
            .collect();
        assert_eq!(mine.len(), chances.len() + 1);
        for row in mine {
            check(&sum, row, "k", ["pmf", "cdf_at_most_k", "tail_at_least_k"]);
        }
    }
}

/// A mark such as `-0.75` in quarter marks.
fn quarters(mark: &str) -> i64 {
    let scaled = fraction(mark) * GRID;
    format!("{scaled:.0}").parse().unwrap()
}

fn case(name: &str) -> Distribution {
    let cases = json("total_marks_cases.json");
    let case = &cases[name];
    let text = |value: &serde_json::Value| value.as_str().unwrap().to_owned();
    let mut chances = Vec::new();
    for block in case["blocks"].as_array().unwrap() {
        let n = usize::try_from(block["n"].as_u64().unwrap()).unwrap();
        let one = Chance {
            right: quarters(&text(&block["right"])),
            wrong: quarters(&text(&block["wrong"])),
            p: fraction(&text(&block["p"])),
        };
        chances.extend(std::iter::repeat_n(one, n));
    }
    total(quarters(&text(&case["start"])), &chances).unwrap()
}

#[test]
fn unequal_marks_give_the_exact_distribution_of_the_total() {
    let rows = table("total_marks.csv");
    for summary in table("total_marks_summary.csv") {
        let name = summary.text("case");
        let sum = case(name);
        let mine: Vec<&Row> = rows.iter().filter(|row| row.text("case") == name).collect();
        assert_eq!(
            sum.iter().count(),
            mine.len(),
            "{name}: totals that can happen"
        );
        for row in mine {
            let value = quarters(row.text("total_mark"));
            let what = format!("{name} at {}", row.text("total_mark"));
            chance(sum.pmf(value), row.value("prob"), &what);
            chance(sum.at_most(value), row.value("cdf_at_most"), &what);
            chance(sum.at_least(value), row.value("tail_at_least"), &what);
        }
        close(sum.mean() / GRID, summary.value("mean"), 1e-12, name);
        close(
            sum.variance() / GRID / GRID,
            summary.value("variance"),
            1e-10,
            name,
        );
        close(sum.sd() / GRID, summary.value("sd"), 1e-11, name);
        assert_eq!(sum.min(), quarters(summary.text("min")), "{name}: min");
        assert_eq!(sum.max(), quarters(summary.text("max")), "{name}: max");
        let median = summary.text("median_lowest_with_cdf_half");
        assert_eq!(sum.median(), quarters(median), "{name}: median");
        assert_eq!(sum.mode(), quarters(summary.text("mode")), "{name}: mode");
        chance(sum.at_most(-1), summary.value("p_negative"), name);
        for mark in ["0", "1", "10", "20", "30", "40", "50", "60"] {
            let expected = summary.value(&format!("p_at_least_{mark}"));
            chance(sum.at_least(quarters(mark)), expected, name);
        }
    }
}

#[test]
fn nine_blind_guesses_at_five_options_agree_with_a_printed_answer() {
    // Printed (the last one cut, not rounded) at http://mathforum.org/library/drmath/view/56561.html
    let sum = guesses(9, 0.2);
    close(sum.pmf(5), 0.016_515, 5.1e-7, "P(5)");
    close(sum.pmf(6), 0.002_752_5, 5.1e-8, "P(6)");
    close(sum.pmf(2), 0.301_989, 1e-6, "P(2)");
    close(sum.pmf(0), 0.134_217_7, 5.1e-8, "P(0)");
    close(sum.at_most(1), 0.436_21, 5.1e-6, "P(<2)");
}

#[test]
fn twenty_blind_guesses_at_five_options_agree_with_a_printed_answer() {
    // http://onlinedegreesupport.com/business_stat_prob2.html
    let sum = guesses(20, 0.2);
    close(sum.at_least(11), 0.0006, 5.1e-5, "P(>10)");
    close(sum.pmf(8), 0.0222, 5.1e-5, "P(8)");
    close(sum.at_most(7), 0.9678, 1e-4, "P(<=7)");
}

#[test]
fn twenty_five_blind_guesses_are_worth_what_arithmetic_says() {
    // 15 at 5 marks and 10 at 6: 15 + 12. With five of the six-markers losing 1 and five losing 2: 15.
    let plain = |right, wrong| Chance {
        right,
        wrong,
        p: 0.2,
    };
    let free = [vec![plain(5, 0); 15], vec![plain(6, 0); 10]].concat();
    close(total(0, &free).unwrap().mean(), 27.0, 1e-12, "nothing lost");
    let costly = [
        vec![plain(5, 0); 15],
        vec![plain(6, -1); 5],
        vec![plain(6, -2); 5],
    ]
    .concat();
    close(total(0, &costly).unwrap().mean(), 15.0, 1e-12, "marks lost");
}

#[test]
fn crossing_out_options_is_worth_a_whole_mark_over_blind_guesses() {
    // Two at 1/2, three at 1/3, five at 1/5; the fractions were worked out by hand.
    let chances = [vec![0.5; 2], vec![1.0 / 3.0; 3], vec![0.2; 5]].concat();
    let ones: Vec<Chance> = chances
        .iter()
        .map(|&p| Chance {
            right: 1,
            wrong: 0,
            p,
        })
        .collect();
    let sum = total(0, &ones).unwrap();
    close(sum.mean(), 3.0, 1e-12, "mean");
    // None right: 1/4 * 8/27 * 1024/3125.
    close(sum.pmf(0), 8192.0 / 337_500.0, 1e-15, "none right");
}
