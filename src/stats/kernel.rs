//! A normal kernel on an even grid: what a deviation that nobody sees does to weights, and to a likelihood.

/// Beyond so many standard deviations a kernel is nothing: its weight there is under 1e-14 of that at its middle.
const FAR: f64 = 8.0;

/// Normal weights by distance on a grid of so many points.
#[derive(Debug, Clone, PartialEq)]
pub struct Kernel {
    /// By how many steps two points lie apart.
    weights: Vec<f64>,
    /// For each point the part of its kernel that lies on the grid.
    sums: Vec<f64>,
}

impl Kernel {
    /// With this SD on a grid of `points` values that lie `step` apart; an SD far below the step moves nothing.
    pub fn new(points: usize, step: f64, sd: f64) -> Self {
        let near = if sd < step / 10.0 { 0.0 } else { FAR * sd };
        let gaps = (0..points).map(|gap| super::real(gap) * step);
        let gaps = gaps.take_while(|gap| *gap <= near || *gap == 0.0);
        let weight = |gap: f64| {
            if gap == 0.0 {
                1.0
            } else {
                (-(gap / sd).powi(2) / 2.0).exp()
            }
        };
        let weights: Vec<f64> = gaps.map(weight).collect();
        let sums = folded(&weights, &vec![1.0; points]);
        Self { weights, sums }
    }

    /// A likelihood averaged over the deviation: each value becomes the mean of those about it.
    pub fn average(&self, likelihood: &[f64]) -> Vec<f64> {
        let mut found = folded(&self.weights, likelihood);
        for (value, sum) in found.iter_mut().zip(&self.sums) {
            *value /= sum;
        }
        found
    }

    /// Weights spread over the deviation: their sum stays, nothing is lost at the ends.
    pub fn spread(&self, weights: &[f64]) -> Vec<f64> {
        let each: Vec<f64> = weights
            .iter()
            .zip(&self.sums)
            .map(|(w, sum)| w / sum)
            .collect();
        folded(&self.weights, &each)
    }
}

/// The sum about each value, neighbours weighted by their distance.
fn folded(weights: &[f64], values: &[f64]) -> Vec<f64> {
    let mut sums = vec![0.0; values.len()];
    for (gap, weight) in weights.iter().enumerate() {
        let (Some(upper), Some(lower)) = (values.get(gap..), values.len().checked_sub(gap)) else {
            break;
        };
        for (sum, value) in sums.iter_mut().zip(upper) {
            *sum += weight * value;
        }
        if gap > 0 {
            let lower = values.get(..lower).unwrap_or_default();
            for (sum, value) in sums
                .get_mut(gap..)
                .unwrap_or_default()
                .iter_mut()
                .zip(lower)
            {
                *sum += weight * value;
            }
        }
    }
    sums
}

/// Weighted values as `count` equally likely ones: the means of slices of the same weight, lowest first.
///
/// Weights need not add to 1; none above zero gives no slice.
pub fn slices(values: impl IntoIterator<Item = (f64, f64)>, count: usize) -> Vec<f64> {
    let values: Vec<(f64, f64)> = values.into_iter().collect();
    let whole: f64 = values.iter().map(|(_, weight)| weight).sum();
    let share = 1.0 / super::real(count.max(1));
    let mut slices = Vec::with_capacity(count);
    if !whole.is_finite() || whole <= 0.0 {
        return slices;
    }
    let (mut sum, mut filled) = (0.0, 0.0);
    for (value, weight) in values {
        let mut rest = weight / whole;
        while slices.len() + 1 < count && filled + rest >= share {
            let part = share - filled;
            slices.push((sum + part * value) / share);
            rest -= part;
            (sum, filled) = (0.0, 0.0);
        }
        sum += rest * value;
        filled += rest;
    }
    if filled > 0.0 {
        slices.push(sum / filled);
    }
    slices
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Every pair of points by the formula, no band and no symmetry.
    fn naive(values: &[f64], step: f64, sd: f64, keeps_sum: bool) -> Vec<f64> {
        let at = |one: usize, other: usize| {
            let gap = (super::super::real(one) - super::super::real(other)) * step;
            (-(gap / sd).powi(2) / 2.0).exp()
        };
        let whole = |point: usize| (0..values.len()).map(|to| at(to, point)).sum::<f64>();
        let sum = |to: usize| {
            let terms = values.iter().enumerate();
            let terms = terms.map(|(from, value)| {
                value * at(to, from) / if keeps_sum { whole(from) } else { whole(to) }
            });
            terms.sum()
        };
        (0..values.len()).map(sum).collect()
    }

    proptest! {
        #[test]
        fn a_band_of_the_kernel_is_as_good_as_all_of_it(
            values in prop::collection::vec(0.0f64..1.0, 1..60),
            sd in 0.05f64..3.0,
        ) {
            let kernel = Kernel::new(values.len(), 0.1, sd);
            for (found, keeps_sum) in [(kernel.average(&values), false), (kernel.spread(&values), true)] {
                for (one, other) in found.iter().zip(naive(&values, 0.1, sd, keeps_sum)) {
                    prop_assert!((one - other).abs() < 1e-12, "{one} {other}");
                }
            }
            let whole: f64 = values.iter().sum();
            prop_assert!((kernel.spread(&values).iter().sum::<f64>() - whole).abs() < 1e-10);
        }

        #[test]
        fn slices_are_in_order_and_keep_the_mean(
            values in prop::collection::vec(0.0f64..1.0, 1..40),
            count in 1_usize..20,
        ) {
            let points = (0..values.len()).map(super::super::real).zip(values.iter().copied());
            let whole: f64 = values.iter().sum();
            prop_assume!(whole > 1e-6);
            let found = slices(points.clone(), count);
            prop_assert!(found.windows(2).all(|pair| pair[0] <= pair[1] + 1e-12));
            let mean = points.map(|(value, weight)| value * weight / whole).sum::<f64>();
            let of = found.iter().sum::<f64>() / super::super::real(found.len());
            prop_assert!(found.len() != count || (of - mean).abs() < 1e-9);
        }
    }

    #[test]
    fn a_deviation_of_nothing_moves_nothing() {
        let values = [0.2, 0.5, 0.3];
        let kernel = Kernel::new(3, 0.1, 0.0);
        assert_eq!(kernel.average(&values), values);
        assert_eq!(kernel.spread(&values), values);
        assert!(slices([(1.0, 0.0)], 3).is_empty());
    }
}
