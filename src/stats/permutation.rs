//! Whether figures move in the order in which they came: the permutation test of Pitman (1937), *Supplement to the
//! Journal of the Royal Statistical Society* 4, 225-232 (from memory).
//!
//! It takes nothing for granted of the figures but that without movement every order is as likely: small counts with
//! many ties, of which a t test says too much, are held as exactly as marks.

use super::real;

/// More figures than this have too many orders to go through.
const MOST: usize = 7;

/// How often, of all orders of the figures, the slope over their places is at least as far from 0 as in this one.
///
/// `None` for fewer than three figures and for more than seven.
pub fn slope(values: &[f64]) -> Option<f64> {
    if !(3..=MOST).contains(&values.len()) {
        return None;
    }
    let middle = real(values.len() - 1) / 2.0;
    let places: Vec<f64> = (0..values.len())
        .map(|index| real(index) - middle)
        .collect();
    let lean = |order: &[f64]| -> f64 { places.iter().zip(order).map(|(x, y)| x * y).sum() };
    let own = lean(values).abs();
    // Orders that differ by ties or by a mirror give the same slope: rounding must not part them.
    let slack = 1e-9 * (1.0 + own);
    let (mut as_far, mut all) = (0_usize, 0_usize);
    orders(&mut values.to_vec(), values.len(), &mut |order| {
        all += 1;
        as_far += usize::from(lean(order).abs() >= own - slack);
    });
    Some(real(as_far) / real(all))
}

/// Goes through every order of the first `count` figures.
fn orders(values: &mut Vec<f64>, count: usize, each: &mut impl FnMut(&[f64])) {
    let Some(last) = count.checked_sub(1).filter(|last| *last > 0) else {
        each(values);
        return;
    };
    for index in 0..count {
        values.swap(index, last);
        orders(values, last, each);
        values.swap(index, last);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn is(values: &[f64], expected: f64) {
        let found = slope(values).unwrap();
        assert!((found - expected).abs() < 1e-12, "{values:?}: {found}");
    }

    /// Counted by hand: of the 6 orders of three figures two are straight, and all are as far as a level one.
    #[test]
    fn orders_are_counted() {
        is(&[0.0, 1.0, 2.0], 2.0 / 6.0);
        is(&[5.0, 0.0, 5.0], 1.0);
        is(&[3.0; 4], 1.0);
        is(&[4.0, 3.0, 2.0, 1.0], 2.0 / 24.0);
        is(&[1.0, 2.0, 3.0, 4.0, 5.0], 2.0 / 120.0);
        // Three noughts and a one: the one is at an end in half of the orders.
        is(&[0.0, 0.0, 0.0, 1.0], 0.5);
    }

    #[test]
    fn few_and_many_figures_are_not_held() {
        assert_eq!((slope(&[1.0, 2.0]), slope(&[1.0; 8])), (None, None));
    }
}
