//! What every `--json` shares: marks are exact strings, times seconds, and what is not known is null.

pub mod mark;
pub mod step;

use serde::{Serialize, Serializer};

use crate::domain::mark::Mark;
use crate::words::text::visible;

/// Marks, or minutes, as an exact string: `"62"`, `"123/4"`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Exact(pub Mark);

impl Serialize for Exact {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0.exact())
    }
}

/// The two ends of a range.
#[derive(Clone, Copy, Debug, Serialize)]
pub(super) struct Between<T> {
    low: T,
    high: T,
}

impl<T> Between<T> {
    pub(super) const fn new(low: T, high: T) -> Self {
        Self { low, high }
    }
}

impl From<(f64, f64)> for Between<f64> {
    fn from((low, high): (f64, f64)) -> Self {
        Self { low, high }
    }
}

impl From<(Mark, Mark)> for Between<Exact> {
    fn from((low, high): (Mark, Mark)) -> Self {
        Self {
            low: Exact(low),
            high: Exact(high),
        }
    }
}

/// How likely a mark is.
#[derive(Clone, Copy, Debug, Serialize)]
pub(super) struct MarkChance {
    pub marks: Exact,
    pub chance: f64,
}

/// One value as a page of JSON. What a screen would act on or nobody would see is escaped, in files too: they are
/// looked at in terminals, and whatever reads JSON gets the text as it was.
///
/// # Errors
/// What `serde_json` cannot write; in a report there is nothing of the kind.
pub fn written(value: &impl Serialize) -> serde_json::Result<String> {
    let text = serde_json::to_string_pretty(value)?;
    Ok(visible(&text).into_owned() + "\n")
}
