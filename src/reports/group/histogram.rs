//! How many people have which marks, highest first, with the boundaries beside them.

use super::GroupReport;
use super::page::{Page, bar};
use crate::domain::mark::Mark;
use crate::stats::share;
use crate::words::group as words;
use crate::words::numbers::plain;
use crate::words::text::{Side, columns, cut};

/// The most lines of a histogram.
const MOST_LINES: i64 = 16;

/// The widest bar.
const WIDEST: u8 = 32;

/// One line: the marks from `from` up to, but not with, `to`.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Bin {
    pub(super) from: i64,
    pub(super) to: i64,
    pub(super) people: usize,
}

impl Bin {
    fn holds(&self, mark: Mark) -> bool {
        mark >= Mark::whole(self.from) && mark < Mark::whole(self.to)
    }
}

/// Divides marks among a few equal steps of whole marks, lowest first.
pub(super) fn bins(marks: &[(Mark, usize)]) -> Vec<Bin> {
    let (Some((lowest, _)), Some((highest, _))) = (marks.first(), marks.last()) else {
        return Vec::new();
    };
    let (lowest, highest) = (floor(*lowest), floor(*highest));
    let steps = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000];
    let lines = |step: i64| highest.div_euclid(step) - lowest.div_euclid(step) + 1;
    let fits = steps.into_iter().find(|step| lines(*step) <= MOST_LINES);
    let step = fits.unwrap_or_else(|| (highest - lowest) / (MOST_LINES - 1) + 1);
    let first = lowest.div_euclid(step);
    let mut bins: Vec<Bin> = (first..first + lines(step))
        .map(|place| Bin {
            from: place * step,
            to: (place + 1) * step,
            people: 0,
        })
        .collect();
    for (mark, people) in marks {
        if let Some(bin) = bins.iter_mut().find(|bin| bin.holds(*mark)) {
            bin.people += people;
        }
    }
    bins
}

fn floor(mark: Mark) -> i64 {
    let grid = mark.denominator();
    mark.steps(grid).unwrap_or(0).div_euclid(grid)
}

/// The histogram and how many reached each award.
pub(super) fn histogram(report: &GroupReport<'_>, page: &mut Page) {
    let marks = &report.figures.marks;
    let bins = bins(marks);
    let whole = marks.iter().all(|(mark, _)| mark.denominator() == 1);
    let most = bins.iter().map(|bin| bin.people).max().unwrap_or(1).max(1);
    let awards = &report.paper.awards;
    let rows: Vec<Vec<String>> = bins
        .iter()
        .rev()
        .map(|bin| {
            let beside = awards
                .iter()
                .rev()
                .filter(|award| bin.holds(award.boundary))
                .map(|award| format!("{} {}", cut(&award.name, 12), plain(award.boundary)));
            let beside: Vec<String> = beside.collect();
            let from = if beside.is_empty() {
                String::new()
            } else {
                format!("< {}", beside.join(", "))
            };
            vec![
                String::new(),
                span(bin, whole),
                bin.people.to_string(),
                bar(share(bin.people, most), WIDEST),
                cut(&from, 24),
            ]
        })
        .collect();
    page.part("Marks");
    let sides = [Side::Left, Side::Right, Side::Right, Side::Left, Side::Left];
    for line in columns(&sides, &rows) {
        page.line(&line);
    }
    for award in awards.iter().rev() {
        let reached = marks.iter().filter(|(mark, _)| *mark >= award.boundary);
        let reached: usize = reached.map(|(_, people)| people).sum();
        page.words("  ", &words::reached(award, reached, report.figures.people));
    }
}

fn span(bin: &Bin, whole: bool) -> String {
    match (bin.to - bin.from, whole) {
        (1, true) => bin.from.to_string(),
        (_, true) => format!("{} to {}", bin.from, bin.to - 1),
        _ => format!("{} to under {}", bin.from, bin.to),
    }
}
