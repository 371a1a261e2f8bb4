//! The worth of a guess held against a table of gains.

use super::*;
use crate::domain::rule::QuestionNo;

fn section(first: u16, last: u16, marks: [&str; 3]) -> Section {
    let [right, wrong, blank] = marks.map(|mark| mark.parse().unwrap());
    Section {
        name: format!("{first}-{last}"),
        first: QuestionNo(first),
        last: QuestionNo(last),
        right,
        wrong,
        blank,
    }
}

/// Gains over a blank with 5, 4, 3 and 2 options left, by hand: r/m + w(1 - 1/m) - b. That a
/// quarter off a right mark makes five options even is the classic correction for guessing
/// (common practice, no source).
#[test]
fn the_gain_of_a_blind_guess_is_exact() {
    for (marks, gains) in [
        (["1", "0", "0"], ["1/5", "1/4", "1/3", "1/2"]),
        (["1", "-1/4", "0"], ["0", "1/16", "1/6", "3/8"]),
        (["4", "-1", "0"], ["0", "1/4", "2/3", "3/2"]),
        (["3", "-1", "0"], ["-1/5", "0", "1/3", "1"]),
        (["1", "-1", "0"], ["-3/5", "-1/2", "-1/3", "0"]),
        (["1", "0", "1/5"], ["0", "1/20", "2/15", "3/10"]),
        (["6", "0", "1.5"], ["-3/10", "0", "1/2", "3/2"]),
        (["5", "0", "2"], ["-1", "-3/4", "-1/3", "1/2"]),
    ] {
        let section = section(1, 5, marks);
        for (options, expected) in [5, 4, 3, 2].into_iter().zip(gains) {
            let expected: Mark = expected.parse().unwrap();
            assert_eq!(gain(&section, options), expected, "{marks:?} {options}");
        }
    }
}

#[test]
fn the_rule_decides_what_a_guess_is_worth() {
    let of = |marks, options| worth(&section(1, 5, marks), options);
    assert_eq!(of(["4", "0", "0"], 5), Worth::NothingToLose);
    assert_eq!(of(["4", "1", "0"], 5), Worth::NothingToLose);
    assert_eq!(
        of(["6", "-1", "0"], 5),
        Worth::WorthIt {
            gain: "2/5".parse().unwrap()
        }
    );
    assert_eq!(of(["4", "-1", "0"], 5), Worth::Even);
    let once_out = |options_to_cross_out| Worth::OnceOut {
        options_to_cross_out,
    };
    assert_eq!(of(["6", "-2", "0"], 5), once_out(2));
    assert_eq!(of(["3", "-1", "0"], 5), once_out(2));
    assert_eq!(of(["6", "0", "1.5"], 5), once_out(2));
    assert_eq!(of(["5", "0", "2"], 5), once_out(3));
    assert_eq!(of(["6", "-1.9", "0"], 5), once_out(1));
    assert_eq!(of(["1", "-1", "0"], 5), Worth::NotWorth);
    assert_eq!(of(["1", "-1", "0"], 2), Worth::Even);
    assert_eq!(of(["1", "-2", "0"], 2), Worth::NotWorth);
}
