//! What is known of a person on the scale of question difficulties: a posterior over a grid of values.
//!
//! The chance of success is that of Rasch's model (see [`super::rasch`]). Difficulties need not be known: each
//! has a mean and an SD, and is averaged over. Neither is a person the same every day: a sitting has a value of
//! its own, normal about the person's. All integrals are sums: over the grid, and by the three-point
//! Gauss-Hermite rule (exact up to the fifth degree; Abramowitz & Stegun 25.4.46, from memory).

use super::kernel::Kernel;
use super::rasch;
use super::steps;

/// The grid reaches this far from 0 in steps of a tenth, in logits.
const REACH: i64 = 60;
const STEP: f64 = 0.1;
/// So many chances are multiplied before a logarithm is taken: few enough to stay far from the smallest number.
const TRIES_A_LOGARITHM: usize = 6;

/// Three deviates and their weights that stand for a normal distribution.
pub const THREE: [(f64, f64); 3] = [
    (-1.732_050_807_568_877_2, 1.0 / 6.0),
    (0.0, 2.0 / 3.0),
    (1.732_050_807_568_877_2, 1.0 / 6.0),
];

/// A question's place on the scale, in logits, as far as it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difficulty {
    /// Its expected value.
    pub mean: f64,
    /// How far it may be off.
    pub sd: f64,
}

/// One try: the question and whether it came off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Try {
    /// The question.
    pub difficulty: Difficulty,
    /// Whether it came off.
    pub success: bool,
}

/// The chance of success of a person at `value`, the difficulty averaged over.
pub fn chance(value: f64, difficulty: Difficulty) -> f64 {
    THREE
        .iter()
        .map(|(deviate, weight)| {
            weight * rasch::chance(value - difficulty.mean - difficulty.sd * deviate)
        })
        .sum()
}

/// How likely each value of the grid is; the weights add to 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Posterior(Vec<f64>);

/// How likely one sitting's outcomes are at each value of the grid, up to a factor.
#[derive(Debug, Clone, PartialEq)]
pub struct Likelihood(Vec<f64>);

/// The values of the grid, lowest first.
pub fn grid() -> impl Iterator<Item = f64> {
    (-REACH..=REACH).map(|step| steps(step) * STEP)
}

fn scaled(weights: &[f64]) -> Option<Vec<f64>> {
    let whole: f64 = weights.iter().sum();
    (whole.is_finite() && whole > 0.0)
        .then(|| weights.iter().map(|weight| weight / whole).collect())
}

/// The kernel of a normal deviation on the grid.
pub fn kernel(sd: f64) -> Kernel {
    Kernel::new(grid().count(), STEP, sd)
}

/// How likely one try is at a value, whose odds of failure at difficulty 0 are `odds`.
#[derive(Clone, Copy)]
struct TryOdds {
    factors: [f64; 3],
    success: bool,
}

impl TryOdds {
    fn of(one: Try, back: f64) -> Self {
        let Difficulty { mean, sd } = one.difficulty;
        Self {
            factors: THREE.map(|(deviate, _)| (back + mean + sd * deviate).exp()),
            success: one.success,
        }
    }

    #[inline]
    fn likely(self, odds: f64) -> f64 {
        let [a, b, c] = self.factors.map(|factor| factor * odds);
        let [(_, wa), (_, wb), (_, wc)] = THREE;
        let (one_a, one_b, one_c) = (1.0 + a, 1.0 + b, 1.0 + c);
        let (bc, ac, ab) = (one_b * one_c, one_a * one_c, one_a * one_b);
        let sum = if self.success {
            wa * bc + wb * ac + wc * ab
        } else {
            wa * a * bc + wb * b * ac + wc * c * ab
        };
        sum / (one_a * bc)
    }
}

/// The odds of failure at difficulty 0 of each value of the grid.
fn odds() -> Vec<f64> {
    grid().map(|value| (-value).exp()).collect()
}

/// The logarithm of how likely tries are at each value of the grid less `back`, exact but for rounding.
///
/// An odds of each value is worked out once, so that a try costs one division a value.
pub fn log_likelihood(tries: &[Try], back: f64) -> Vec<f64> {
    let odds = odds();
    let mut logs = vec![0.0; odds.len()];
    let mut product = vec![1.0; odds.len()];
    for few in tries.chunks(TRIES_A_LOGARITHM) {
        for one in few {
            let one = TryOdds::of(*one, back);
            for (product, odds) in product.iter_mut().zip(&odds) {
                *product *= one.likely(*odds);
            }
        }
        add_logarithms(&mut logs, &mut product);
    }
    logs
}

/// Adds the logarithms of products, which begin anew.
fn add_logarithms(logs: &mut [f64], product: &mut [f64]) {
    for (log, product) in logs.iter_mut().zip(product) {
        *log += product.ln();
        *product = 1.0;
    }
}

/// How likely a try is at each value of the grid: worked out once for all who tried the same.
#[derive(Debug, Clone, PartialEq)]
pub struct TryChances(Vec<f64>);

impl TryChances {
    /// Of one try.
    pub fn of(one: Try) -> Self {
        let own = TryOdds::of(one, 0.0);
        Self(odds().into_iter().map(|odds| own.likely(odds)).collect())
    }
}

impl Likelihood {
    /// The likelihood of one sitting's tries, whose own value lies about the person's as `day` says ([`kernel`]).
    pub fn of(tries: &[&TryChances], day: &Kernel) -> Self {
        let points = grid().count();
        let mut logs = vec![0.0; points];
        let mut product = vec![1.0; points];
        for few in tries.chunks(TRIES_A_LOGARITHM) {
            for one in few {
                for (product, likely) in product.iter_mut().zip(&one.0) {
                    *product *= likely;
                }
            }
            add_logarithms(&mut logs, &mut product);
        }
        let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let likely: Vec<f64> = logs.iter().map(|log| (log - top).exp()).collect();
        Self(day.average(&likely))
    }

    /// The likelihood of two sittings together.
    #[must_use]
    pub fn and(&self, other: &Self) -> Self {
        let both: Vec<f64> = self
            .0
            .iter()
            .zip(&other.0)
            .map(|(one, two)| one * two)
            .collect();
        // Scaled, so that a season of sittings does not come to nothing.
        Self(scaled(&both).unwrap_or(both))
    }
}

impl Posterior {
    /// A normal one, as before any answers; `None` unless the SD is above zero and both are finite.
    pub fn normal(mean: f64, sd: f64) -> Option<Self> {
        let sound = mean.is_finite() && sd.is_finite() && sd > 0.0;
        let weights = grid().map(|value| (-((value - mean) / sd).powi(2) / 2.0).exp());
        scaled(&weights.collect::<Vec<_>>())
            .filter(|_| sound)
            .map(Self)
    }

    /// The posterior after one more sitting (Bayes' rule).
    #[must_use]
    pub fn after(&self, sitting: &Likelihood) -> Self {
        let weights = self
            .0
            .iter()
            .zip(&sitting.0)
            .map(|(own, likely)| own * likely);
        scaled(&weights.collect::<Vec<_>>()).map_or_else(|| self.clone(), Self)
    }

    /// The expected value and the standard deviation.
    pub fn mean_and_sd(&self) -> (f64, f64) {
        let mean = grid().zip(&self.0).map(|(value, weight)| value * weight);
        let mean: f64 = mean.sum();
        let square: f64 = grid()
            .zip(&self.0)
            .map(|(value, weight)| weight * (value - mean).powi(2))
            .sum();
        (mean, square.sqrt())
    }
}

/// Mean and SD of a group's values, from the likelihoods of its people, drawn to `prior` as if that were
/// `strength` people more.
///
/// Marginal maximum likelihood by EM (Bock & Aitkin 1981, *Psychometrika* 46, 443-459, from memory).
pub fn fit_prior<'a>(
    people: impl IntoIterator<Item = &'a Likelihood>,
    prior: (f64, f64),
    strength: f64,
) -> (f64, f64) {
    let people: Vec<&Likelihood> = people.into_iter().collect();
    let (mut mean, mut sd) = prior;
    for _ in 0..40 {
        let Some(normal) = Posterior::normal(mean, sd) else {
            break;
        };
        let found: Vec<(f64, f64)> = people
            .iter()
            .map(|one| normal.after(one).mean_and_sd())
            .collect();
        let count = strength + super::real(people.len());
        let sum: f64 = found.iter().map(|(own, _)| own).sum();
        mean = (strength * prior.0 + sum) / count;
        let about = |value: f64, sd: f64| sd * sd + (value - mean).powi(2);
        let squares: f64 = found.iter().map(|(own, sd)| about(*own, *sd)).sum();
        sd = ((strength * about(prior.0, prior.1) + squares) / count).sqrt();
    }
    (mean, sd)
}

#[cfg(test)]
mod tests {
    use super::*;

    const EVEN: Difficulty = Difficulty { mean: 0.0, sd: 0.0 };

    fn tries(right: usize, wrong: usize, difficulty: Difficulty) -> Vec<Try> {
        [vec![true; right], vec![false; wrong]]
            .concat()
            .into_iter()
            .map(|success| Try {
                difficulty,
                success,
            })
            .collect()
    }

    fn likelihood(tries: &[Try], day: f64) -> Likelihood {
        let chances: Vec<_> = tries.iter().map(|one| TryChances::of(*one)).collect();
        Likelihood::of(&chances.iter().collect::<Vec<_>>(), &kernel(day))
    }

    /// The same prior and answers on the finer grid of [`rasch::bayes`].
    #[test]
    fn known_difficulties_and_no_days_give_the_posterior_of_the_rasch_measure() {
        let found = Posterior::normal(0.3, 1.2)
            .unwrap()
            .after(&likelihood(&tries(7, 3, EVEN), 0.0));
        let expected = rasch::bayes(&[0.0; 10], 7, 0.3, 1.2).unwrap();
        let (mean, sd) = found.mean_and_sd();
        assert!((mean - expected.value).abs() < 1e-3, "{mean}");
        assert!((sd - expected.error).abs() < 1e-3);
    }

    #[test]
    fn days_and_doubt_about_the_questions_make_a_sitting_say_less() {
        let prior = Posterior::normal(0.0, 1.0).unwrap();
        let sd = |difficulty_sd, day| {
            let tries = tries(
                15,
                5,
                Difficulty {
                    mean: 0.0,
                    sd: difficulty_sd,
                },
            );
            prior.after(&likelihood(&tries, day)).mean_and_sd().1
        };
        assert!(sd(0.0, 0.0) < sd(0.8, 0.0) && sd(0.0, 0.0) < sd(0.0, 0.5));
        let nothing = prior.after(&likelihood(&[], 0.3));
        assert!((nothing.mean_and_sd().1 - prior.mean_and_sd().1).abs() < 1e-6);
    }

    /// Each try by the formula of the chance.
    #[test]
    fn a_likelihood_is_the_product_of_its_chances() {
        let hard = |mean: f64, success| Try {
            difficulty: Difficulty { mean, sd: 0.7 },
            success,
        };
        let tries: Vec<Try> = (0..25)
            .map(|step| hard(-4.0 + 0.4 * f64::from(step), step % 3 > 0))
            .collect();
        for back in [0.0, 0.37, -0.2] {
            for (value, found) in grid().zip(log_likelihood(&tries, back)) {
                let each = tries.iter().map(|one| {
                    let p = chance(value - back, one.difficulty);
                    if one.success { p.ln() } else { (1.0 - p).ln() }
                });
                assert!((found - each.sum::<f64>()).abs() < 1e-9, "{value} {found}");
            }
        }
    }

    #[test]
    fn the_chance_is_averaged_over_the_doubt() {
        assert!((chance(0.0, EVEN) - 0.5).abs() < 1e-12);
        let doubted = Difficulty {
            mean: -2.0,
            sd: 1.0,
        };
        assert!(chance(0.0, doubted) < chance(0.0, Difficulty { sd: 0.0, ..doubted }));
        assert_eq!(Posterior::normal(0.0, 0.0), None);
    }

    /// Sixty people in two halves at -1 and 1 with many answers: mean 0, SD near 1.
    #[test]
    fn a_groups_middle_and_spread_are_found_and_few_people_stay_near_the_prior() {
        let person = |right| likelihood(&tries(right, 200 - right, EVEN), 0.0);
        let people: Vec<_> = (0..60)
            .map(|place| person(if place % 2 == 0 { 54 } else { 146 }))
            .collect();
        let (mean, sd) = fit_prior(&people, (0.5, 0.5), 1.0);
        assert!(mean.abs() < 0.05 && (sd - 1.0).abs() < 0.05, "{mean} {sd}");
        assert_eq!(fit_prior(&[], (0.5, 0.7), 5.0), (0.5, 0.7));
        let (one, _) = fit_prior(&people[..1], (0.5, 0.7), 5.0);
        assert!((0.1..0.5).contains(&one), "{one}");
    }
}
