//! How far a few values of one's own count against what is known of many.

use super::real;

/// The weight of `count` values of one's own, where what is known beforehand counts as `prior` values.
///
/// n / (n + k): the posterior weight of a normal mean with known variances, and of a share with a beta prior
/// (Gelman and others, *Bayesian Data Analysis*, from memory).
pub fn weight(count: usize, prior: f64) -> f64 {
    let own = real(count);
    if own + prior > 0.0 {
        own / (own + prior)
    } else {
        0.0
    }
}

/// The value between `other` and `own`, with this weight on `own`; the best linear guess at a true mark from a
/// mark and its group's mean when the weight is the reliability (Kelley 1927, from memory).
pub fn shrink(own: f64, other: f64, weight: f64) -> f64 {
    other + weight * (own - other)
}

/// The weighted mean of two estimates with known standard errors, and its error: each counts by the inverse of
/// its variance.
pub fn pooled(one: (f64, f64), other: (f64, f64)) -> (f64, f64) {
    let (first, second) = (one.1.powi(-2), other.1.powi(-2));
    let whole = first + second;
    (
        (one.0 * first + other.0 * second) / whole,
        whole.sqrt().recip(),
    )
}

/// A value seen with a standard error, drawn to 0 about which true values lie with the SD `spread`: the weight is
/// v / (v + SE^2) with v the square of the spread (empirical Bayes; Efron & Morris 1975, *JASA* 70, from memory).
pub fn by_error(seen: f64, error: f64, spread: f64) -> f64 {
    let own = spread * spread;
    let whole = own + error * error;
    if whole > 0.0 {
        seen * own / whole
    } else {
        seen
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Own mean 17, group 13, reliability .75 of one sitting: 16, 16.43, 16.6, 16.69 after one to four
    /// sittings; a mark of 20 in such a group is 18.25 (computed independently, no published source).
    #[test]
    fn a_mean_of_few_sittings_is_drawn_to_the_group() {
        for (sittings, share, shrunk) in [
            (1.0_f64, 0.75, 16.0),
            (2.0, 0.857, 16.43),
            (3.0, 0.9, 16.6),
            (4.0, 0.923, 16.69),
        ] {
            // The Spearman-Brown formula.
            let weight = sittings * 0.75 / (1.0 + (sittings - 1.0) * 0.75);
            assert!((weight - share).abs() < 5e-4, "{weight}");
            assert!((shrink(17.0, 13.0, weight) - shrunk).abs() < 5e-3);
        }
        assert!((shrink(20.0, 13.0, 0.75) - 18.25).abs() < 1e-12);
    }

    /// A paper seen 1.7 questions harder by two groups with SDs 3.9 and 3.5 counts as .77, 1.21 or 1.60 harder
    /// when 10, 30 or 200 sat each (computed independently, no published source).
    #[test]
    fn a_shift_between_papers_is_drawn_to_none_by_its_error() {
        for (people, error, used) in [(10.0, 1.66, 0.77), (30.0, 0.96, 1.21), (200.0, 0.37, 1.60)] {
            let found = ((3.9_f64.powi(2) + 3.5_f64.powi(2)) / people).sqrt();
            assert!((found - error).abs() < 6e-3, "{found}");
            assert!((by_error(1.7, found, 1.5) - used).abs() < 5e-3);
        }
        assert!((by_error(1.7, 0.0, 0.0) - 1.7).abs() < 1e-12);
    }

    #[test]
    fn weights_go_from_nothing_to_nearly_all() {
        assert!((weight(0, 5.0)).abs() < 1e-12 && (weight(0, 0.0)).abs() < 1e-12);
        assert!((weight(5, 5.0) - 0.5).abs() < 1e-12);
    }

    #[test]
    fn estimates_count_by_their_precision() {
        let (value, error) = pooled((1.0, 1.0), (4.0, 0.5));
        assert!((value - 3.4).abs() < 1e-12 && (error - 0.2_f64.sqrt()).abs() < 1e-12);
    }
}
