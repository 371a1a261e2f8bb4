//! The pupil's habit line: what was left blank, this time and before.

use super::asked::Asked;
use crate::words::count::counted;
use crate::words::time::day_near;

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
    let each: Vec<_> = before
        .iter()
        .skip(skip)
        .map(|before| {
            let day = before.started.date_naive();
            format!(
                "{} of {} on {}",
                before.blanks,
                before.questions,
                day_near(day, year)
            )
        })
        .collect();
    let earlier = if each.is_empty() {
        "Before: there is no earlier sitting to look back on yet.".to_owned()
    } else {
        format!("Before: {}.", each.join("; "))
    };
    let last = before.last().map(|before| before.blanks);
    let costs = asked.header().paper.rule.takes_marks_away();
    vec![
        format!("This time: {now} of {} blank.", counted(of, "question")),
        earlier,
        closing(now, last, costs).to_owned(),
    ]
}

const fn closing(now: usize, last: Option<usize>, costs: bool) -> &'static str {
    match (now, last) {
        _ if costs => {
            "On this paper a wrong answer can take marks away, so a blank can be the right choice."
        }
        (0, _) => "None is as good as it gets. Keep doing that.",
        (now, Some(last)) if now < last => "That is fewer than the time before. Keep going.",
        _ => "A good aim for next time: fewer blanks, by leaving the last minutes for them.",
    }
}
