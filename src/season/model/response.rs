//! What became of each question, as the model counts it.

use crate::analysis::evidence::{Done, Evidence, Seen};
use crate::cohort::prior_means::time_factor;
use crate::stats::summary::RAPID_SHARE;

/// What became of a question in time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Response {
    /// Worked out, and right.
    Right,
    /// Worked out, and not right.
    Wrong,
    /// Got to, and not worked out.
    Left {
        /// Whether it was filled in all the same.
        filled: bool,
    },
    /// Not got to, or cut off by the bell.
    Unreached {
        /// Whether it was filled in.
        filled: bool,
    },
}

impl Response {
    /// Whether the pupil got to it.
    pub const fn is_reached(self) -> bool {
        !matches!(self, Self::Unreached { .. })
    }
}

/// What became of each answer's question, in their order.
///
/// An answer counts as worked out unless it was said or filled as a guess, or, where its time can be trusted, took
/// less than a glance or a tenth of the usual time at its place. What is not worked out was got to where it comes
/// before the last question worked out, or where it was open for longer than a glance and comes before the last
/// question that was open so long or worked out.
pub fn responses(one: &Evidence) -> Vec<Response> {
    let is_worked = |seen: &Seen| {
        let usual = one.timing.share * time_factor(seen.place);
        let least = one.timing.glance.min(RAPID_SHARE * usual);
        seen.is_answered() && seen.seconds.is_none_or(|took| took >= least)
    };
    let is_tried = |seen: &Seen| seen.seconds.is_some_and(|took| took >= one.timing.glance);
    let last = |is: &dyn Fn(&Seen) -> bool| {
        let own = one.answers.iter().filter(|seen| is(seen));
        own.map(|seen| seen.number).max()
    };
    let last_worked = last(&is_worked);
    let last_tried = last(&|seen| is_worked(seen) || is_tried(seen));
    let attempt = |seen: &Seen| match seen.done {
        Done::Right if is_worked(seen) => Response::Right,
        Done::Wrong if is_worked(seen) => Response::Wrong,
        done => {
            let before = |last| last > Some(seen.number);
            let filled = done != Done::Blank;
            if before(last_worked) || (is_tried(seen) && before(last_tried)) {
                Response::Left { filled }
            } else {
                Response::Unreached { filled }
            }
        }
    };
    one.answers.iter().map(attempt).collect()
}
