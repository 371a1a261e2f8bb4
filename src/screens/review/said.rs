//! Sentences that more than one page says of a sitting.

use super::study::{QuestionFacts, Study};
use crate::domain::rule::QuestionNo;
use crate::screens::kit::PageWriter;
use crate::words::findings::trust;
use crate::words::review::{self as words, Became, Effort};

/// Says why there are no marks, what that costs, and the way out; nothing where there are some.
pub(super) fn no_key(ink: &mut PageWriter, study: &Study, what: &str) {
    if let Some(said) = study.why_unmarked(what) {
        let style = ink.theme.notice;
        ink.signed("! ", style, &said);
    }
}

/// How far times on single questions can be used, in lines; nothing where that is all the way.
pub(super) fn about_times(study: &Study) -> Vec<String> {
    match trust(study.analysis.trust()) {
        Some(said) => vec![said],
        None if study.opened.header.paper.on_screen => Vec::new(),
        None => vec![words::TIMES_BESIDE_PAPER.to_owned()],
    }
}

/// Says how far times on single questions can be used, where that is not all the way.
pub(super) fn times(ink: &mut PageWriter, study: &Study) {
    if let Some(said) = trust(study.analysis.trust()) {
        let style = ink.theme.notice;
        ink.signed("! ", style, &said);
    } else if !study.opened.header.paper.on_screen {
        ink.text(words::TIMES_BESIDE_PAPER);
    }
}

/// The right options of a question, `C` or `C or D`.
pub(super) fn right_options(study: &Study, number: QuestionNo) -> Option<String> {
    let key = &study.known.as_ref()?.key;
    let labels = study.opened.header.paper.labels(number);
    let right = labels.iter().filter(|label| key.accepts(number, *label));
    let right: Vec<_> = right.map(|label| label.to_string()).collect();
    (!right.is_empty()).then(|| right.join(" or "))
}

/// What became of a question and what that cost, in a sentence or two.
pub(super) fn became(study: &Study, facts: &QuestionFacts) -> String {
    let right = right_options(study, facts.number).unwrap_or_default();
    let marked = facts.outcome.zip(facts.marks);
    words::became(&Became {
        question: facts.number,
        given: facts.given,
        after_time: facts.after_time,
        right: &right,
        marked: marked.map(|(outcome, (got, full))| (outcome, got, full)),
        lost: facts.lost(),
    })
}

/// The time on a question, its visits, changes and flag, in a sentence.
pub(super) fn effort(study: &Study, facts: &QuestionFacts) -> String {
    let row = study.analysis.end().row(facts.number);
    let changed = row.filter(|_| facts.changes > 0);
    words::effort(&Effort {
        timed: study.analysis.is_timed(),
        visits: facts.visits,
        time: facts.time,
        plan: facts.plan,
        median: facts.median,
        how: facts.how,
        changed: changed.map_or(&[], |row| row.history.as_slice()),
        flagged: facts.flagged,
    })
}
