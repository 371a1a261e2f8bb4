//! A group's award boundaries: as a page and as JSON.

use num_rational::Ratio;
use serde::Serialize;

use super::json::{Exact, written};
use super::text::COLUMNS;
use crate::cohort::boundaries::{Cut, MarkCounts, Places, Range, Terms};
use crate::stats::real;
use crate::words::boundaries as words;
use crate::words::numbers::{decimals, in_percent, plain, short};
use crate::words::text::{Side, columns, cut, wrap_whole};

/// Groups smaller than this get a word of caution.
const FEW: usize = 12;

/// A group's boundaries with all that is said of them.
#[derive(Clone, Copy, Debug)]
pub struct Set<'a> {
    /// The marks.
    pub cohort: &'a MarkCounts,
    /// How many rows had no mark.
    pub without: usize,
    /// The shares, the ratio and the tie rule.
    pub terms: &'a Terms,
    /// The boundaries, best award first.
    pub cuts: &'a [Cut],
    /// The cap on places and what it gives, where that is asked for.
    pub places: Option<(usize, Places)>,
    /// The seed and how far each line may move, best award first, where that is worth saying.
    pub ranges: Option<(u64, &'a [Range])>,
}

#[derive(Serialize)]
struct BoundariesOut<'a> {
    people: usize,
    awards: Vec<BoundaryOut<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    places: Option<PlacesOut>,
}

#[derive(Serialize)]
struct BoundaryOut<'a> {
    name: &'a str,
    quota: f64,
    boundary: Option<Exact>,
    count: usize,
    share: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    range_80: Option<[Option<Exact>; 2]>,
}

#[derive(Serialize)]
struct PlacesOut {
    cap: usize,
    boundary: Option<Exact>,
    count: usize,
}

/// The boundaries as JSON, best award first; `with_range` adds how far each may move.
///
/// # Errors
/// A number that JSON has no form for; there is none here.
pub fn json(set: &Set<'_>, with_range: bool) -> serde_json::Result<String> {
    let people = set.cohort.people();
    let awards = set.cuts.iter().enumerate().map(|(index, cut)| BoundaryOut {
        name: &cut.name,
        quota: cut.quota_real(),
        boundary: cut.boundary.map(Exact),
        count: cut.with_better,
        share: (people > 0).then(|| real(cut.with_better) / real(people)),
        range_80: range(set, index).filter(|_| with_range).map(|range| {
            let (low, high) = range.marks.unzip();
            [low.map(Exact), high.map(Exact)]
        }),
    });
    let told = BoundariesOut {
        people,
        awards: awards.collect(),
        places: set.places.map(|(cap, places)| PlacesOut {
            cap,
            boundary: places.fits.map(|(mark, _)| Exact(mark)),
            count: places.fits.map_or(0, |(_, count)| count),
        }),
    };
    written(&told)
}

fn range<'a>(set: &Set<'a>, index: usize) -> Option<&'a Range> {
    set.ranges.and_then(|(_, ranges)| ranges.get(index))
}

/// The boundaries as a page.
pub fn page(set: &Set<'_>) -> String {
    let mut lines = heading(set);
    lines.push(String::new());
    lines.extend(table(set));
    lines.push(String::new());
    for note in notes(set) {
        lines.extend(wrap_whole(&note, COLUMNS));
    }
    lines.join("\n") + "\n"
}

fn heading(set: &Set<'_>) -> Vec<String> {
    let top = set.terms.top();
    let top = Ratio::new(
        i128::from(top.steps(top.denominator()).unwrap_or(0)),
        i128::from(top.denominator()),
    );
    let asked = set
        .cuts
        .iter()
        .rev()
        .map(|award| format!("{} {}", cut(&award.name, 20), share(award.asked)));
    let all = [
        words::people(set.cohort.people(), set.cohort.span(), set.without),
        words::split(&share(top), set.terms.ratio(), &asked.collect::<Vec<_>>()),
        words::tie_rule(set.terms.tie).to_owned(),
    ];
    all.iter()
        .flat_map(|line| wrap_whole(line, COLUMNS))
        .collect()
}

fn table(set: &Set<'_>) -> Vec<String> {
    let people = set.cohort.people();
    let mut heads = vec![
        "Award",
        "Boundary",
        "Quota",
        "Or better",
        "",
        "Just this",
        "",
    ];
    if set.ranges.is_some() {
        heads.push("80% range");
    }
    let mut rows = vec![heads.into_iter().map(String::from).collect::<Vec<_>>()];
    for (index, award) in set.cuts.iter().enumerate() {
        let mut row = vec![
            cut(&award.name, 12),
            award.boundary.map_or_else(|| "nobody".into(), plain),
            to_hundredths(award.quota),
            award.with_better.to_string(),
            part(award.with_better, people),
            award.alone.to_string(),
            part(award.alone, people),
        ];
        row.extend(range(set, index).map(range_words));
        rows.push(row);
    }
    let with_award = set
        .cuts
        .iter()
        .map(|cut| cut.with_better)
        .max()
        .unwrap_or(0);
    let none = people.saturating_sub(with_award);
    let mut last = vec![String::new(); 7];
    for (place, words) in [
        (0, "none".to_owned()),
        (5, none.to_string()),
        (6, part(none, people)),
    ] {
        if let Some(cell) = last.get_mut(place) {
            *cell = words;
        }
    }
    rows.push(last);
    let right = Side::Right;
    columns(
        &[
            Side::Left,
            right,
            right,
            right,
            right,
            right,
            right,
            right,
            right,
        ],
        &rows,
    )
}

fn range_words(range: &Range) -> String {
    match range.marks {
        Some((low, high)) if low == high => plain(low),
        Some((low, high)) => format!("{} to {}", plain(low), plain(high)),
        None => "none".into(),
    }
}

/// `56.67%`
fn part(count: usize, people: usize) -> String {
    if people == 0 {
        String::new()
    } else {
        in_percent(decimals(100.0 * real(count) / real(people), 2))
    }
}

/// A share in per cent: `8.33%`.
fn share(share: Ratio<i128>) -> String {
    in_percent(to_hundredths(share * Ratio::from_integer(100)))
}

/// A number with at most two decimals: `7.5`.
fn to_hundredths(number: Ratio<i128>) -> String {
    let (top, bottom) = (*number.numer(), *number.denom());
    short(crate::stats::wide(top) / crate::stats::wide(bottom), 2)
}

fn notes(set: &Set<'_>) -> Vec<String> {
    let people = set.cohort.people();
    let mut notes = vec![words::COLUMNS.to_owned()];
    let pairs = set.cuts.windows(2);
    notes.extend(pairs.filter_map(|pair| match pair {
        [better, next] if better.boundary.is_some() && better.boundary == next.boundary => {
            Some(words::same_boundary(better, next))
        }
        _ => None,
    }));
    let without = set.cuts.iter().filter(|award| award.boundary.is_none());
    notes.extend(without.map(|award| words::nobody_gets(&award.name)));
    if people < FEW {
        notes.push(words::few_people(people, &part(1, people)));
    }
    if let Some((cap, places)) = &set.places {
        notes.push(words::places(*cap, places));
    }
    if let Some((seed, ranges)) = set.ranges {
        notes.push(words::ranges(seed));
        let both = set.cuts.iter().zip(ranges);
        let nobody = both.filter(|(_, range)| range.nobody >= 0.005);
        notes.extend(nobody.map(|(award, range)| words::nobody_got(award, range)));
        notes.extend(not_told_apart(set.cuts, ranges));
    }
    notes
}

fn not_told_apart(cuts: &[Cut], ranges: &[Range]) -> Vec<String> {
    let pairs = cuts.windows(2).zip(ranges.iter().skip(1));
    let pairs = pairs.filter_map(|(cuts, below)| match cuts {
        [better, next] if !below.is_below_better() => {
            Some(words::not_told_apart(better, next, below))
        }
        _ => None,
    });
    pairs.collect()
}
