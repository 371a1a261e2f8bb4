//! Rasch difficulties, fit and measures against other programs, a published table and known truth.

use crate::cohort::cohort;
use crate::reading::{close, same, table};
use pacebell::stats::rasch::{
    Answers, Calibration, ItemMeasure, Measure, bayes, calibrate, expected_right, most_likely, warm,
};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

fn five_items() -> Vec<Vec<Option<bool>>> {
    let items = ["I1", "I2", "I3", "I4", "I5"];
    let rows = table("lsat6.csv");
    rows.iter()
        .map(|row| items.map(|item| Some(row.text(item) == "1")).to_vec())
        .collect()
}

fn sixteen_items() -> Vec<Vec<Option<bool>>> {
    let people = cohort("iqitems");
    let right = |row: &Vec<u8>| {
        row.iter()
            .zip(&people.keys)
            .map(|(a, k)| Some(a == k))
            .collect()
    };
    people.rows.iter().map(right).collect()
}

fn calibrated(rows: &[Vec<Option<bool>>]) -> Calibration {
    let mut answers = Answers::new(rows[0].len());
    for row in rows {
        answers.add(row).unwrap();
    }
    calibrate(&answers).unwrap()
}

fn measured(found: &Calibration) -> Vec<ItemMeasure> {
    found.items.iter().map(|item| item.unwrap()).collect()
}

/// Both reference cohorts: all answers, and the name of their tables.
fn both() -> [(&'static str, Vec<Vec<Option<bool>>>); 2] {
    [("lsat6", five_items()), ("iqitems", sixteen_items())]
}

#[test]
fn difficulties_errors_and_fit_agree() {
    for (prefix, rows) in both() {
        let found = calibrated(&rows);
        let expected = table(&format!("{prefix}_rasch_items.csv"));
        assert_eq!(expected.len(), found.items.len());
        for (row, item) in expected.iter().zip(measured(&found)) {
            let what = format!("{prefix} {}", row.text("item"));
            close(item.difficulty, row.value("cml_difficulty"), 1e-9, &what);
            close(item.error, row.value("cml_se"), 1e-9, &what);
            close(item.infit, row.value("infit_msq"), 1e-6, &what);
            close(item.outfit, row.value("outfit_msq"), 1e-6, &what);
        }
        for row in table(&format!("{prefix}_rasch_summary.csv")) {
            match row.text("statistic") {
                "cml_loglik" => close(found.log_likelihood, row.value("value"), 1e-7, prefix),
                "n_persons_scores_1_to_K_minus_1" => assert_eq!(found.people, row.count("value")),
                _ => {}
            }
        }
    }
}

#[test]
fn measures_agree_at_every_number_right() {
    for (prefix, rows) in both() {
        let found = calibrated(&rows);
        let difficulties: Vec<f64> = measured(&found)
            .iter()
            .map(|item| item.difficulty)
            .collect();
        for row in table(&format!("{prefix}_rasch_persons.csv")) {
            let right = row.count("raw_score");
            let cases = [
                (most_likely(&difficulties, right), "mle", "mle_se"),
                (warm(&difficulties, right), "wle", "wle_se"),
                (bayes(&difficulties, right, 0.0, 1.0), "eap_n01", "eap_sd"),
            ];
            for (measure, value, error) in cases {
                let what = format!("{prefix} {right} right: {value}");
                same(
                    measure.map(|found| found.value),
                    row.number(value),
                    1e-6,
                    &what,
                );
                same(
                    measure.map(|found| found.error),
                    row.number(error),
                    1e-5,
                    &what,
                );
            }
        }
    }
}

#[test]
fn booklets_that_share_questions_agree_with_listing_every_pattern() {
    let mut rows = five_items();
    for (index, row) in rows.iter_mut().enumerate() {
        let left_out: &[usize] = match (index + 1) % 3 {
            0 => &[0],
            1 => &[4],
            _ => &[1, 2],
        };
        for item in left_out {
            row[*item] = None;
        }
    }
    let found = calibrated(&rows);
    for (row, item) in table("lsat6_linked.csv").iter().zip(measured(&found)) {
        close(
            item.difficulty,
            row.value("difficulty"),
            1e-9,
            row.text("item"),
        );
        close(item.error, row.value("se"), 1e-9, row.text("item"));
        assert_eq!(item.people, row.count("people"));
        close(
            found.log_likelihood,
            row.value("log_likelihood"),
            1e-8,
            "log-likelihood",
        );
    }
}

fn values(
    of: impl Fn(usize) -> Option<Measure>,
    rights: std::ops::RangeInclusive<usize>,
) -> Vec<f64> {
    rights
        .filter_map(|right| of(right).map(|found| found.value))
        .collect()
}

#[test]
fn five_spread_questions_give_the_measures_of_fischer_and_molenaar() {
    // Fischer & Molenaar (1995), Rasch Models, Table 4.1 p. 59, as quoted on a web page; two decimals.
    let difficulties = [-1.5, -0.75, 0.0, 0.75, 1.5];
    let likely = values(|right| most_likely(&difficulties, right), 0..=5);
    let weighted = values(|right| warm(&difficulties, right), 0..=5);
    let expected: [&[f64]; 2] = [
        &[-1.70, -0.51, 0.51, 1.70],
        &[-2.95, -1.45, -0.46, 0.46, 1.45, 2.95],
    ];
    for (found, expected) in [likely, weighted].iter().zip(expected) {
        assert_eq!(found.len(), expected.len());
        for (found, expected) in found.iter().zip(expected) {
            close(*found, *expected, 0.0051, "printed measure");
        }
    }
}

#[test]
fn equal_questions_have_warms_estimate_in_closed_form() {
    // ln((x + 1/2) / (n + 1/2 - x)): Bechger & Partchev (2020), Hot on the Trail of Warm.
    for right in 0..=10u8 {
        let expected = ((f64::from(right) + 0.5) / (10.5 - f64::from(right))).ln();
        let found = warm(&[0.0; 10], usize::from(right)).unwrap();
        close(found.value, expected, 1e-10, "closed form");
    }
}

#[test]
fn a_mark_on_a_harder_paper_is_worth_more_on_the_first() {
    // Twenty-five made-up difficulties; the figures were solved by another program to four digits.
    let first = [
        -2.0, -1.8, -1.6, -1.4, -1.2, -1.0, -0.9, -0.8, -0.6, -0.5, -0.3, -0.1, 0.0, 0.1, 0.3, 0.5,
        0.6, 0.8, 1.0, 1.2, 1.4, 1.6, 1.8, 2.0, 2.4,
    ];
    let expected = [
        (5, -1.7301, 0.547),
        (10, -0.4945, 0.468),
        (13, 0.1512, 0.463),
        (15, 0.5866, 0.4715),
        (17, 1.0475, 0.491),
        (20, 1.8534, 0.556),
        (23, 3.0872, 0.777),
    ];
    for (right, value, error) in expected {
        let found = most_likely(&first, right).unwrap();
        close(found.value, value, 5.1e-5, "measure");
        close(found.error, error, 5.1e-4, "error");
    }
    let harder = first.map(|difficulty| difficulty + 0.4);
    let pupil = most_likely(&harder, 13).unwrap();
    close(pupil.value, 0.5512, 5.1e-5, "13 on the harder paper");
    close(
        expected_right(pupil.value, &first),
        14.84,
        0.0051,
        "on the first paper",
    );
    let other = most_likely(&first, 15).unwrap();
    close(
        expected_right(other.value, &harder),
        13.165,
        5.1e-4,
        "15 on the harder paper",
    );
}

/// A number from 0 to 1 by chance.
fn share(chance: &mut ChaCha8Rng) -> f64 {
    f64::from(chance.next_u32()) / f64::from(u32::MAX)
}

#[test]
fn difficulties_known_beforehand_are_found_within_their_errors() {
    // Two papers of ten questions that share five, a thousand pupils each, the second group abler. Squares of
    // the errors found in their own units have mean 1; over fifteen questions the mean has SD about 0.37.
    let truth: Vec<f64> = (-7..=7).map(|step| f64::from(step) * 0.3).collect();
    let mut chance = ChaCha8Rng::seed_from_u64(20);
    let mut rows = Vec::new();
    for person in 0..2000 {
        let second = person >= 1000;
        let mean = if second { 0.8 } else { -0.2 };
        // The sum of twelve shares less six is close to a standard normal number.
        let pupil = mean + (0..12).map(|_| share(&mut chance)).sum::<f64>() - 6.0;
        let row = truth.iter().enumerate().map(|(item, difficulty)| {
            let given = if second { item % 3 != 0 } else { item % 3 != 1 };
            let right = share(&mut chance) < 1.0 / (1.0 + (difficulty - pupil).exp());
            given.then_some(right)
        });
        rows.push(row.collect());
    }
    let found = measured(&calibrated(&rows));
    let gaps = found.iter().zip(&truth);
    let squares: f64 = gaps
        .map(|(item, truth)| ((item.difficulty - truth) / item.error).powi(2))
        .sum();
    assert!(
        (0.2..2.2).contains(&(squares / 15.0)),
        "mean square {}",
        squares / 15.0
    );
    for item in found {
        assert!((0.8..1.2).contains(&item.infit), "infit {}", item.infit);
    }
}
