//! What is known of a person on the scale of question difficulties: a posterior over a grid of values.
//!
//! The chance of success is that of Rasch's model (see [`super::rasch`]). Difficulties need not be known: each
//! has a mean and an SD, and is averaged over. Neither is a person the same every day: a sitting has a value of
//! its own, normal about the person's. All integrals are sums: over the grid, and by the three-point
//! Gauss-Hermite rule (exact up to the fifth degree; Abramowitz & Stegun 25.4.46, from memory).

use super::rasch;
use super::steps;

/// The grid reaches this far from 0 in steps of a tenth, in logits.
const REACH: i64 = 60;
const STEP: f64 = 0.1;

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
fn grid() -> impl Iterator<Item = f64> {
    (-REACH..=REACH).map(|step| steps(step) * STEP)
}

fn scaled(weights: &[f64]) -> Option<Vec<f64>> {
    let whole: f64 = weights.iter().sum();
    (whole.is_finite() && whole > 0.0)
        .then(|| weights.iter().map(|weight| weight / whole).collect())
}

/// Each value's weight spread normally over its neighbours; a likelihood is averaged in the same way.
fn spread(weights: &[f64], sd: f64, keep_sum: bool) -> Vec<f64> {
    if sd < STEP / 10.0 {
        return weights.to_vec();
    }
    let kernel = |gap: f64| (-(gap / sd).powi(2) / 2.0).exp();
    let values: Vec<f64> = grid().collect();
    // The part of each kernel that lies on the grid: nothing is lost at its ends.
    let wholes: Vec<f64> = values
        .iter()
        .map(|from| values.iter().map(|to| kernel(to - from)).sum())
        .collect();
    let at = |to: &f64, own: f64| -> f64 {
        let terms = values.iter().zip(weights).zip(&wholes);
        terms
            .map(|((from, weight), whole)| {
                weight * kernel(to - from) / if keep_sum { *whole } else { own }
            })
            .sum()
    };
    values
        .iter()
        .zip(&wholes)
        .map(|(to, own)| at(to, *own))
        .collect()
}

impl Likelihood {
    /// The likelihood of one sitting's tries, whose own value lies about the person's with `day_sd`.
    pub fn of(tries: &[Try], day_sd: f64) -> Self {
        let logs: Vec<f64> = grid()
            .map(|value| {
                let log = |one: &Try| {
                    let p = chance(value, one.difficulty);
                    if one.success { p.ln() } else { (1.0 - p).ln() }
                };
                tries.iter().map(log).sum()
            })
            .collect();
        let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let likely: Vec<f64> = logs.iter().map(|log| (log - top).exp()).collect();
        Self(spread(&likely, day_sd, false))
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

    /// The posterior of another day, whose value lies about the person's with `sd`.
    #[must_use]
    pub fn another_day(&self, sd: f64) -> Self {
        Self(spread(&self.0, sd, true))
    }

    /// The expected value.
    pub fn mean(&self) -> f64 {
        grid()
            .zip(&self.0)
            .map(|(value, weight)| value * weight)
            .sum()
    }

    /// The standard deviation.
    pub fn sd(&self) -> f64 {
        let mean = self.mean();
        let square: f64 = grid()
            .zip(&self.0)
            .map(|(value, weight)| weight * (value - mean).powi(2))
            .sum();
        square.sqrt()
    }

    /// The posterior as `count` equally likely values: the means of its slices.
    pub fn nodes(&self, count: usize) -> Vec<f64> {
        let share = 1.0 / super::real(count.max(1));
        let mut nodes = Vec::with_capacity(count);
        let (mut sum, mut filled) = (0.0, 0.0);
        for (value, weight) in grid().zip(&self.0) {
            let mut rest = *weight;
            while nodes.len() + 1 < count && filled + rest >= share {
                let part = share - filled;
                nodes.push((sum + part * value) / share);
                rest -= part;
                (sum, filled) = (0.0, 0.0);
            }
            sum += rest * value;
            filled += rest;
        }
        if filled > 0.0 {
            nodes.push(sum / filled);
        }
        nodes
    }
}

/// Mean and SD of a group's values, from the likelihoods of its people, drawn to `prior` as if that were
/// `strength` people more.
///
/// Marginal maximum likelihood by EM (Bock & Aitkin 1981, *Psychometrika* 46, 443-459, from memory).
pub fn fit_prior(people: &[Likelihood], prior: (f64, f64), strength: f64) -> (f64, f64) {
    let (mut mean, mut sd) = prior;
    for _ in 0..40 {
        let Some(normal) = Posterior::normal(mean, sd) else {
            break;
        };
        let found: Vec<(f64, f64)> = people
            .iter()
            .map(|one| normal.after(one))
            .map(|own| (own.mean(), own.sd()))
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

    /// The same prior and answers on the finer grid of [`rasch::bayes`].
    #[test]
    fn known_difficulties_and_no_days_give_the_posterior_of_the_rasch_measure() {
        let found = Posterior::normal(0.3, 1.2)
            .unwrap()
            .after(&Likelihood::of(&tries(7, 3, EVEN), 0.0));
        let expected = rasch::bayes(&[0.0; 10], 7, 0.3, 1.2).unwrap();
        assert!(
            (found.mean() - expected.value).abs() < 1e-3,
            "{}",
            found.mean()
        );
        assert!((found.sd() - expected.error).abs() < 1e-3);
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
            prior.after(&Likelihood::of(&tries, day)).sd()
        };
        assert!(sd(0.0, 0.0) < sd(0.8, 0.0) && sd(0.0, 0.0) < sd(0.0, 0.5));
        assert!((prior.after(&Likelihood::of(&[], 0.3)).sd() - prior.sd()).abs() < 1e-6);
    }

    #[test]
    fn another_day_keeps_the_mean_and_adds_the_variances() {
        let day = Posterior::normal(0.5, 0.6).unwrap().another_day(0.8);
        assert!((day.mean() - 0.5).abs() < 1e-6 && (day.sd() - 1.0).abs() < 1e-3);
    }

    #[test]
    fn slices_keep_the_mean() {
        let posterior = Posterior::normal(-0.4, 1.1).unwrap();
        for count in [1, 2, 7, 15] {
            let nodes = posterior.nodes(count);
            assert_eq!(nodes.len(), count);
            assert!(nodes.windows(2).all(|pair| pair[0] <= pair[1]));
            assert!((nodes.iter().sum::<f64>() / crate::stats::real(count) + 0.4).abs() < 1e-6);
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
        let person = |right| Likelihood::of(&tries(right, 200 - right, EVEN), 0.0);
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
