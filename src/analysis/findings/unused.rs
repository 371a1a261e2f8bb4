//! Time left when a sitting was handed in, and what it could have been for.

use super::answers::quick_and_wrong;
use super::found::{Finding, Seen};
use crate::analysis::basis::Basis;
use crate::analysis::stay::{priced, worth};
use crate::domain::marking::Outcome;
use crate::domain::rule::QuestionNo;
use crate::domain::thresholds::Limit;
use crate::domain::time::Elapsed;

/// So many questions are named on which a minute earns most.
const MOST_NAMED: usize = 3;

/// The time left, where it is at least `unused_share` of the time allowed and no key says that nothing was
/// lost.
pub fn time(basis: &Basis<'_>) -> Option<Elapsed> {
    let allowed = basis.header().allowed;
    let least = basis.limits().times(Limit::UnusedShare, allowed);
    let left = basis.analysis.unused().filter(|left| *left >= least)?;
    let nothing_lost = basis.keyed.is_some() && lost(basis).is_empty();
    (!nothing_lost && left > Elapsed::ZERO).then_some(left)
}

/// Whether no answer up to a question is wrong; false where no key says so.
pub(super) fn all_right_to(basis: &Basis<'_>, question: QuestionNo) -> bool {
    basis.keyed.is_some_and(|keyed| {
        let upto = keyed.marks.in_time.questions.iter();
        let mut upto = upto.filter(|own| own.answer.number <= question);
        upto.all(|own| own.outcome != Outcome::Wrong)
    })
}

/// The questions wrong or blank in time.
fn lost(basis: &Basis<'_>) -> Vec<(QuestionNo, Outcome)> {
    let marked = basis.keyed.map(|keyed| &keyed.marks.in_time.questions);
    let marked = marked.into_iter().flatten();
    let lost = marked.filter(|own| matches!(own.outcome, Outcome::Wrong | Outcome::Blank));
    lost.map(|own| (own.answer.number, own.outcome)).collect()
}

/// Finds it, where a key says what was lost.
pub(super) fn unused(basis: &Basis<'_>, all: &mut Vec<Finding>) {
    let Some(left) = time(basis).filter(|_| basis.keyed.is_some()) else {
        return;
    };
    let lost = lost(basis);
    let mut best = priced(basis, lost.iter().map(|(number, _)| *number));
    let stake = worth(left, &best);
    best.truncate(MOST_NAMED);
    let wrong = lost
        .iter()
        .filter(|(_, outcome)| *outcome == Outcome::Wrong);
    let wrong = wrong.count();
    all.push(Finding {
        seen: Seen::Unused {
            left,
            allowed: basis.header().allowed,
            wrong,
            blank: lost.len() - wrong,
            quick: quick_and_wrong(basis),
            best,
        },
        stake,
    });
}
