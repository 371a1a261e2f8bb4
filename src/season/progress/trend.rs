//! Whether figures move over a season: a straight line, its standard error, and what these can bear.

use serde::Serialize;
use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

use crate::stats::significance::holm;
use crate::stats::{permutation, real};

/// How often, at most, a page of trends may show a direction where nothing changes (the usual level).
const LEVEL: f64 = 0.05;

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
    /// Nothing that chance alone does not show as often.
    Level,
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
    /// How often no movement at all would show at least this slope, either way; nothing for two figures.
    #[serde(rename = "p")]
    pub chance: Option<f64>,
    /// What may be said beside the other trends of the page.
    pub verdict: Verdict,
}

/// The least-squares line through equally spaced figures, from two on, each with the standard error `sem` where that
/// is known (see [`weighted`]).
///
/// Where it is not, the slope's error is that of ordinary regression, and the slope is held against those of the same
/// figures in every other order ([`permutation`]), for many figures its ratio against Student's t with n - 2 degrees
/// of freedom.
pub fn trend(values: &[f64], sem: Option<f64>) -> Option<Trend> {
    let n = values.len();
    if let Some(sem) = sem {
        return weighted(values, &vec![sem; n]);
    }
    let line = LeastSquares::through(values, &vec![1.0; n])?;
    let error = line.scatter.map(|scatter| scatter * line.error);
    let of_orders = || permutation::slope(values).or_else(|| student(line.slope / error?, n));
    let chance = error.and_then(|_| of_orders());
    Some(Trend::new(
        values,
        line.slope,
        (error, Error::Residual),
        chance,
    ))
}

/// The line through equally spaced figures whose own standard errors are known, from two on: each figure counts by
/// the inverse of its variance.
///
/// The slope's error is `1 / sqrt(sum w (x - mean)^2)` (weighted least squares; Draper & Smith 1998, *Applied
/// Regression Analysis*, from memory), times Birge's ratio where the figures lie further from their line than their
/// errors let them (Birge 1932, *Physical Review* 40, 207-227, from memory); its ratio is held against the normal
/// distribution. `None` where an error is not above 0.
pub fn weighted(values: &[f64], errors: &[f64]) -> Option<Trend> {
    let sound = errors.iter().all(|error| *error > 0.0 && error.is_finite());
    if errors.len() != values.len() || !sound {
        return None;
    }
    let weights: Vec<f64> = errors.iter().map(|error| error.powi(-2)).collect();
    let line = LeastSquares::through(values, &weights)?;
    let birge = line.scatter.unwrap_or(0.0);
    let (error, from) = if birge > 1.0 {
        (line.error * birge, Error::Residual)
    } else {
        (line.error, Error::Measurement)
    };
    let chance = line
        .scatter
        .map(|_| 2.0 * Normal::standard().sf((line.slope / error).abs()));
    Some(Trend::new(values, line.slope, (Some(error), from), chance))
}

impl Trend {
    /// A trend by itself, as if it stood alone on its page.
    fn new(
        values: &[f64],
        slope: f64,
        (error, from): (Option<f64>, Error),
        chance: Option<f64>,
    ) -> Self {
        let mut trend = Self {
            values: values.to_vec(),
            slope,
            error,
            from,
            chance,
            verdict: Verdict::TwoOnly,
        };
        settle([&mut trend]);
        trend
    }

    fn direction(&self) -> Verdict {
        if self.slope > 0.0 {
            Verdict::Rising
        } else {
            Verdict::Falling
        }
    }
}

/// Says of trends that stand together which have a direction: at most [`LEVEL`] of pages without any movement show
/// one, however the trends hang together ([`holm`]).
pub(super) fn settle<'a>(together: impl IntoIterator<Item = &'a mut Trend>) {
    let mut tested: Vec<(f64, &mut Trend)> = Vec::new();
    for trend in together {
        match trend.chance {
            None => trend.verdict = Verdict::TwoOnly,
            Some(chance) => tested.push((chance, trend)),
        }
    }
    let chances: Vec<f64> = tested.iter().map(|(chance, _)| *chance).collect();
    for ((_, trend), stands_out) in tested.into_iter().zip(holm(&chances, LEVEL)) {
        trend.verdict = if stands_out {
            trend.direction()
        } else {
            Verdict::Level
        };
    }
}

/// A least-squares line.
struct LeastSquares {
    slope: f64,
    /// The slope's error by the weights alone.
    error: f64,
    /// How far the figures lie from the line, in units of what the weights say; nothing for two figures.
    scatter: Option<f64>,
}

impl LeastSquares {
    fn through(values: &[f64], weights: &[f64]) -> Option<Self> {
        let n = values.len();
        let below = n.checked_sub(2)?;
        let whole: f64 = weights.iter().sum();
        let points = || weights.iter().zip(values).enumerate();
        let middle = points().map(|(x, (w, _))| w * real(x)).sum::<f64>() / whole;
        let mean = points().map(|(_, (w, y))| w * y).sum::<f64>() / whole;
        let spread: f64 = points()
            .map(|(x, (w, _))| w * (real(x) - middle).powi(2))
            .sum();
        let lean = points().map(|(x, (w, y))| w * (real(x) - middle) * (y - mean));
        let slope = lean.sum::<f64>() / spread;
        let gap = |x, y: f64| y - mean - slope * (real(x) - middle);
        let squares: f64 = points().map(|(x, (w, y))| w * gap(x, *y).powi(2)).sum();
        Some(Self {
            slope,
            error: spread.sqrt().recip(),
            scatter: (below > 0).then(|| (squares / real(below)).sqrt()),
        })
    }
}

/// How often a ratio to its own error is at least as far from 0, in Student's t.
fn student(ratio: f64, n: usize) -> Option<f64> {
    let t = StudentsT::new(0.0, 1.0, real(n.checked_sub(2)?)).ok()?;
    Some(if ratio.is_nan() {
        1.0
    } else {
        2.0 * t.sf(ratio.abs())
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
