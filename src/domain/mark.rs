//! Marks as exact numbers: `62`, `-1`, `1/4`, `1.5`; never a float inside.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Mul, Neg, Sub};
use std::str::FromStr;

use num_rational::Ratio;
use serde::de::{self, Deserialize, Deserializer, Visitor};
use serde::ser::{Serialize, Serializer};

/// The largest size of a mark that a file may state.
///
/// With it, [`FINEST_GRID`] and a few hundred questions, no sum of marks leaves 64 bits.
pub const LARGEST: i64 = 1_000_000;

/// The finest common grid that the marks of one rule may need (the largest common denominator).
pub const FINEST_GRID: i64 = 1_000_000;

/// An exact number of marks, always in lowest terms.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Mark(Ratio<i64>);

impl Mark {
    /// No marks.
    pub const ZERO: Self = Self(Ratio::new_raw(0, 1));

    /// Gives a whole number of marks.
    pub const fn whole(marks: i64) -> Self {
        Self(Ratio::new_raw(marks, 1))
    }

    /// Gives `steps / grid` marks; a grid of nothing counts as one.
    pub fn from_steps(steps: i64, grid: i64) -> Self {
        Self(Ratio::new(steps, if grid == 0 { 1 } else { grid }))
    }

    /// The denominator in lowest terms, at least 1.
    pub fn denominator(self) -> i64 {
        *self.0.denom()
    }

    /// How many steps of `1 / grid` marks this is, when it lies on that grid.
    pub fn steps(self, grid: i64) -> Option<i64> {
        let steps = self.0 * grid;
        steps.is_integer().then(|| steps.to_integer())
    }

    /// The nearest double, for estimates and pictures only.
    #[expect(
        clippy::cast_precision_loss,
        reason = "pictures and estimates need no more"
    )]
    pub fn to_f64(self) -> f64 {
        *self.0.numer() as f64 / *self.0.denom() as f64
    }

    /// The expected mark of a chance of `1 / options` at `right` against `wrong`.
    pub fn blind_guess(right: Self, wrong: Self, options: usize) -> Self {
        let options = i64::try_from(options.max(1)).unwrap_or(i64::MAX);
        Self((right.0 + wrong.0 * (options - 1)) / options)
    }
}

impl Add for Mark {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Mark {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Mark {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<i64> for Mark {
    type Output = Self;
    fn mul(self, times: i64) -> Self {
        Self(self.0 * times)
    }
}

impl Sum for Mark {
    fn sum<I: Iterator<Item = Self>>(marks: I) -> Self {
        marks.fold(Self::ZERO, Add::add)
    }
}

/// The smallest grid on which all of `marks` lie: the least common denominator.
///
/// `None` when it would be finer than [`FINEST_GRID`].
pub fn common_grid(marks: impl IntoIterator<Item = Mark>) -> Option<i64> {
    marks.into_iter().try_fold(1_i64, |grid, mark| {
        let grid = num_integer::lcm(grid, mark.denominator());
        (grid <= FINEST_GRID).then_some(grid)
    })
}

impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = if self.0.is_integer() {
            self.0.to_integer().to_string()
        } else {
            format!("{}/{}", self.0.numer(), self.0.denom())
        };
        f.pad(&text)
    }
}

/// Why a text is no mark.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoMark(String);

impl fmt::Display for NoMark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "`{}` is no number of marks: write a whole number, a decimal or a fraction, such as 4, -1, 1.5 or \"1/4\", of size {LARGEST} at most",
            self.0
        )
    }
}

impl std::error::Error for NoMark {}

impl FromStr for Mark {
    type Err = NoMark;

    fn from_str(text: &str) -> Result<Self, NoMark> {
        parse(text.trim()).ok_or_else(|| NoMark(text.to_owned()))
    }
}

fn parse(text: &str) -> Option<Mark> {
    let (negative, size) = match text.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    let ratio = if let Some((numer, denom)) = size.split_once('/') {
        let denom = digits(denom)?;
        (denom != 0 && denom <= FINEST_GRID)
            .then(|| digits(numer).map(|n| Ratio::new(n, denom)))??
    } else if let Some((whole, decimals)) = size.split_once('.') {
        let places = u32::try_from(decimals.len())
            .ok()
            .filter(|n| (1..=6).contains(n))?;
        let grid = 10_i64.pow(places);
        Ratio::new(digits(whole)? * grid + digits(decimals)?, grid)
    } else {
        Ratio::from_integer(digits(size)?)
    };
    (ratio <= Ratio::from_integer(LARGEST)).then(|| Mark(if negative { -ratio } else { ratio }))
}

/// Up to nine digits and nothing else; an empty text is no number.
fn digits(text: &str) -> Option<i64> {
    let plain = (1..=9).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    plain.then(|| text.parse().ok())?
}

impl Serialize for Mark {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if self.0.is_integer() {
            serializer.serialize_i64(self.0.to_integer())
        } else {
            serializer.serialize_str(&self.to_string())
        }
    }
}

impl<'de> Deserialize<'de> for Mark {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(MarkVisitor)
    }
}

struct MarkVisitor;

impl Visitor<'_> for MarkVisitor {
    type Value = Mark;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a number of marks such as 4, -1, 1.5 or \"1/4\"")
    }

    fn visit_i64<E: de::Error>(self, whole: i64) -> Result<Mark, E> {
        self.visit_str(&whole.to_string())
    }

    fn visit_u64<E: de::Error>(self, whole: u64) -> Result<Mark, E> {
        self.visit_str(&whole.to_string())
    }

    /// The shortest text of a double is the decimal that was written.
    fn visit_f64<E: de::Error>(self, decimal: f64) -> Result<Mark, E> {
        self.visit_str(&decimal.to_string())
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Mark, E> {
        text.parse().map_err(E::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mark(text: &str) -> Mark {
        text.parse().unwrap()
    }

    #[test]
    fn whole_numbers_decimals_and_fractions_are_exact() {
        assert_eq!(mark("62").to_string(), "62");
        assert_eq!(mark("-1").to_string(), "-1");
        assert_eq!(mark("1.5").to_string(), "3/2");
        assert_eq!(mark("-1/4").to_string(), "-1/4");
        assert_eq!(mark("2/8").to_string(), "1/4");
        assert_eq!(mark("0.1") + mark("0.2"), mark("0.3"));
        assert_eq!((0..3).map(|_| mark("1/3")).sum::<Mark>(), Mark::whole(1));
    }

    #[test]
    fn what_is_no_number_is_refused_with_a_sentence() {
        for text in [
            "",
            "-",
            "x",
            "1/0",
            "1/",
            "/2",
            "1.",
            ".5",
            "1e3",
            "1000001",
            "1.0000001",
            "--1",
            "1 2",
            "1/2/3",
        ] {
            let error = text.parse::<Mark>().unwrap_err().to_string();
            assert!(error.contains("is no number of marks"), "{text}: {error}");
        }
    }

    #[test]
    fn files_may_write_a_mark_in_any_of_its_forms() {
        for (text, expected) in [
            ("4", "4"),
            ("-1", "-1"),
            ("1.5", "3/2"),
            ("0.1", "1/10"),
            ("\"1/4\"", "1/4"),
            ("\"-2\"", "-2"),
        ] {
            let read: Mark = ron::from_str(text).unwrap();
            assert_eq!(read.to_string(), expected);
            let again: Mark = ron::from_str(&ron::to_string(&read).unwrap()).unwrap();
            assert_eq!(again, read);
        }
        assert!(ron::from_str::<Mark>("true").is_err());
        assert!(ron::from_str::<Mark>("inf").is_err());
    }

    #[test]
    fn the_common_grid_is_the_least_common_denominator() {
        let grid = |texts: &[&str]| common_grid(texts.iter().map(|t| mark(t)));
        assert_eq!(grid(&[]), Some(1));
        assert_eq!(grid(&["1/4", "5/6", "3"]), Some(12));
        assert_eq!(grid(&["1/999983", "1/999979"]), None);
        assert_eq!(mark("5/6").steps(12), Some(10));
        assert_eq!(mark("5/6").steps(4), None);
    }

    /// A blind guess at one in five: 5/0 gives 1, 6/-1 gives .4, 6/-2 gives -.4 (arithmetic).
    #[test]
    fn a_blind_guess_is_worth_the_mean_of_its_options() {
        assert_eq!(Mark::blind_guess(mark("5"), mark("0"), 5), mark("1"));
        assert_eq!(Mark::blind_guess(mark("6"), mark("-1"), 5), mark("2/5"));
        assert_eq!(Mark::blind_guess(mark("6"), mark("-2"), 5), mark("-2/5"));
    }
}
