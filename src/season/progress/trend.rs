//! Whether figures move over a season: a straight line, its standard error, and what these can bear.

use serde::Serialize;
use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

use crate::stats::real;

/// Below so many sittings no direction is called clear.
const FEWEST_FOR_CLEAR: usize = 5;

/// At or below this one-sided chance a direction is called clear (5 %, the usual level).
const CLEAR: f64 = 0.05;

/// At or below this one-sided chance a direction is said to point somewhere (one standard error).
const POINTING: f64 = 0.16;

/// Where the standard error of a slope comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Error {
    /// From the known error of each figure.
    Measurement,
    /// From how far the figures lie from their line.
    Residual,
}

/// What may be said of a direction.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Two sittings.
    TwoOnly,
    /// No direction to be seen.
    Level,
    /// Upwards, and too early to be sure of it.
    PointingUp,
    /// Downwards, and too early to be sure of it.
    PointingDown,
    /// Clearly upwards.
    Rising,
    /// Clearly downwards.
    Falling,
}

/// A straight line through the figures of successive sittings.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Trend {
    /// The figures, the earliest first.
    pub values: Vec<f64>,
    /// How they move from one sitting to the next.
    pub slope: f64,
    /// The standard error of that; nothing where it cannot be known.
    #[serde(rename = "standard_error")]
    pub error: Option<f64>,
    /// Where the error comes from.
    #[serde(rename = "error_from")]
    pub from: Error,
    /// What may be said.
    pub verdict: Verdict,
}

/// The least-squares line through equally spaced figures, from two on.
///
/// With the error `sem` of a single figure known, the slope's is `sem / sqrt(sum (x - mean)^2)` and
/// its ratio is held against the normal distribution; without it, the error is that of ordinary
/// regression and the ratio is held against Student's t with n - 2 degrees of freedom.
pub fn trend(values: &[f64], sem: Option<f64>) -> Option<Trend> {
    let n = values.len();
    let middle = real(n.checked_sub(1).filter(|below| *below > 0)?) / 2.0;
    let mean = values.iter().sum::<f64>() / real(n);
    let places = || (0..n).map(|index| real(index) - middle);
    let spread: f64 = places().map(|x| x * x).sum();
    let slope = places()
        .zip(values)
        .map(|(x, y)| x * (y - mean))
        .sum::<f64>()
        / spread;
    let from = if sem.is_some() {
        Error::Measurement
    } else {
        Error::Residual
    };
    let residual = || {
        let below = real(n.checked_sub(2).filter(|below| *below > 0)?);
        let gaps = places().zip(values).map(|(x, y)| y - mean - slope * x);
        Some((gaps.map(|gap| gap * gap).sum::<f64>() / below).sqrt())
    };
    let error = sem.or_else(residual).map(|sem| sem / spread.sqrt());
    Some(Trend {
        values: values.to_vec(),
        slope,
        error,
        from,
        verdict: verdict(n, slope, error, from),
    })
}

/// The line through equally spaced figures whose own standard errors are known, from two on: each figure counts by
/// the inverse of its variance.
///
/// The slope's error is `1 / sqrt(sum w (x - mean)^2)` (weighted least squares; Draper & Smith 1998, *Applied
/// Regression Analysis*, from memory). `None` where an error is not above 0.
pub fn weighted(values: &[f64], errors: &[f64]) -> Option<Trend> {
    let n = values.len();
    let sound = errors.iter().all(|error| *error > 0.0 && error.is_finite());
    if n < 2 || errors.len() != n || !sound {
        return None;
    }
    let weights: Vec<f64> = errors.iter().map(|error| error.powi(-2)).collect();
    let whole: f64 = weights.iter().sum();
    let points = || weights.iter().zip(values).enumerate();
    let middle = points().map(|(x, (w, _))| w * real(x)).sum::<f64>() / whole;
    let mean = points().map(|(_, (w, y))| w * y).sum::<f64>() / whole;
    let spread: f64 = points()
        .map(|(x, (w, _))| w * (real(x) - middle).powi(2))
        .sum();
    let lean = points().map(|(x, (w, y))| w * (real(x) - middle) * (y - mean));
    let slope = lean.sum::<f64>() / spread;
    let error = Some(spread.sqrt().recip());
    Some(Trend {
        values: values.to_vec(),
        slope,
        error,
        from: Error::Measurement,
        verdict: verdict(n, slope, error, Error::Measurement),
    })
}

fn verdict(n: usize, slope: f64, error: Option<f64>, from: Error) -> Verdict {
    let (Some(error), 3..) = (error, n) else {
        return Verdict::TwoOnly;
    };
    if slope.abs() < 1e-9 {
        return Verdict::Level;
    }
    let chance = chance(slope.abs() / error, n, from).unwrap_or(1.0);
    let either = |upwards, downwards| if slope > 0.0 { upwards } else { downwards };
    if chance <= CLEAR && (n >= FEWEST_FOR_CLEAR || from == Error::Measurement) {
        either(Verdict::Rising, Verdict::Falling)
    } else if chance <= POINTING {
        either(Verdict::PointingUp, Verdict::PointingDown)
    } else {
        Verdict::Level
    }
}

/// How often no movement at all would show at least this ratio on the same side.
fn chance(ratio: f64, n: usize, from: Error) -> Option<f64> {
    if ratio.is_infinite() {
        return Some(0.0);
    }
    Some(match from {
        Error::Measurement => Normal::standard().sf(ratio),
        Error::Residual => StudentsT::new(0.0, 1.0, real(n.checked_sub(2)?))
            .ok()?
            .sf(ratio),
    })
}

/// One error for figures whose own errors differ: the root of their mean square.
pub(super) fn together(errors: &[f64]) -> Option<f64> {
    if errors.is_empty() {
        return None;
    }
    let squares: f64 = errors.iter().map(|error| error * error).sum();
    Some((squares / real(errors.len())).sqrt()).filter(|error| *error > 0.0)
}
