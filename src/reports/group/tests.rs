//! The parts of the page that have their own rules.

use super::histogram::{Bin, bins};
use super::page::bar;
use crate::domain::mark::Mark;
use crate::stats::share;
use crate::words::numbers::{decimals, percent};

fn marks(of: &[(&str, usize)]) -> Vec<(Mark, usize)> {
    of.iter()
        .map(|(mark, people)| (mark.parse().unwrap(), *people))
        .collect()
}

#[test]
fn marks_close_together_have_a_line_each_and_gaps_stay() {
    let found = bins(&marks(&[("-1", 2), ("1/2", 1), ("2", 3)]));
    let people: Vec<(i64, usize)> = found.iter().map(|bin| (bin.from, bin.people)).collect();
    assert_eq!(people, [(-1, 2), (0, 1), (1, 0), (2, 3)]);
}

#[test]
fn marks_far_apart_share_lines_that_begin_at_round_numbers() {
    let found = bins(&marks(&[("-7", 1), ("3", 1), ("60", 4), ("135", 1)]));
    assert_eq!(
        found.first(),
        Some(&Bin {
            from: -10,
            to: 0,
            people: 1
        })
    );
    assert_eq!(
        found.last(),
        Some(&Bin {
            from: 130,
            to: 140,
            people: 1
        })
    );
    assert_eq!(found.iter().map(|bin| bin.people).sum::<usize>(), 7);
    assert!(found.len() <= 16);
    let wide = bins(&marks(&[("0", 1), ("1000000", 1)]));
    assert!(wide.len() <= 16 && wide.iter().map(|bin| bin.people).sum::<usize>() == 2);
    assert!(bins(&[]).is_empty());
}

#[test]
fn what_is_not_nothing_or_everything_is_never_shown_as_such() {
    let shown = [0.0, 0.001, 0.5, 0.999, 1.0].map(percent);
    assert_eq!(shown, ["0%", "<1%", "50%", ">99%", "100%"]);
    assert_eq!(
        [0.0, 0.001, 1.0].map(|share| bar(share, 3)),
        ["", "#", "###"]
    );
    assert_eq!(
        [-0.001, -0.5, 0.0].map(|value| decimals(value, 1)),
        ["0.0", "-0.5", "0.0"]
    );
    assert!(share(1, 0).abs() < f64::EPSILON);
}
