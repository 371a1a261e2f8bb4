//! A group's award boundaries in words.

use std::path::Path;

use crate::cohort::boundaries::{Cut, Places, RESAMPLES, Range};
use crate::domain::character::ShownPath as _;
use crate::domain::mark::Mark;
use crate::stats::boundary::TieRule;
use crate::words::count::{counted, counted_as};
use crate::words::numbers::plain;
use crate::words::text::cut;

/// What the columns count.
pub const COLUMNS: &str =
    "Quota and \"or better\" count everyone who gets this award or a better one.";

/// How many people, between which marks, and how many rows have none.
pub fn people(people: usize, span: Option<(Mark, Mark)>, without: usize) -> String {
    let people = counted_as(people, "person", "people");
    let span = match span {
        Some((low, high)) if low == high => format!(", everybody at {}", plain(low)),
        Some((low, high)) => format!(", marks {} to {}", plain(low), plain(high)),
        None => String::new(),
    };
    let without = match without {
        0 => String::new(),
        count => format!(" ({} without a mark not counted)", counted(count, "row")),
    };
    format!("{people}{span}{without}")
}

/// How the share at the top is divided: `top` and the shares of `awards` as they are written.
pub fn split(top: &str, ratio: &[u64], awards: &[String]) -> String {
    let ratio: Vec<_> = ratio.iter().map(u64::to_string).collect();
    let ratio = match ratio.len() {
        1 => String::new(),
        _ => format!(" in the ratio {}", ratio.join(" : ")),
    };
    format!("Top {top}{ratio}: {}.", awards.join(", "))
}

/// What is done where equal marks lie across a quota.
pub const fn tie_rule(tie: TieRule) -> &'static str {
    match tie {
        TieRule::NotAbove => {
            "Tie rule not-above: the lowest mark with no more people at or above it than the quota."
        }
        TieRule::AtLeast => {
            "Tie rule at-least: the highest mark with at least the quota of people at or above it."
        }
        TieRule::Nearest => {
            "Tie rule nearest: the mark at or above which the number of people is nearest the quota; if two are equally near, the lower."
        }
    }
}

/// That an award has no boundary.
pub fn nobody_gets(award: &str) -> String {
    format!("Nobody gets {} under this tie rule.", cut(award, 20))
}

/// That a group is too small for shares; `one` is what one person is of it.
pub fn few_people(people: usize, one: &str) -> String {
    format!(
        "With only {} a share means little: each person is {one} of the group.",
        counted_as(people, "person", "people"),
    )
}

/// Awards that share a boundary: the better one leaves nobody for the other.
pub fn same_boundary(better: &Cut, next: &Cut) -> String {
    let (better, next) = (cut(&better.name, 20), cut(&next.name, 20));
    format!(
        "{better} and {next} have the same boundary: nobody gets {next} alone, so the two are one award here."
    )
}

/// What the range of a boundary is.
pub fn ranges(seed: u64) -> String {
    format!(
        "80% range: the middle 8 in 10 of the boundaries in {RESAMPLES} groups of this size drawn from these marks (seed {seed}). For this group the boundary is exact. The range matters if it is a target for others."
    )
}

/// How often a drawn group had nobody with an award.
pub fn nobody_got(award: &Cut, range: &Range) -> String {
    format!(
        "In {:.0} of 100 drawn groups nobody got {}.",
        range.nobody * 100.0,
        cut(&award.name, 20)
    )
}

/// That two boundaries cannot be told apart: how often a drawn group had the same line for both.
pub fn not_told_apart(better: &Cut, next: &Cut, range: &Range) -> String {
    format!(
        "In {:.0} of 100 drawn groups {} and {} had the same boundary: these marks can't tell the two apart.",
        range.same_as_better * 100.0,
        cut(&better.name, 20),
        cut(&next.name, 20)
    )
}

/// Which mark fills a number of places, and what the next one would do.
pub fn places(cap: usize, places: &Places) -> String {
    let fits = match places.fits {
        Some((mark, count)) => {
            format!(
                "{} and above, {}",
                plain(mark),
                counted_as(count, "person", "people")
            )
        }
        None => "nobody, because equal marks go together".into(),
    };
    let next = places.next.map_or_else(String::new, |(mark, count)| {
        format!(" The next mark, {}, would make it {count}.", plain(mark))
    });
    format!("{}: {fits}.{next}", counted(cap, "place"))
}

/// That the boundaries of a year stand in a paper file now.
pub fn year_written(year: i32, paper: &Path) -> String {
    format!(
        "The boundaries of {year} have been saved in {}.",
        paper.shown()
    )
}
