//! Trends: slope, standard error, and words that they can bear.

use pacebell::season::progress::{Error, Of, Verdict, trend, weighted};
use pacebell::words::progress;

fn close(one: f64, other: f64, within: f64) {
    assert!((one - other).abs() <= within, "{one} is not {other}");
}

/// Marks 12, 14, 13, 16 with a standard error of 2.4 each: slope 1.1, its error 1.07, ratio 1.03
/// (computed independently, no published source).
#[test]
fn four_marks_that_rise_a_little_have_no_direction() {
    let found = trend(&[12.0, 14.0, 13.0, 16.0], Some(2.4)).unwrap();
    close(found.slope, 1.1, 1e-12);
    close(found.error.unwrap(), 2.4 / 5_f64.sqrt(), 1e-12);
    close(found.slope / found.error.unwrap(), 1.03, 0.01);
    assert_eq!(found.verdict, Verdict::Level);
    assert_eq!(found.from, Error::Measurement);
    let said = progress::trend(Of::Margin, &found);
    assert!(
        said.ends_with(
            "12, 14, 13, 16: +1.10 a sitting (standard error 1.07): no clear direction."
        ),
        "{said}"
    );
}

/// With 2.4 a mark: 3 sittings 1.70, 4 1.07, 6 .57, 8 .37 (computed independently).
#[test]
fn the_error_of_a_slope_shrinks_with_the_number_of_sittings() {
    for (n, error) in [(3, 1.70), (4, 1.07), (6, 0.57), (8, 0.37)] {
        let values: Vec<f64> = (0..n).map(f64::from).collect();
        let found = trend(&values, Some(2.4)).unwrap();
        close(found.error.unwrap(), error, 0.005);
        close(found.slope, 1.0, 1e-12);
    }
}

/// 6, 4, 3, 1, 0: slope -15 / 10; the gaps .2, -.3, .2, -.3, .2 have the square sum .30, so the
/// error is sqrt(.30 / 3 / 10) = .1 (arithmetic).
#[test]
fn a_habit_has_the_error_of_its_own_spread() {
    let found = trend(&[6.0, 4.0, 3.0, 1.0, 0.0], None).unwrap();
    close(found.slope, -1.5, 1e-12);
    close(found.error.unwrap(), 0.1, 1e-12);
    assert_eq!(
        (found.from, found.verdict),
        (Error::Residual, Verdict::Falling)
    );
}

#[test]
fn few_or_level_figures_say_little() {
    assert_eq!(trend(&[], Some(2.4)), None);
    assert_eq!(trend(&[13.0], Some(2.4)), None);
    let verdict = |values: &[f64], sem| trend(values, sem).unwrap().verdict;
    assert_eq!(verdict(&[13.0, 15.0], Some(2.4)), Verdict::TwoOnly);
    assert_eq!(verdict(&[13.0, 15.0], None), Verdict::TwoOnly);
    assert_eq!(verdict(&[2.0, 2.0, 2.0], None), Verdict::Level);
    assert_eq!(verdict(&[13.0, 14.0, 13.0], Some(2.4)), Verdict::Level);
    // Three figures on a line by chance are common: no more than a direction.
    assert_eq!(verdict(&[2.0, 1.0, 0.0], None), Verdict::Level);
}

/// Equal errors give the plain line (slope and error computed independently, no published source); the weights
/// 1, 1 and 1/4 are done in the head.
#[test]
fn figures_with_errors_of_their_own_count_by_them() {
    let plain = weighted(&[12.0, 14.0, 13.0, 16.0], &[2.4; 4]).unwrap();
    close(plain.slope, 1.1, 1e-12);
    close(plain.error.unwrap(), 1.07, 0.005);
    assert_eq!(plain.verdict, Verdict::Level);
    let found = weighted(&[0.0, 1.0, 3.0], &[1.0, 1.0, 2.0]).unwrap();
    // sum w x y - (sum w x)(sum w y) / sum w = 2.5 - 1.5 * 1.75 / 2.25; sum w x^2 - (sum w x)^2 / sum w = 2 - 1.
    close(found.slope, 2.5 - 1.5 * 1.75 / 2.25, 1e-12);
    close(found.error.unwrap(), 1.0, 1e-12);
    assert_eq!(found.from, Error::Measurement);
    // The third figure lies off: the gaps 4/9, -8/9 and 16/9 weigh 16/9 together, so the ratio is its root.
    let found = weighted(&[0.0, 1.0, 6.0], &[1.0, 1.0, 2.0]).unwrap();
    close(found.error.unwrap(), 4.0 / 3.0, 1e-12);
    assert_eq!(found.from, Error::Residual);
    assert_eq!(
        (weighted(&[1.0], &[1.0]), weighted(&[1.0, 2.0], &[1.0, 0.0])),
        (None, None)
    );
}

/// Other programs read these: `--json` keeps them.
#[test]
fn each_verdict_has_a_word_of_its_own() {
    let words = [
        (Verdict::TwoOnly, "two_only"),
        (Verdict::Level, "level"),
        (Verdict::Rising, "rising"),
        (Verdict::Falling, "falling"),
    ];
    for (verdict, word) in words {
        assert_eq!(serde_json::to_value(verdict).unwrap(), word);
    }
}
