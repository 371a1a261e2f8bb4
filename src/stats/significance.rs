//! How often chance alone would show as much, and which of many such figures stand out together.

use statrs::distribution::{Binomial, ContinuousCDF, DiscreteCDF, Normal, StudentsT};

use super::real;

/// How often a correlation among so many people is at least as high when nothing goes together: one side of
/// Student's t with n - 2 degrees of freedom (Student 1908, *Biometrika* 6, 302-310, from memory).
///
/// `None` below three people or for what is no correlation.
pub fn correlation_above(correlation: f64, people: usize) -> Option<f64> {
    let free = people.checked_sub(2).filter(|free| *free > 0)?;
    if !(-1.0 - 1e-9..=1.0 + 1e-9).contains(&correlation) {
        return None;
    }
    let r = correlation.clamp(-1.0, 1.0);
    let left = (1.0 - r * r).max(f64::EPSILON);
    let t = r * (real(free) / left).sqrt();
    Some(StudentsT::new(0.0, 1.0, real(free)).ok()?.sf(t))
}

/// How often a correlation among so many people is as low or lower when the true one is `truth`: by Fisher's
/// transformation (1921, *Metron* 1, 3-32, from memory).
///
/// `None` below four people or for what is no correlation.
pub fn correlation_below(correlation: f64, truth: f64, people: usize) -> Option<f64> {
    let free = people.checked_sub(3).filter(|free| *free > 0)?;
    if !(-1.0 - 1e-9..=1.0 + 1e-9).contains(&correlation) {
        return None;
    }
    let moved = correlation.clamp(-1.0, 1.0).atanh() - truth.atanh();
    Some(Normal::standard().cdf(moved * real(free).sqrt()))
}

/// How often at least so many of `trials` succeed when each does with this chance; `None` for no such chance.
pub fn at_least(successes: usize, trials: usize, chance: f64) -> Option<f64> {
    let binomial = Binomial::new(chance, u64::try_from(trials).ok()?).ok()?;
    match u64::try_from(successes).ok()?.checked_sub(1) {
        None => Some(1.0),
        Some(below) => Some(binomial.sf(below)),
    }
}

/// How often at most so many of `trials` succeed when each does with this chance; `None` for no such chance.
pub fn at_most(successes: usize, trials: usize, chance: f64) -> Option<f64> {
    let binomial = Binomial::new(chance, u64::try_from(trials).ok()?).ok()?;
    Some(binomial.cdf(u64::try_from(successes).ok()?))
}

/// How often chance alone parts two tries of the same questions at least so far, either way, where `first` of them were
/// right at the first only and `second` at the second only: McNemar's test, exact.
///
/// McNemar (1947), *Psychometrika* 12, 153-157, with the binomial distribution in place of its approximation (both
/// from memory). `None` where no question tells the tries apart.
pub fn mcnemar(first: usize, second: usize) -> Option<f64> {
    let apart = first + second;
    if apart == 0 {
        return None;
    }
    Some((2.0 * at_least(first.max(second), apart, 0.5)?).min(1.0))
}

/// How often a mean square over so many people is at least as high when the model holds: normal about 1 with
/// the SD root of 2 / n (Wu & Adams 2013, *Journal of Applied Measurement* 14, 339-355, from memory).
pub fn mean_square_above(mean_square: f64, people: usize) -> Option<f64> {
    let ratio = (mean_square - 1.0) * (real(people) / 2.0).sqrt();
    (people > 0 && ratio.is_finite()).then(|| Normal::standard().sf(ratio))
}

/// Which of several chances stand out, so that at most a share `level` of such sets shows any where there is
/// nothing, however they hang together.
///
/// The step-down method of Holm (1979), *Scandinavian Journal of Statistics* 6, 65-70, from memory.
pub fn holm(chances: &[f64], level: f64) -> Vec<bool> {
    let mut order: Vec<(usize, f64)> = chances.iter().copied().enumerate().collect();
    order.sort_by(|one, other| one.1.total_cmp(&other.1));
    let mut stands = vec![false; chances.len()];
    for (rank, (place, chance)) in order.into_iter().enumerate() {
        let bound = level / real(chances.len() - rank);
        if chance.is_nan() || chance > bound {
            break;
        }
        if let Some(own) = stands.get_mut(place) {
            *own = true;
        }
    }
    stands
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: Option<f64>, expected: f64) -> bool {
        found.is_some_and(|found| (found - expected).abs() < 5e-4)
    }

    /// The tables of the t distribution: 2.101 leaves 2.5 % above it with 18 degrees, 1.812 leaves 5 % with 10.
    #[test]
    fn a_correlation_at_the_tables_edge_has_the_tables_chance() {
        for (people, t, chance) in [(20, 2.101_f64, 0.025), (12, 1.812, 0.05)] {
            let free = real(people - 2);
            let r = t / (free + t * t).sqrt();
            assert!(near(correlation_above(r, people), chance));
            assert!(near(correlation_above(-r, people), 1.0 - chance));
        }
        assert!(near(correlation_above(0.0, 9), 0.5) && near(correlation_above(1.0, 9), 0.0));
        assert_eq!(correlation_above(0.5, 2), None);
        assert_eq!(correlation_above(f64::NAN, 20), None);
    }

    #[test]
    fn a_correlation_below_another_is_judged_on_fishers_scale() {
        // atanh .5 - atanh .2 = .5493 - .2027 = .3466, times root of 25 is 1.733: 4.2 % beyond.
        assert!(near(correlation_below(0.2, 0.5, 28), 0.0416));
        assert!(near(correlation_below(0.2, 0.2, 28), 0.5));
        assert_eq!(correlation_below(0.2, 0.2, 3), None);
    }

    #[test]
    fn counts_have_the_binomials_chances() {
        // Two throws of a coin.
        for (count, least, most) in [(0, 1.0, 0.25), (1, 0.75, 0.75), (2, 0.25, 1.0)] {
            assert!(near(at_least(count, 2, 0.5), least) && near(at_most(count, 2, 0.5), most));
        }
        assert_eq!((at_least(1, 2, 1.5), at_most(1, 2, f64::NAN)), (None, None));
    }

    /// Two tails of tosses of a coin, by hand: 2/2^5, 2/2^6, 2 (1 + 7)/2^7, 2 (1 + 9)/2^9 and
    /// 2 (1 + 12 + 66 + 220)/2^12.
    #[test]
    fn mcnemars_exact_test_is_a_coin_tossed_for_each_question_that_tells() {
        let cases = [
            (5, 0, 0.0625),
            (6, 0, 0.031_25),
            (6, 1, 0.125),
            (8, 1, 0.039_062_5),
            (9, 3, 0.145_996_093_75),
            (4, 4, 1.0),
            (1, 0, 1.0),
        ];
        for (second, first, chance) in cases {
            for found in [mcnemar(first, second), mcnemar(second, first)] {
                assert!(
                    found.is_some_and(|found| (found - chance).abs() < 1e-12),
                    "{second}-{first}: {found:?}"
                );
            }
        }
        assert_eq!(mcnemar(0, 0), None);
    }

    #[test]
    fn a_mean_square_is_judged_by_the_number_of_people() {
        // 1.6449 SDs of .1 leave 5 % above.
        assert!(near(mean_square_above(1.164_49, 200), 0.05));
        assert!(near(mean_square_above(1.0, 50), 0.5));
        assert_eq!(mean_square_above(1.0, 0), None);
    }

    /// Chances .01, .04, .03 and .005 at 5 %: .005 and .01 stand out, .03 is more than .05 / 2 (worked by hand).
    #[test]
    fn holms_steps_end_at_the_first_that_does_not_stand_out() {
        assert_eq!(
            holm(&[0.01, 0.04, 0.03, 0.005], 0.05),
            [true, false, false, true]
        );
        assert_eq!(holm(&[0.06, 0.04], 0.05), [false, false]);
        assert_eq!(holm(&[0.02, f64::NAN], 0.05), [true, false]);
        assert_eq!(holm(&[], 0.05), [] as [bool; 0]);
    }
}
