//! The sweep: filling what is blank before time is up.

use super::timeline::{Choice, Timeline};
use crate::domain::header::Header;
use crate::domain::rule::QuestionNo;
use crate::domain::thresholds::{Limit, Thresholds};
use crate::domain::time::Elapsed;

/// Blanks filled one after another near the end, in time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sweep {
    /// When it began.
    pub from: Elapsed,
    /// When the last of its blanks was filled.
    pub to: Elapsed,
    /// How much of that somebody was there.
    pub took: Elapsed,
    /// How much time was left when it began.
    pub left: Elapsed,
    /// What it filled, in order.
    pub filled: Vec<QuestionNo>,
    /// Whether nothing was blank at the end.
    pub complete: bool,
    /// Whether the paper lay beside the screen, so that this may also have been the keying of
    /// answers that were worked out before.
    pub or_keyed: bool,
}

/// The last run of blanks that were filled within a few seconds each (or said to be guesses), if it
/// lies near the end and filled two at the least.
pub(super) fn sweep(header: &Header, line: &Timeline, limits: &Thresholds) -> Option<Sweep> {
    let each = limits.span(Limit::SweepSeconds);
    let near = line
        .whole
        .used
        .since(limits.times(Limit::SweepShare, header.allowed));
    let said = |question| {
        let pace = line.question(question);
        pace.is_some_and(|pace| pace.sheet.in_time.is_some_and(|given| given.how.is_luck()))
    };
    let fills = |choice: &&Choice| choice.before.is_none() && choice.option.is_some();
    let quick =
        |choice: &&Choice| choice.used >= near && (choice.took <= each || said(choice.question));
    let mut run: Vec<_> = line
        .choices
        .iter()
        .rev()
        .filter(fills)
        .take_while(quick)
        .collect();
    run.reverse();
    let (first, last) = (run.first()?, run.last()?);
    let mut filled = Vec::new();
    for choice in &run {
        if !filled.contains(&choice.question) {
            filled.push(choice.question);
        }
    }
    let took = run
        .iter()
        .map(|choice| choice.took)
        .fold(Elapsed::ZERO, std::ops::Add::add);
    let began = first.used.since(first.took);
    (filled.len() >= 2).then(|| Sweep {
        from: first.at.since(first.took),
        to: last.at,
        took,
        left: header.allowed.since(began),
        filled,
        complete: line.is_complete(),
        or_keyed: !header.paper.on_screen,
    })
}
