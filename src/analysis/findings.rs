//! What a tutor would say of a sitting, each with its evidence.
//!
//! A finding is a value: what was seen, on which questions, under which threshold, and how many
//! marks hang on it. Worst first; at most as many as one talk holds; praise among them where it is
//! earned. Nothing here says what a pupil is, only what was done and what it brought.

mod answers;
mod found;
mod habits;
mod kind;
mod rests;
mod unused;

use super::basis::Basis;
use super::stay::{Outlay, outlays};
use crate::domain::thresholds::{Limit, Thresholds};

pub use found::{Blind, Finding, Quick, QuickFrom, Seen, Tone};
pub use habits::is_hurried;
pub use kind::FindingKind;
pub use rests::rests_on;
pub use unused::time as unused_time;

/// Everything that is to be seen: what to try otherwise first, the most marks at stake first, then
/// what to know, then praise.
pub fn findings(basis: &Basis<'_>) -> Vec<Finding> {
    let mut all: Vec<_> = outlays(basis).into_iter().map(long_stay).collect();
    habits::habits(basis, &mut all);
    answers::answers(basis, &mut all);
    unused::unused(basis, &mut all);
    all.sort_by(|one, other| {
        let tone = |finding: &Finding| match finding.tone() {
            Tone::Next => 0,
            Tone::Know => 1,
            Tone::Praise => 2,
        };
        let by_stake = other.stake.total_cmp(&one.stake);
        tone(one).cmp(&tone(other)).then(by_stake)
    });
    all
}

fn long_stay(outlay: Outlay) -> Finding {
    match outlay {
        Outlay::Unknown(long) => Finding {
            seen: Seen::LongStay(long),
            stake: 0.0,
        },
        Outlay::Earned(long, marks) => Finding {
            seen: Seen::Earned(long),
            stake: marks.to_f64(),
        },
        Outlay::Sink(sink) => Finding {
            stake: sink.cost,
            seen: Seen::Sink(sink),
        },
    }
}

/// Whether it is about blanks, or an early end, that another of the findings speaks of already.
pub fn said_before<'a>(finding: &Finding, others: impl IntoIterator<Item = &'a Finding>) -> bool {
    let mut others = others.into_iter();
    match finding.seen {
        Seen::Blanks { .. } => others.any(
            |other| matches!(&other.seen, Seen::EndedEarly { blanks, .. } if !blanks.is_empty()),
        ),
        Seen::EndedEarly { .. } => others.any(|other| matches!(other.seen, Seen::Unused { .. })),
        _ => false,
    }
}

/// As many findings as one talk holds, in their order: room is kept for praise where some is earned.
pub fn told(all: &[Finding], limits: &Thresholds) -> Vec<Finding> {
    told_up_to(
        all,
        limits.count(Limit::TalkMost),
        limits.count(Limit::PraiseMost),
    )
}

/// At most so many findings, in their order, with room among them for so much praise where that is earned.
pub fn told_up_to(all: &[Finding], most: usize, praise_most: usize) -> Vec<Finding> {
    let praise = all.iter().filter(|finding| finding.tone() == Tone::Praise);
    let kept = praise.count().min(praise_most).min(most);
    let (praise, rest): (Vec<_>, Vec<_>) = all
        .iter()
        .cloned()
        .partition(|finding| finding.tone() == Tone::Praise);
    let mut told: Vec<_> = rest.into_iter().take(most - kept).collect();
    let room = most.saturating_sub(told.len());
    told.extend(praise.into_iter().take(room));
    told
}
