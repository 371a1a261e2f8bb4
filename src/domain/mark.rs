//! Marks as exact numbers: `62`, `-1`, `1/4`, `1.5`, `12 1/3`; never a float inside.
//!
//! People read a mark as it is displayed: a decimal where four places say it exactly, else a mixed
//! number. Files and JSON have it as [`Mark::exact`].

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub};
use std::str::FromStr;

use num_bigint::BigInt;
use num_rational::{BigRational, Ratio};
use serde::de::{self, Deserialize, Deserializer, Visitor};
use serde::ser::{Serialize, Serializer};

/// The largest size of a mark that a file may state.
///
/// With it, [`FINEST_GRID`] and a few hundred questions, no sum of marks of one paper leaves 128 bits,
/// not even one of blind guesses among any numbers of options. Sums over papers are a [`MarkTotal`].
pub const LARGEST: i64 = 1_000_000;

/// The finest common grid that the marks of one rule may need (the largest common denominator).
pub const FINEST_GRID: i64 = 1_000_000;

/// The steps of one mark that the most decimals shown can say.
const PLACES: u128 = 10_000;

/// An exact number of marks, always in lowest terms.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Mark(Ratio<i128>);

impl Mark {
    /// No marks.
    pub const ZERO: Self = Self(Ratio::new_raw(0, 1));

    /// Gives a whole number of marks.
    pub const fn whole(marks: i64) -> Self {
        Self(Ratio::new_raw(marks as i128, 1))
    }

    /// Gives `steps / grid` marks; a grid of nothing counts as one.
    pub fn from_steps(steps: i64, grid: i64) -> Self {
        let grid = if grid == 0 { 1 } else { grid };
        Self(Ratio::new(steps.into(), grid.into()))
    }

    /// The denominator in lowest terms, at least 1.
    pub fn denominator(self) -> i64 {
        i64::try_from(*self.0.denom()).unwrap_or(i64::MAX)
    }

    /// How many steps of `1 / grid` marks this is, when it lies on that grid.
    pub fn steps(self, grid: i64) -> Option<i64> {
        let times = i128::from(grid);
        let fits = times % self.0.denom() == 0;
        let steps = fits.then(|| self.0.numer().checked_mul(times / self.0.denom()));
        i64::try_from(steps??).ok()
    }

    /// As files and JSON have it: `62`, `-1`, `37/3`.
    pub fn exact(self) -> String {
        self.0.to_string()
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
        let options = i64::try_from(options.max(1)).map_or(i128::from(i64::MAX), i128::from);
        Self((right.0 + wrong.0 * (options - 1)) / options)
    }
}

impl Add for Mark {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        // Whole marks, as nearly all are, need no common denominator.
        if self.0.is_integer() && other.0.is_integer() {
            return Self(Ratio::from_integer(self.0.numer() + other.0.numer()));
        }
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
        Self(self.0 * i128::from(times))
    }
}

impl Sum for Mark {
    fn sum<I: Iterator<Item = Self>>(marks: I) -> Self {
        marks.fold(Self::ZERO, Add::add)
    }
}

/// Marks added up over papers: exact, however many rules with unlike fractions come together.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct MarkTotal(BigRational);

impl MarkTotal {
    /// The same as a mark, where it is of a mark's size.
    pub fn as_mark(&self) -> Option<Mark> {
        let part = |part: &BigInt| i128::try_from(part).ok();
        Some(Mark(Ratio::new(
            part(self.0.numer())?,
            part(self.0.denom())?,
        )))
    }

    /// The nearest whole number of marks.
    pub fn rounded(&self) -> BigInt {
        self.0.round().to_integer()
    }
}

impl Default for MarkTotal {
    fn default() -> Self {
        Mark::ZERO.into()
    }
}

impl From<Mark> for MarkTotal {
    fn from(Mark(ratio): Mark) -> Self {
        Self(Ratio::new_raw(
            (*ratio.numer()).into(),
            (*ratio.denom()).into(),
        ))
    }
}

impl AddAssign<Mark> for MarkTotal {
    fn add_assign(&mut self, mark: Mark) {
        self.0 += Self::from(mark).0;
    }
}

impl Sum<Mark> for MarkTotal {
    fn sum<I: Iterator<Item = Mark>>(marks: I) -> Self {
        marks.fold(Self::default(), |mut total, mark| {
            total += mark;
            total
        })
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

/// `62`, `12.75`, `-2.5`; what four decimals do not say exactly, `12 1/3`.
impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (size, grid) = (self.0.numer().unsigned_abs(), self.0.denom().unsigned_abs());
        let sign = if *self < Self::ZERO { "-" } else { "" };
        let (whole, rest) = (size / grid, size % grid);
        let text = if rest == 0 {
            format!("{sign}{whole}")
        } else if PLACES.is_multiple_of(grid) {
            let decimals = format!("{:04}", rest * (PLACES / grid));
            format!("{sign}{whole}.{}", decimals.trim_end_matches('0'))
        } else if whole == 0 {
            format!("{sign}{rest}/{grid}")
        } else {
            format!("{sign}{whole} {rest}/{grid}")
        };
        f.pad(&text)
    }
}

/// Why a text is no mark.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{0}` isn't a number of marks: write a whole number, a decimal or a fraction, such as 4, -1, 1.5, \"1/4\" or \"12 1/3\", up to {LARGEST}"
)]
pub struct NoMark(String);

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
    let ratio = if let Some((whole, part)) = size.split_once(' ') {
        let part = fraction(part.trim_start())?;
        (part < Ratio::from_integer(1)).then_some(part + digits(whole)?)?
    } else if size.contains('/') {
        fraction(size)?
    } else if let Some((whole, decimals)) = size.split_once('.') {
        let places = u32::try_from(decimals.len())
            .ok()
            .filter(|n| (1..=6).contains(n))?;
        let grid = 10_i128.pow(places);
        Ratio::new(digits(whole)? * grid + digits(decimals)?, grid)
    } else {
        Ratio::from_integer(digits(size)?)
    };
    (ratio <= Ratio::from_integer(LARGEST.into()))
        .then(|| Mark(if negative { -ratio } else { ratio }))
}

fn fraction(text: &str) -> Option<Ratio<i128>> {
    let (numer, denom) = text.split_once('/')?;
    let denom = digits(denom)?;
    let sound = denom != 0 && denom <= i128::from(FINEST_GRID);
    sound.then_some(Ratio::new(digits(numer)?, denom.max(1)))
}

/// Up to nine digits and nothing else; an empty text is no number.
fn digits(text: &str) -> Option<i128> {
    let plain = (1..=9).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    plain.then(|| text.parse().ok())?
}

impl Serialize for MarkTotal {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(&self.0)
    }
}

impl Serialize for Mark {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match i64::try_from(self.0.to_integer()) {
            Ok(whole) if self.0.is_integer() => serializer.serialize_i64(whole),
            _ => serializer.serialize_str(&self.exact()),
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
        f.write_str("a number of marks such as 4, -1, 1.5, \"1/4\" or \"12 1/3\"")
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
        assert_eq!(mark("1.5").exact(), "3/2");
        assert_eq!(mark("-1/4").exact(), "-1/4");
        assert_eq!(mark("2/8").exact(), "1/4");
        assert_eq!(mark("12 1/3").exact(), "37/3");
        assert_eq!(mark("-1 1/3").exact(), "-4/3");
        assert_eq!(mark("0.1") + mark("0.2"), mark("0.3"));
        assert_eq!((0..3).map(|_| mark("1/3")).sum::<Mark>(), Mark::whole(1));
    }

    /// What is displayed can be typed in again.
    #[test]
    fn marks_are_displayed_as_people_write_them() {
        for (exact, said) in [
            ("62", "62"),
            ("51/4", "12.75"),
            ("-5/2", "-2.5"),
            ("-1/4", "-0.25"),
            ("37/3", "12 1/3"),
            ("-37/3", "-12 1/3"),
            ("-1/3", "-1/3"),
            ("0", "0"),
            ("1/16", "0.0625"),
        ] {
            assert_eq!(mark(exact).to_string(), said);
            assert_eq!(mark(said), mark(exact));
        }
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
            "1 4/3",
            "1 -1/3",
            "1.5 1/3",
            "1 1/0",
            " 1/3/",
        ] {
            let error = text.parse::<Mark>().unwrap_err().to_string();
            assert!(error.contains("isn't a number of marks"), "{text}: {error}");
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
            assert_eq!(read.exact(), expected);
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

    /// The product of ten primes near a million has 200 bits.
    #[test]
    fn a_total_is_exact_whatever_comes_together() {
        let primes = [
            999_983, 999_979, 999_961, 999_959, 999_953, 999_931, 999_917, 999_907, 999_883,
            999_863,
        ];
        let there = primes.map(|prime| Mark::from_steps(1, prime));
        let and_back = there.map(Neg::neg);
        let total: MarkTotal = there.into_iter().sum();
        assert!(
            total.as_mark().is_none() && total > MarkTotal::default(),
            "{}",
            total.0
        );
        assert_eq!(total.rounded().to_string(), "0");
        let nothing: MarkTotal = there.into_iter().chain(and_back).sum();
        assert_eq!(
            (nothing.as_mark(), nothing.0.to_string()),
            (Some(Mark::ZERO), "0".to_owned())
        );
        let half: MarkTotal = [mark("1/3"), mark("1/6")].into_iter().sum();
        assert_eq!(
            (half.as_mark(), half.0.to_string()),
            (Some(mark("1/2")), "1/2".to_owned())
        );
    }

    /// A blind guess at one in five: 5/0 gives 1, 6/-1 gives .4, 6/-2 gives -.4 (arithmetic).
    #[test]
    fn a_blind_guess_is_worth_the_mean_of_its_options() {
        assert_eq!(Mark::blind_guess(mark("5"), mark("0"), 5), mark("1"));
        assert_eq!(Mark::blind_guess(mark("6"), mark("-1"), 5), mark("2/5"));
        assert_eq!(Mark::blind_guess(mark("6"), mark("-2"), 5), mark("-2/5"));
    }
}
