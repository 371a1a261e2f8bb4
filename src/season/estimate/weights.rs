//! Where a figure comes from.

use serde::Serialize;

/// How much of a figure comes from where; the three add to 1.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ShrinkageWeights {
    /// From the pupil's own sittings.
    pub own: f64,
    /// From other pupils.
    pub group: f64,
    /// From the stated default.
    pub default: f64,
}
