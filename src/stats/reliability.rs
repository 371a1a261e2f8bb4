//! How far a total mark can be trusted: reliability coefficients and standard errors.

use super::real;

/// Kuder & Richardson's formula 20 (1937, *Psychometrika* 2, 151-160, from memory): k / (k - 1) times
/// (1 - sum of p q / variance of the number right).
///
/// The variance is the one with n below the line, as p q is; the result then equals Cronbach's alpha.
/// `None` for fewer than two questions or a total that does not vary.
pub fn kr20(sum_pq: f64, variance_population: f64, questions: usize) -> Option<f64> {
    coefficient(sum_pq, variance_population, questions)
}

/// Kuder & Richardson's formula 21: KR-20 as if all questions were equally hard.
///
/// `None` in the same cases as [`kr20`].
pub fn kr21(mean_right: f64, variance_population: f64, questions: usize) -> Option<f64> {
    let k = real(questions);
    coefficient(
        mean_right * (k - mean_right) / k,
        variance_population,
        questions,
    )
}

/// The standard error of measurement: SD times the root of (1 - reliability).
///
/// `None` for a reliability above 1 or an SD below 0. A negative reliability makes it larger than the SD.
pub fn sem(sd: f64, reliability: f64) -> Option<f64> {
    let error = sd * (1.0 - reliability).sqrt();
    (error.is_finite() && sd >= 0.0).then_some(error)
}

/// k / (k - 1) times (1 - part / whole); the shape that KR-20, KR-21 and alpha share.
pub(crate) fn coefficient(part: f64, whole: f64, questions: usize) -> Option<f64> {
    if questions < 2 || whole <= 0.0 {
        return None;
    }
    let k = real(questions);
    let found = k / (k - 1.0) * (1.0 - part / whole);
    found.is_finite().then_some(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: Option<f64>, expected: f64, tolerance: f64) -> bool {
        found.is_some_and(|found| (found - expected).abs() < tolerance)
    }

    #[test]
    fn two_questions_that_always_agree_are_fully_reliable() {
        // Half the people have both right, half none: each p q is 1/4, the total's variance 1.
        assert!(near(kr20(0.5, 1.0, 2), 1.0, 1e-12));
        assert!(near(kr21(1.0, 1.0, 2), 1.0, 1e-12));
    }

    #[test]
    fn one_question_or_no_spread_has_no_reliability() {
        assert_eq!(kr20(0.25, 0.25, 1), None);
        assert_eq!(kr20(0.0, 0.0, 5), None);
        assert_eq!(kr21(2.0, f64::NAN, 5), None);
    }

    #[test]
    fn errors_of_measurement_are_done_in_the_head() {
        assert!(near(sem(15.0, 0.84), 6.0, 1e-12));
        assert_eq!(sem(15.0, 1.5), None);
        assert_eq!(sem(-1.0, 0.5), None);
    }
}
