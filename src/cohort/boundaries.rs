//! Award boundaries of a group from its marks: quotas, who got what, places, how far a line may move.

use std::collections::BTreeMap;

use num_rational::Ratio;

use crate::domain::mark::Mark;
use crate::domain::paper::TieSide;
use crate::stats::boundary::{Ranking, Share, TieRule};
use crate::stats::resample;
use crate::stats::wide;

/// How often a group is drawn again to see how far its lines move.
pub const RESAMPLES: usize = 20_000;
/// Groups smaller than this get a range beside each boundary.
pub const SMALL: usize = 100;
/// The middle share of the redrawn lines that a range holds.
pub const LEVEL: f64 = 0.8;

impl From<TieSide> for TieRule {
    fn from(side: TieSide) -> Self {
        match side {
            TieSide::NotAbove => Self::NotAbove,
            TieSide::AtLeast => Self::AtLeast,
            TieSide::Nearest => Self::Nearest,
        }
    }
}

/// Which share of a group gets awards, and how it is split.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Terms {
    top: Mark,
    ratio: Vec<u64>,
    shares: Vec<Share>,
    /// The awards' names, lowest award first.
    pub names: Vec<String>,
    /// On which side of a quota a boundary falls.
    pub tie: TieRule,
}

impl Terms {
    /// Splits the top share (from 0 to 1) in a ratio, lowest award first, with a name for each part.
    ///
    /// `None` unless the share is above 0 and at most 1, no part is 0, and each has a name.
    pub fn new(top: Mark, ratio: Vec<u64>, names: Vec<String>, tie: TieRule) -> Option<Self> {
        let whole = top.denominator();
        let part = u64::try_from(top.steps(whole)?).ok()?;
        let share = Share::new(part, u64::try_from(whole).ok()?)?;
        let sound = part > 0 && names.len() == ratio.len() && !ratio.contains(&0);
        let shares = sound.then(|| share.split(&ratio))??;
        Some(Self {
            top,
            ratio,
            shares,
            names,
            tie,
        })
    }

    /// The share of the group that gets any award.
    pub const fn top(&self) -> Mark {
        self.top
    }

    /// The ratio, lowest award first.
    pub fn ratio(&self) -> &[u64] {
        &self.ratio
    }

    /// The share of the group that is to get an award or a better one.
    fn with_better(&self, index: usize) -> Option<Ratio<i128>> {
        let better: i128 = self
            .ratio
            .get(index..)?
            .iter()
            .map(|part| i128::from(*part))
            .sum();
        self.of_top(better)
    }

    /// The share of the group that is to get exactly an award.
    fn alone(&self, index: usize) -> Option<Ratio<i128>> {
        self.of_top(i128::from(*self.ratio.get(index)?))
    }

    fn of_top(&self, parts: i128) -> Option<Ratio<i128>> {
        let all: i128 = self.ratio.iter().map(|part| i128::from(*part)).sum();
        let whole = self.top.denominator();
        let top = self.top.steps(whole)?;
        Some(Ratio::new(i128::from(top) * parts, i128::from(whole) * all))
    }
}

/// One award in one group.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cut {
    /// The award's name.
    pub name: String,
    /// How many people were to get it or a better one, exactly.
    pub quota: Ratio<i128>,
    /// The share of the group that was to get exactly this award.
    pub asked: Ratio<i128>,
    /// The lowest mark that earns it; `None` when nobody does.
    pub boundary: Option<Mark>,
    /// How many people got it or a better one.
    pub with_better: usize,
    /// How many people got exactly this award.
    pub alone: usize,
}

impl Cut {
    /// The quota as the nearest real number.
    pub fn quota_real(&self) -> f64 {
        wide(*self.quota.numer()) / wide(*self.quota.denom())
    }
}

/// Places for a further round: whole groups of equal marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Places {
    /// The lowest mark that gets a place, and how many people have it or a higher one.
    pub fits: Option<(Mark, usize)>,
    /// The next mark below, and how many people there would be with it.
    pub next: Option<(Mark, usize)>,
}

/// Where a boundary may fall in another group of such people.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// The middle share [`LEVEL`] of the lines, ends included; `None` when there never was one.
    pub marks: Option<(Mark, Mark)>,
    /// How often, as a share, nobody earned the award.
    pub nobody: f64,
    /// How often, as a share, the line was that of the next better award too.
    pub same_as_better: f64,
}

impl Range {
    /// Whether the line can be told from that of the next better award: the lines never cross, so the middle share
    /// [`LEVEL`] of their difference lies above 0 where both fall together in few enough groups.
    pub fn is_below_better(&self) -> bool {
        self.same_as_better <= (1.0 - LEVEL) / 2.0
    }
}

/// A group's marks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MarkCounts {
    /// The marks that occur, lowest first, each with how many people have it.
    marks: Vec<(Mark, usize)>,
    /// The same by place in `marks`: exact fractions need no common grid to be compared.
    ranking: Ranking,
}

impl MarkCounts {
    /// Takes marks with how many people have each.
    pub fn new(counts: BTreeMap<Mark, usize>) -> Self {
        let marks: Vec<_> = counts
            .into_iter()
            .filter(|(_, people)| *people > 0)
            .collect();
        let places = marks.iter().zip(0_i64..);
        let ranking = Ranking::from_counts(places.map(|((_, people), place)| (place, *people)));
        Self { marks, ranking }
    }

    /// How many people there are.
    pub fn people(&self) -> usize {
        self.ranking.people()
    }

    /// The lowest and the highest mark; `None` without people.
    pub fn span(&self) -> Option<(Mark, Mark)> {
        Some((self.marks.first()?.0, self.marks.last()?.0))
    }

    /// The boundaries, best award first.
    pub fn cuts(&self, terms: &Terms) -> Vec<Cut> {
        let lines = self.ranking.awards(&terms.shares, terms.tie);
        let people = Ratio::from_integer(i128::try_from(self.people()).unwrap_or(i128::MAX));
        let mut better = 0;
        let mut cuts = Vec::new();
        for (index, (line, name)) in lines.iter().zip(&terms.names).enumerate().rev() {
            let (Some(quota), Some(asked)) = (terms.with_better(index), terms.alone(index)) else {
                continue;
            };
            cuts.push(Cut {
                name: name.clone(),
                quota: quota * people,
                asked,
                boundary: line.mark.and_then(|place| self.mark(place)),
                with_better: line.at_or_above,
                alone: line.at_or_above.saturating_sub(better),
            });
            better = line.at_or_above;
        }
        cuts
    }

    /// Places under a fixed cap: whole groups of equal marks while they fit.
    pub fn places(&self, cap: usize) -> Places {
        let fits = self.ranking.places(cap);
        let lines = self.ranking.candidates();
        let next = lines
            .iter()
            .find(|line| line.at_or_above > fits.at_or_above);
        let told = |line: &crate::stats::boundary::Boundary| {
            Some((self.mark(line.mark?)?, line.at_or_above))
        };
        Places {
            fits: told(&fits),
            next: next.and_then(told),
        }
    }

    /// Where the boundaries fall in groups drawn again from these marks, best award first.
    ///
    /// The bootstrap of Efron (1979), see [`crate::stats::resample`]; `None` without people or with
    /// more of them than can be drawn so often.
    pub fn ranges(&self, terms: &Terms, seed: u64) -> Option<Vec<Range>> {
        let places = self.marks.iter().zip(0_i64..);
        let each = places.flat_map(|((_, people), place)| std::iter::repeat_n(place, *people));
        self.people()
            .checked_mul(RESAMPLES)
            .filter(|draws| *draws <= 200_000_000)?;
        let each: Vec<i64> = each.collect();
        let spreads = resample::boundaries(&each, &terms.shares, terms.tie, RESAMPLES, seed)?;
        let share = |times| crate::stats::real(times) / crate::stats::real(RESAMPLES);
        let range = |spread: &crate::stats::boundary::ResampledBoundary| Range {
            marks: spread
                .range(LEVEL)
                .and_then(|(low, high)| Some((self.mark(low)?, self.mark(high)?))),
            nobody: share(spread.nobody),
            same_as_better: share(spread.same_as_next),
        };
        Some(spreads.iter().rev().map(range).collect())
    }

    fn mark(&self, place: i64) -> Option<Mark> {
        let place = usize::try_from(place).ok()?;
        self.marks.get(place).map(|(mark, _)| *mark)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cohort(marks: &[&str]) -> MarkCounts {
        let mut counts = BTreeMap::new();
        for mark in marks {
            *counts.entry(mark.parse().unwrap()).or_default() += 1;
        }
        MarkCounts::new(counts)
    }

    fn terms(top: &str, ratio: &[u64], tie: TieRule) -> Option<Terms> {
        let names = (1..=ratio.len()).map(|n| n.to_string()).collect();
        Terms::new(top.parse().unwrap(), ratio.to_vec(), names, tie)
    }

    /// Half at 3 : 2 : 1 is 25 %, 16 2/3 % and 8 1/3 % (common practice, no source).
    #[test]
    fn shares_and_quotas_are_exact() {
        let cuts = cohort(&["1"; 30]).cuts(&terms("1/2", &[3, 2, 1], TieRule::Nearest).unwrap());
        let asked: Vec<_> = cuts.iter().map(|cut| cut.asked.to_string()).collect();
        assert_eq!(asked, ["1/12", "1/6", "1/4"]);
        let quotas: Vec<_> = cuts.iter().map(|cut| cut.quota.to_string()).collect();
        assert_eq!(quotas, ["5/2", "15/2", "15"]);
    }

    #[test]
    fn marks_may_be_fractions_and_below_zero() {
        let cohort = cohort(&["-1/3", "-0.25", "1/7", "1/7"]);
        let cuts = cohort.cuts(&terms("1/2", &[1], TieRule::AtLeast).unwrap());
        assert_eq!(cuts[0].boundary, Some("1/7".parse().unwrap()));
        assert_eq!((cuts[0].with_better, cuts[0].alone), (2, 2));
        assert_eq!(
            cohort.span(),
            Some(("-1/3".parse().unwrap(), "1/7".parse().unwrap()))
        );
        let places = cohort.places(1);
        assert_eq!(places.fits, None);
        assert_eq!(places.next, Some(("1/7".parse().unwrap(), 2)));
        assert_eq!(cohort.places(9).next, None);
    }

    #[test]
    fn what_makes_no_sense_has_no_terms() {
        for (top, ratio) in [
            ("0", vec![1]),
            ("101/100", vec![1]),
            ("1/2", vec![1, 0]),
            ("1/2", vec![]),
        ] {
            assert_eq!(
                terms(top, &ratio, TieRule::Nearest),
                None,
                "{top} {ratio:?}"
            );
        }
        assert!(terms("1", &[1], TieRule::Nearest).is_some());
    }

    /// The difference is drawn, not the ranges compared: the lines of six people often fall together, those of sixteen
    /// hardly ever though their ranges overlap.
    #[test]
    fn lines_are_told_apart_by_their_difference() {
        let found = |marks: &[String], ratio: &[u64]| {
            let marks: Vec<_> = marks.iter().map(String::as_str).collect();
            let terms = terms("1/2", ratio, TieRule::Nearest).unwrap();
            let ranges = cohort(&marks).ranges(&terms, 1).unwrap();
            let [better, next] = ranges[..] else {
                panic!("{ranges:?}");
            };
            (next, better.marks.unwrap().0 <= next.marks.unwrap().1)
        };
        let people = |count: i64| -> Vec<_> { (1..=count).map(|mark| mark.to_string()).collect() };
        // Of six, quotas of 3 and 2: a mark drawn twice is often the line of both.
        let (few, overlap) = found(&people(6), &[1, 2]);
        assert!(!few.is_below_better() && overlap, "{few:?}");
        // Of sixteen, quotas of 8 and 4: the ranges meet, the lines hardly ever do.
        let (many, overlap) = found(&people(16), &[1, 1]);
        assert!(many.is_below_better() && overlap, "{many:?}");
    }

    #[test]
    fn nobody_has_no_lines() {
        let empty = cohort(&[]);
        let terms = terms("1/2", &[2, 1], TieRule::Nearest).unwrap();
        assert!(
            empty
                .cuts(&terms)
                .iter()
                .all(|cut| cut.boundary.is_none() && cut.with_better == 0)
        );
        assert_eq!((empty.span(), empty.ranges(&terms, 1)), (None, None));
    }
}
