//! The exact distribution of a total mark, from independent questions with known chances.
//!
//! Marks are whole steps of one grid (the caller's common denominator), so totals never collide by rounding.
//! The method is plain convolution, which only ever adds and multiplies numbers that are not negative: every
//! chance, however small, keeps its relative accuracy. For questions worth one step each this is the recurrence
//! for the Poisson-binomial distribution (Poisson 1837; Wang 1993, *Statistica Sinica* 3, 295-312; from memory).

use super::{real, steps};

/// The widest distribution made, in grid steps; beyond it there is no answer rather than no memory.
const WIDEST: u64 = 1 << 22;

/// Two chances, or two cumulated chances, closer than this (relatively) are called equal.
const TIE: f64 = 1e-12;

/// How often a shift is halved: to far less than a step of the widest distribution.
const HALVINGS: u32 = 60;

/// A question that is right with chance `p` and wrong otherwise; gains in grid steps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chance {
    /// What a right answer adds to the total.
    pub right: i64,
    /// What a wrong answer adds to the total; negative where it loses marks.
    pub wrong: i64,
    /// The chance of being right, from 0 to 1.
    pub p: f64,
}

/// One way a question can end: what it adds, in grid steps, and how likely it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PossibleGain {
    /// What it adds to the total.
    pub gain: i64,
    /// Its chance, from 0 to 1.
    pub p: f64,
}

/// The chances of every total a paper can end with, in grid steps.
#[derive(Debug, Clone, PartialEq)]
pub struct Distribution {
    lowest: i64,
    chances: Vec<f64>,
}

/// The distribution of `start` plus the gains of independent questions.
///
/// `None` when a chance is not a number from 0 to 1, or the totals span more than about four million steps.
pub fn total(start: i64, chances: &[Chance]) -> Option<Distribution> {
    chances
        .iter()
        .try_fold(Distribution::certain(start), |sum, chance| {
            sum.with(&[
                PossibleGain {
                    gain: chance.right,
                    p: chance.p,
                },
                PossibleGain {
                    gain: chance.wrong,
                    p: 1.0 - chance.p,
                },
            ])
        })
}

/// The distribution of a total whose own distribution is uncertain: `weights` say how likely each one is.
///
/// Weights need not add to 1. `None` when none is above zero or one is negative or not finite.
pub fn mixture(parts: &[(f64, &Distribution)]) -> Option<Distribution> {
    let valid = parts
        .iter()
        .all(|(weight, _)| weight.is_finite() && *weight >= 0.0);
    let whole: f64 = parts.iter().map(|(weight, _)| weight).sum();
    if !valid || !whole.is_finite() || whole <= 0.0 {
        return None;
    }
    let lowest = parts.iter().map(|(_, part)| part.lowest).min()?;
    let highest = parts.iter().map(|(_, part)| part.highest()).max()?;
    let mut chances = vec![0.0; width(lowest, highest)?];
    for (weight, part) in parts {
        let from = usize::try_from(part.lowest.checked_sub(lowest)?).ok()?;
        for (slot, chance) in chances.iter_mut().skip(from).zip(&part.chances) {
            *slot += weight / whole * chance;
        }
    }
    Some(Distribution { lowest, chances })
}

/// Every way in which so many questions alike can come out, where each ends in one of three ways.
#[derive(Debug, Clone, PartialEq)]
pub struct AlikeQuestions {
    lowest: i64,
    width: usize,
    questions: usize,
    ways: Vec<EndCounts>,
}

/// How many of the questions end in each of the three ways.
#[derive(Debug, Clone, PartialEq)]
struct EndCounts {
    counts: [usize; 3],
    /// In how many orders that can be.
    orders: f64,
    /// The total's place in a distribution's chances.
    place: usize,
}

impl AlikeQuestions {
    /// So many questions; the gains of the three ends in grid steps. `None` where the totals span more than about four
    /// million steps.
    pub fn new(questions: usize, gains: [i64; 3]) -> Option<Self> {
        let many = i64::try_from(questions).ok()?;
        let [first, second, third] = gains;
        let lowest = first.min(second).min(third).checked_mul(many)?;
        let highest = first.max(second).max(third).checked_mul(many)?;
        let width = width(lowest, highest)?;
        let mut ways = Vec::new();
        // Of the questions left, so many of the next kind: the multinomial coefficient, factor by factor.
        let mut firsts = 1.0;
        for one in 0..=questions {
            let rest = questions - one;
            let mut seconds = firsts;
            for other in 0..=rest {
                let counts = [one, other, rest - other];
                let each = gains.iter().zip(counts);
                let total: i64 = each
                    .map(|(gain, count)| gain.checked_mul(i64::try_from(count).ok()?))
                    .sum::<Option<i64>>()?;
                ways.push(EndCounts {
                    counts,
                    orders: seconds,
                    place: usize::try_from(total - lowest).ok()?,
                });
                seconds *= real(rest - other) / real(other + 1);
            }
            firsts *= real(rest) / real(one + 1);
        }
        Some(Self {
            lowest,
            width,
            questions,
            ways,
        })
    }

    /// The total where the chances of the three ends are one of these, equally likely each; three chances add to 1.
    ///
    /// For one case it is the multinomial distribution (Johnson, Kotz and Balakrishnan 1997, *Discrete Multivariate
    /// Distributions*, chapter 35; from memory) over the totals. `None` without a case.
    pub fn mixture(&self, cases: &[[f64; 3]]) -> Option<Distribution> {
        if cases.is_empty() {
            return None;
        }
        let mut chances = vec![0.0; self.width];
        let mut powers: [Vec<f64>; 3] = Default::default();
        for case in cases {
            for (powers, p) in powers.iter_mut().zip(case) {
                powers.clear();
                let each = std::iter::successors(Some(1.0), |power| Some(power * p));
                powers.extend(each.take(self.questions + 1));
            }
            let [first, second, third] = &powers;
            for way in &self.ways {
                let [one, other, rest] = way.counts;
                let (one, other, rest) = (first.get(one)?, second.get(other)?, third.get(rest)?);
                *chances.get_mut(way.place)? += way.orders * one * other * rest;
            }
        }
        let many = real(cases.len());
        for chance in &mut chances {
            *chance /= many;
        }
        Some(Distribution {
            lowest: self.lowest,
            chances,
        })
    }
}

impl Distribution {
    /// The total that is known beforehand.
    pub fn certain(value: i64) -> Self {
        Self {
            lowest: value,
            chances: vec![1.0],
        }
    }

    /// The distribution after one more independent question with any number of outcomes.
    ///
    /// `None` when the outcomes' chances are not numbers from 0 to 1 that add to 1, or the span grows too wide.
    pub fn with(&self, outcomes: &[PossibleGain]) -> Option<Self> {
        let valid = outcomes
            .iter()
            .all(|outcome| (0.0..=1.0).contains(&outcome.p));
        let whole: f64 = outcomes.iter().map(|outcome| outcome.p).sum();
        if !valid || (whole - 1.0).abs() > 1e-9 {
            return None;
        }
        let least = outcomes.iter().map(|outcome| outcome.gain).min()?;
        let most = outcomes.iter().map(|outcome| outcome.gain).max()?;
        let lowest = self.lowest.checked_add(least)?;
        let mut chances = vec![0.0; width(lowest, self.highest().checked_add(most)?)?];
        for outcome in outcomes.iter().filter(|outcome| outcome.p > 0.0) {
            let from = usize::try_from(outcome.gain.checked_sub(least)?).ok()?;
            for (slot, chance) in chances.iter_mut().skip(from).zip(&self.chances) {
                *slot += outcome.p * chance;
            }
        }
        Some(Self { lowest, chances })
    }

    /// The same with every total so many times as far from the mean, which stays; none is below `lowest` or above
    /// `highest`, and what falls between two totals is shared between them. `None` where the span is too wide.
    pub fn stretched(&self, factor: f64, lowest: i64, highest: i64) -> Option<Self> {
        let (mean, low, high) = (self.mean(), steps(lowest), steps(highest));
        let at = |value: i64, shift: f64| {
            (mean + factor * (steps(value) - mean) + shift).clamp(low, high)
        };
        // What is cut off at one end moves the mean: everything shifts until it is back.
        let span = factor.max(1.0) * (high - low);
        let (mut least, mut most) = (-span, span);
        for _ in 0..HALVINGS {
            let shift = f64::midpoint(least, most);
            let moved: f64 = self.iter().map(|(value, p)| p * at(value, shift)).sum();
            if moved < mean {
                least = shift;
            } else {
                most = shift;
            }
        }
        let mut chances = vec![0.0; width(lowest, highest)?];
        for (value, p) in self.iter() {
            let target = at(value, f64::midpoint(least, most)) - low;
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "no target is below the lowest or above the highest"
            )]
            let below = target.floor() as usize;
            let above = target - target.floor();
            let shares = [1.0 - above, above];
            for (slot, share) in chances.iter_mut().skip(below).zip(shares) {
                *slot += p * share;
            }
        }
        Some(Self { lowest, chances })
    }

    /// The totals that can happen, lowest first, each with its chance.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (i64, f64)> + '_ {
        let every = self.chances.iter().copied().enumerate();
        every
            .filter(|(_, chance)| *chance > 0.0)
            .map(|(index, chance)| (self.at(index), chance))
    }

    /// The chance of exactly this total.
    pub fn pmf(&self, value: i64) -> f64 {
        let index = value
            .checked_sub(self.lowest)
            .and_then(|gap| usize::try_from(gap).ok());
        index
            .and_then(|index| self.chances.get(index))
            .copied()
            .unwrap_or(0.0)
    }

    /// The chance of this total or a lower one, summed from the low end.
    pub fn at_most(&self, value: i64) -> f64 {
        let sum: f64 = self
            .iter()
            .take_while(|(total, _)| *total <= value)
            .map(|(_, p)| p)
            .sum();
        sum.min(1.0)
    }

    /// The chance of this total or a higher one, summed from the high end.
    pub fn at_least(&self, value: i64) -> f64 {
        let sum: f64 = self
            .iter()
            .rev()
            .take_while(|(total, _)| *total >= value)
            .map(|(_, p)| p)
            .sum();
        sum.min(1.0)
    }

    /// The expected total.
    pub fn mean(&self) -> f64 {
        steps(self.lowest) + self.mean_above_lowest()
    }

    /// The variance of the total.
    pub fn variance(&self) -> f64 {
        let middle = self.mean_above_lowest();
        let squares = self.chances.iter().enumerate();
        squares
            .map(|(index, p)| p * (real(index) - middle).powi(2))
            .sum()
    }

    /// The standard deviation of the total.
    pub fn sd(&self) -> f64 {
        self.variance().sqrt()
    }

    /// The lowest total that leaves at least this share of chance at or below it; `None` outside 0 to 1.
    pub fn quantile(&self, share: f64) -> Option<i64> {
        if !(0.0..=1.0).contains(&share) {
            return None;
        }
        let mut below = 0.0;
        let mut last = self.lowest;
        for (total, chance) in self.iter() {
            below += chance;
            last = total;
            if below >= share - TIE {
                break;
            }
        }
        Some(last)
    }

    /// The lowest total with at least half of the chance at or below it.
    pub fn median(&self) -> i64 {
        self.quantile(0.5).unwrap_or(self.lowest)
    }

    /// The likeliest total, the lowest of them when several are equally likely.
    pub fn mode(&self) -> i64 {
        let mut best = (self.lowest, 0.0);
        for (total, chance) in self.iter() {
            if chance > best.1 * (1.0 + TIE) {
                best = (total, chance);
            }
        }
        best.0
    }

    /// The lowest total that can happen.
    pub fn min(&self) -> i64 {
        self.iter().next().map_or(self.lowest, |(total, _)| total)
    }

    /// The highest total that can happen.
    pub fn max(&self) -> i64 {
        self.iter()
            .next_back()
            .map_or(self.lowest, |(total, _)| total)
    }

    fn highest(&self) -> i64 {
        self.at(self.chances.len().saturating_sub(1))
    }

    /// The total at a place of `chances`; `with` and `mixture` never let it overflow.
    fn at(&self, index: usize) -> i64 {
        self.lowest
            .saturating_add(i64::try_from(index).unwrap_or(i64::MAX))
    }

    fn mean_above_lowest(&self) -> f64 {
        self.chances
            .iter()
            .enumerate()
            .map(|(index, p)| real(index) * p)
            .sum()
    }
}

/// How many grid steps a span holds, if it is not too wide.
fn width(lowest: i64, highest: i64) -> Option<usize> {
    let gap = highest.checked_sub(lowest)?;
    let count = u64::try_from(gap).ok()?.checked_add(1)?;
    (count <= WIDEST).then(|| usize::try_from(count).ok())?
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn near(left: f64, right: f64) -> bool {
        (left - right).abs() < 1e-12
    }

    #[test]
    fn a_paper_without_chances_ends_on_its_start() {
        let sum = total(7, &[]).unwrap();
        assert_eq!(
            (sum.min(), sum.max(), sum.median(), sum.mode()),
            (7, 7, 7, 7)
        );
        assert!(near(sum.mean(), 7.0) && near(sum.sd(), 0.0));
        assert!(near(sum.at_most(6), 0.0) && near(sum.at_least(7), 1.0));
    }

    #[test]
    fn two_coins_give_a_quarter_a_half_a_quarter() {
        let coin = Chance {
            right: 4,
            wrong: -1,
            p: 0.5,
        };
        let sum = total(0, &[coin, coin]).unwrap();
        let every: Vec<_> = sum.iter().collect();
        assert_eq!(every, [(-2, 0.25), (3, 0.5), (8, 0.25)]);
        assert!(near(sum.mean(), 3.0) && near(sum.variance(), 12.5));
        assert_eq!(
            (sum.median(), sum.mode(), sum.quantile(0.76)),
            (3, 3, Some(8))
        );
        assert!(near(sum.at_least(4), 0.25) && near(sum.at_most(4), 0.75));
    }

    proptest! {
        /// The questions one by one, and the mixture by its definition.
        #[test]
        fn questions_alike_end_as_one_after_another(
            questions in 0_usize..12,
            gains in prop::array::uniform3(-9_i64..9),
            cases in prop::collection::vec((0.0..=1.0_f64, 0.0..=1.0_f64), 1..5),
        ) {
            let cases: Vec<_> = cases
                .into_iter()
                .map(|(right, wrong)| [right, (1.0 - right) * wrong, (1.0 - right) * (1.0 - wrong)])
                .collect();
            let alike = AlikeQuestions::new(questions, gains).unwrap().mixture(&cases).unwrap();
            let each: Vec<_> = cases
                .iter()
                .map(|case| {
                    let one: Vec<_> = gains
                        .iter()
                        .zip(case)
                        .map(|(gain, p)| PossibleGain { gain: *gain, p: *p })
                        .collect();
                    let start = Distribution::certain(0);
                    (0..questions).fold(start, |sum, _| sum.with(&one).unwrap())
                })
                .collect();
            let each: Vec<_> = each.iter().map(|total| (1.0, total)).collect();
            let slow = mixture(&each).unwrap();
            prop_assert_eq!((alike.lowest, alike.chances.len()), (slow.lowest, slow.chances.len()));
            for (one, other) in alike.chances.iter().zip(&slow.chances) {
                prop_assert!(near(*one, *other), "{} and {}", one, other);
            }
        }
    }

    #[test]
    fn no_case_and_no_memory_are_no_answer() {
        assert_eq!(
            AlikeQuestions::new(2, [1, 0, 0]).unwrap().mixture(&[]),
            None
        );
        assert_eq!(AlikeQuestions::new(2, [i64::MAX, 0, 0]), None);
        assert_eq!(AlikeQuestions::new(5, [1 << 20, 0, 0]), None);
    }

    #[test]
    fn a_stretched_distribution_keeps_its_mean_and_its_limits() {
        let coin = |right, p| Chance { right, wrong: 0, p };
        let sum = total(0, &[coin(10, 0.5), coin(10, 0.5)]).unwrap();
        // Far from both limits every total lies twice as far out: -10, 10 and 30.
        let wide = sum.stretched(2.0, -50, 50).unwrap();
        let chances = [-10, 10, 30].map(|total| wide.pmf(total));
        assert!(
            chances
                .iter()
                .zip([0.25, 0.5, 0.25])
                .all(|(one, other)| near(*one, other))
        );
        // What falls between two totals is shared between them: half a step above 14 and below 6.
        let between = sum.stretched(1.45, -50, 50).unwrap();
        assert!(
            near(between.pmf(24), 0.125) && near(between.pmf(25), 0.125),
            "{between:?}"
        );
        for (p, factor) in [(0.9, 3.0), (0.02, 5.0), (0.5, 1.2)] {
            let sum = total(0, &[coin(40, p), coin(30, p), coin(30, p)]).unwrap();
            let wide = sum.stretched(factor, 0, 100).unwrap();
            assert!((wide.mean() - sum.mean()).abs() < 1e-9, "{p} {factor}");
            assert!(wide.min() >= 0 && wide.max() <= 100);
            assert!(wide.sd() > sum.sd() - 1e-9, "{p} {factor}");
        }
    }

    #[test]
    fn ties_go_to_the_lower_total() {
        let sum = total(
            0,
            &[Chance {
                right: 1,
                wrong: 0,
                p: 0.5,
            }],
        )
        .unwrap();
        assert_eq!((sum.median(), sum.mode()), (0, 0));
    }

    #[test]
    fn a_question_may_end_in_three_ways() {
        let ways = [(6, 0.5), (0, 0.25), (2, 0.25)].map(|(gain, p)| PossibleGain { gain, p });
        let sum = Distribution::certain(10).with(&ways).unwrap();
        assert!(near(sum.pmf(16), 0.5) && near(sum.pmf(12), 0.25) && near(sum.pmf(11), 0.0));
        assert!(near(sum.mean(), 13.5));
    }

    #[test]
    fn a_mixture_weighs_its_parts() {
        let (low, high) = (Distribution::certain(10), Distribution::certain(20));
        let both = mixture(&[(3.0, &low), (1.0, &high)]).unwrap();
        assert!(near(both.pmf(10), 0.75) && near(both.at_least(11), 0.25));
        assert!(near(both.mean(), 12.5));
        assert_eq!(mixture(&[]), None);
        assert_eq!(mixture(&[(0.0, &low)]), None);
        assert_eq!(mixture(&[(-1.0, &low), (2.0, &high)]), None);
    }

    #[test]
    fn what_is_no_chance_has_no_distribution() {
        for p in [f64::NAN, -0.1, 1.1, f64::INFINITY] {
            assert_eq!(
                total(
                    0,
                    &[Chance {
                        right: 1,
                        wrong: 0,
                        p
                    }]
                ),
                None
            );
        }
        let half = PossibleGain { gain: 0, p: 0.5 };
        assert_eq!(Distribution::certain(0).with(&[half]), None);
        assert_eq!(Distribution::certain(0).with(&[]), None);
        assert_eq!(Distribution::certain(0).quantile(f64::NAN), None);
        let wide = Chance {
            right: i64::MAX,
            wrong: i64::MIN,
            p: 0.5,
        };
        assert_eq!(total(0, &[wide]), None);
        assert_eq!(
            total(
                i64::MAX,
                &[Chance {
                    right: 1,
                    wrong: 0,
                    p: 0.5
                }]
            ),
            None
        );
    }

    proptest! {
        #[test]
        fn chances_add_to_one_in_any_order(
            pieces in prop::collection::vec((-8i64..9, -8i64..9, 0.0f64..=1.0), 0..12),
        ) {
            let chances: Vec<Chance> =
                pieces.iter().map(|&(right, wrong, p)| Chance { right, wrong, p }).collect();
            let back: Vec<Chance> = chances.iter().rev().copied().collect();
            let (one, other) = (total(0, &chances).unwrap(), total(0, &back).unwrap());
            let whole: f64 = one.iter().map(|(_, p)| p).sum();
            prop_assert!(near(whole, 1.0));
            for value in one.min()..=one.max() {
                prop_assert!(near(one.pmf(value), other.pmf(value)));
                prop_assert!(near(one.at_most(value) + one.at_least(value + 1), 1.0));
            }
            let mean: f64 = chances.iter()
                .map(|c| c.p * steps(c.right) + (1.0 - c.p) * steps(c.wrong)).sum();
            prop_assert!((one.mean() - mean).abs() < 1e-9);
        }
    }
}
