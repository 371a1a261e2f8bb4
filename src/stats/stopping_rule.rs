//! When another minute on a question is worth less than the same minute elsewhere.

/// When to leave a question that may or may not fall: with chance `solvable` it does, after a time that is exponential with
/// mean `typical`; then it brings `prize` marks more than what is done with it otherwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StoppingRule {
    /// The chance that it can be solved at all.
    pub solvable: f64,
    /// The mean time to solve it where it can be, in the caller's unit.
    pub typical: f64,
    /// The marks that solving it brings over leaving it.
    pub prize: f64,
}

impl StoppingRule {
    /// The chance that it will ever fall once it has resisted for so long:
    /// A e^(-t/tau) / (1 - A (1 - e^(-t/tau))), by Bayes' rule.
    pub fn still_solvable(self, spent: f64) -> f64 {
        let left = (-spent / self.typical).exp();
        self.solvable * left / (1.0 - self.solvable * (1.0 - left))
    }

    /// The marks that the next moment brings, per unit of time.
    pub fn gain_rate(self, spent: f64) -> f64 {
        self.prize * self.still_solvable(spent) / self.typical
    }

    /// When the gain has fallen to `price`, the marks that a unit of time brings elsewhere.
    ///
    /// Nothing where even the first moment is worth no more; `None` where it never falls so low (a question
    /// that can be solved for certain, or time that is worth nothing elsewhere).
    pub fn leave_after(self, price: f64) -> Option<f64> {
        if self.gain_rate(0.0) <= price {
            return Some(0.0);
        }
        let left =
            price * (1.0 - self.solvable) / (self.solvable * (self.prize / self.typical - price));
        let spent = -self.typical * left.ln();
        (left > 0.0 && spent.is_finite()).then_some(spent)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const HARD: StoppingRule = StoppingRule {
        solvable: 0.75,
        typical: 2.0,
        prize: 0.8,
    };

    /// Computed independently, no published source.
    #[test]
    fn the_longer_it_has_resisted_the_less_likely_it_is_to_fall() {
        for (minute, (chance, rate)) in (0_u8..).zip([
            (0.75, 0.300),
            (0.645, 0.258),
            (0.525, 0.210),
            (0.401, 0.160),
            (0.289, 0.116),
            (0.198, 0.079),
            (0.130, 0.052),
        ]) {
            let spent = f64::from(minute);
            assert!((HARD.still_solvable(spent) - chance).abs() < 6e-4);
            assert!((HARD.gain_rate(spent) - rate).abs() < 6e-4);
        }
        for (price, minutes) in [(0.05, 6.09), (0.10, 4.39), (0.15, 3.22)] {
            assert!((HARD.leave_after(price).unwrap() - minutes).abs() < 6e-3);
        }
    }

    #[test]
    fn what_is_dear_is_left_at_once_and_what_is_free_never() {
        assert_eq!(HARD.leave_after(0.4), Some(0.0));
        assert_eq!(HARD.leave_after(0.0), None);
        let certain = StoppingRule {
            solvable: 1.0,
            ..HARD
        };
        assert_eq!(certain.leave_after(0.05), None);
    }
}
