//! The pupil's habit line: what was left blank, this time and before.

use super::asked::Asked;
use crate::words::feedback as words;

/// How many earlier sittings are named.
const NAMED: usize = 4;

/// The habit in sentences; none of a sitting that was given up.
pub(super) fn lines(asked: &Asked<'_>) -> Vec<String> {
    let analysis = asked.analysis();
    if !analysis.came_to_its_end() {
        return Vec::new();
    }
    let (now, of) = (analysis.blanks().len(), analysis.questions().len());
    let mut before: Vec<_> = asked.before.iter().collect();
    before.sort_by_key(|before| before.started);
    let skip = before.len().saturating_sub(NAMED);
    let year = asked.header().started.date_naive();
    let named: Vec<_> = before
        .iter()
        .skip(skip)
        .map(|one| (one.blanks, one.questions, one.started.date_naive()))
        .collect();
    let last = before.last().map(|before| before.blanks);
    let costs = asked.header().paper.rule.takes_marks_away();
    vec![
        words::blanks_now(now, of),
        words::blanks_before(&named, year),
        words::blanks_compared(now, last, costs).to_owned(),
    ]
}
