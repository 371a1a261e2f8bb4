//! Moments and spans of a sitting, in whole milliseconds.

use std::ops::{Add, Sub};

use serde::{Deserialize, Serialize};

/// A moment of a sitting, or a span of it: milliseconds since its start.
///
/// As a moment it counts everything since the first second, breaks and absences included.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Elapsed(pub u64);

impl Elapsed {
    /// The start.
    pub const ZERO: Self = Self(0);

    /// Gives a span of whole seconds.
    pub const fn seconds(seconds: u64) -> Self {
        Self(seconds.saturating_mul(1000))
    }

    /// Gives a span of whole minutes.
    pub const fn minutes(minutes: u64) -> Self {
        Self(minutes.saturating_mul(60_000))
    }

    /// Milliseconds.
    pub const fn as_millis(self) -> u64 {
        self.0
    }

    /// Seconds, exact to the millisecond.
    #[expect(
        clippy::cast_precision_loss,
        reason = "a sitting is far shorter than 2^53 ms"
    )]
    pub fn as_seconds(self) -> f64 {
        self.0 as f64 / 1000.0
    }

    /// This moment less `other`, or nothing where `other` is later.
    #[must_use]
    pub const fn since(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }

    /// `m:ss`, rounded up to the next second, as a clock that counts down shows it.
    pub fn countdown(self) -> String {
        minutes_seconds(self.0.div_ceil(1000))
    }

    /// `m:ss`, rounded down, as a stopwatch shows it.
    pub fn stopwatch(self) -> String {
        minutes_seconds(self.0 / 1000)
    }
}

fn minutes_seconds(seconds: u64) -> String {
    format!("{}:{:02}", seconds / 60, seconds % 60)
}

impl Add for Elapsed {
    type Output = Self;
    fn add(self, span: Self) -> Self {
        Self(self.0.saturating_add(span.0))
    }
}

impl Sub for Elapsed {
    type Output = Self;
    /// Never below the start.
    fn sub(self, other: Self) -> Self {
        self.since(other)
    }
}

/// The longest time that a sitting may be given: a day.
pub const LONGEST_MINUTES: u64 = 24 * 60;

/// Why a text is no length of time.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{0}` isn't a number of minutes: write a positive number up to {LONGEST_MINUTES}, such as 60, 12.5 or 0.2"
)]
pub struct NoMinutes(String);

/// Reads a positive decimal or fraction of minutes, rounded to the millisecond.
pub fn parse_minutes(text: &str) -> Result<Elapsed, NoMinutes> {
    let no = || NoMinutes(text.to_owned());
    let minutes: super::mark::Mark = text.parse().map_err(|_not_a_number| no())?;
    from_minutes(minutes).ok_or_else(no)
}

/// The span of so many minutes, rounded to the millisecond; `None` unless positive and at most a day.
pub fn from_minutes(minutes: super::mark::Mark) -> Option<Elapsed> {
    let millis = (minutes * 60_000).to_f64().round();
    let within =
        millis >= 1.0 && minutes <= super::mark::Mark::whole(i64::try_from(LONGEST_MINUTES).ok()?);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 1 and a day of milliseconds"
    )]
    within.then_some(Elapsed(millis as u64))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clock_that_counts_down_rounds_up_and_a_stopwatch_rounds_down() {
        assert_eq!(Elapsed(60_001).countdown(), "1:01");
        assert_eq!(Elapsed(60_000).countdown(), "1:00");
        assert_eq!(Elapsed(60_999).stopwatch(), "1:00");
        assert_eq!(Elapsed::ZERO.countdown(), "0:00");
        assert_eq!(Elapsed::minutes(75).stopwatch(), "75:00");
    }

    #[test]
    fn minutes_take_any_positive_decimal() {
        assert_eq!(parse_minutes("60"), Ok(Elapsed::minutes(60)));
        assert_eq!(parse_minutes("0.2"), Ok(Elapsed::seconds(12)));
        assert_eq!(parse_minutes("1/3"), Ok(Elapsed::seconds(20)));
        for text in ["0", "-5", "abc", "", "1441", "0.000001"] {
            assert!(parse_minutes(text).is_err(), "{text}");
        }
    }
}
