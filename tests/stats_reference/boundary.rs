//! Boundaries under three rules against two other definitions, and on a cohort worked out by hand.

use crate::cohort::cohort;
use crate::reading::{close, json, table};
use pacebell::stats::boundary::{Ranking, Share, TieRule};
use pacebell::stats::resample::boundaries;

const RULES: [(&str, TieRule); 3] = [
    ("at_most", TieRule::NotAbove),
    ("at_least", TieRule::AtLeast),
    ("nearest", TieRule::Nearest),
];

fn share(text: &str) -> Share {
    let (part, whole) = text.split_once('/').unwrap();
    Share::new(part.parse().unwrap(), whole.parse().unwrap()).unwrap()
}

#[test]
fn made_up_cohorts_agree() {
    let cases = json("boundaries.json");
    for (name, case) in cases.as_object().unwrap() {
        let list = |key: &str| case[key].as_array().unwrap().clone();
        let marks: Vec<i64> = list("marks")
            .iter()
            .map(|mark| mark.as_i64().unwrap())
            .collect();
        let ratio: Vec<u64> = list("ratio_bronze_silver_gold")
            .iter()
            .map(|part| part.as_u64().unwrap())
            .collect();
        let shares = share(case["top_share"].as_str().unwrap())
            .split(&ratio)
            .unwrap();
        let ranking = Ranking::new(&marks);
        for (key, rule) in RULES {
            let lines = ranking.awards(&shares, rule);
            for (award, line) in ["bronze", "silver", "gold"].iter().zip(lines) {
                let expected = &case["expected"][key][award];
                let what = format!("{name}: {award}, {key}");
                assert_eq!(line.mark, expected["lowest_mark"].as_i64(), "{what}");
                let people = u64::try_from(line.at_or_above).unwrap();
                assert_eq!(
                    Some(people),
                    expected["n_this_or_better"].as_u64(),
                    "{what}"
                );
            }
        }
    }
}

/// A mark such as `8.75` or `-104/35`, in grid steps.
fn grid(text: &str) -> i64 {
    let scaled = crate::reading::fraction(text) * crate::cohort::GRID_REAL;
    let whole: i64 = format!("{scaled:.0}").parse().unwrap();
    let back = f64::from(i32::try_from(whole).unwrap()) - scaled;
    assert!(back.abs() < 1e-6, "{text} is not on the grid");
    whole
}

#[test]
fn real_and_small_cohorts_agree_under_ten_marking_rules() {
    for prefix in ["tiny", "iqitems"] {
        let people = cohort(prefix);
        for row in table(&format!("{prefix}_award_boundaries.csv")) {
            let ranking = Ranking::from_counts(people.under(row.text("scheme")).totals());
            let shares = share("1/2").split(&[3, 2, 1]).unwrap();
            let place = ["bronze", "silver", "gold"];
            let place = place
                .iter()
                .position(|name| *name == row.text("band_and_better"));
            for (key, rule) in RULES {
                let line = ranking.boundary(shares[place.unwrap()], rule);
                let mark = row.text(&format!("mark_{key}"));
                let what = format!("{prefix} {} {key}", row.text("scheme"));
                assert_eq!(line.mark, (!mark.is_empty()).then(|| grid(mark)), "{what}");
                assert_eq!(line.at_or_above, row.count(&format!("n_{key}")), "{what}");
            }
        }
    }
}

/// Thirty made-up marks, counted by hand.
fn thirty() -> Vec<i64> {
    let counts = [
        (22, 1),
        (20, 1),
        (19, 2),
        (18, 2),
        (17, 3),
        (16, 4),
        (15, 4),
        (14, 3),
        (13, 4),
        (12, 2),
        (11, 2),
        (9, 1),
        (7, 1),
    ];
    counts
        .iter()
        .flat_map(|(mark, people)| vec![*mark; *people])
        .collect()
}

#[test]
fn thirty_people_have_the_boundaries_counted_by_hand() {
    // Quotas 15, 7.5 and 2.5; 16 and 15 are equally near the first, 18 and 17 the second.
    let ranking = Ranking::new(&thirty());
    let shares = share("1/2").split(&[3, 2, 1]).unwrap();
    let expected = [
        (TieRule::Nearest, [15, 17, 20]),
        (TieRule::NotAbove, [16, 18, 20]),
        (TieRule::AtLeast, [15, 17, 19]),
    ];
    for (rule, marks) in expected {
        let found: Vec<i64> = ranking
            .awards(&shares, rule)
            .iter()
            .filter_map(|line| line.mark)
            .collect();
        assert_eq!(found, marks, "{rule:?}");
    }
    assert_eq!(ranking.places(5).mark, Some(19));
    assert_eq!(ranking.places(8).at_or_above, 6);
}

#[test]
fn redrawn_cohorts_of_thirty_agree_with_another_simulation() {
    // The shares come from 20,000 resamples by another program and random number generator.
    let shares = share("1/2").split(&[3, 2, 1]).unwrap();
    let drawn = 20_000;
    let found = boundaries(&thirty(), &shares, TieRule::Nearest, drawn, 1).unwrap();
    let part = |index: usize, mark: i64| {
        let spread: &pacebell::stats::boundary::ResampledBoundary = &found[index];
        let times = spread
            .marks
            .iter()
            .find(|(own, _)| *own == mark)
            .map_or(0, |(_, n)| *n);
        f64::from(u32::try_from(times).unwrap()) / 20_000.0
    };
    let expected = [
        (0, 15, 0.433),
        (0, 16, 0.425),
        (0, 14, 0.096),
        (0, 17, 0.043),
        (1, 17, 0.457),
        (1, 18, 0.361),
        (2, 20, 0.366),
        (2, 19, 0.339),
        (2, 22, 0.198),
    ];
    for (index, mark, share) in expected {
        close(
            part(index, mark),
            share,
            0.015,
            &format!("award {index} at {mark}"),
        );
    }
    let ranges: Vec<_> = found
        .iter()
        .filter_map(|spread| spread.range(0.8))
        .collect();
    assert_eq!(ranges, [(15, 16), (17, 18), (19, 22)]);
    let strict = boundaries(&thirty(), &shares[2..], TieRule::NotAbove, drawn, 1).unwrap();
    let none = f64::from(u32::try_from(strict[0].nobody).unwrap()) / 20_000.0;
    close(none, 0.16, 0.015, "no gold line under the cap");
}
