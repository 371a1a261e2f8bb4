//! Findings that need the answers: rushed, left though easy, changed, guessed, all right.

use std::collections::BTreeSet;

use super::found::{Finding, Quick, QuickFrom, Seen};
use crate::analysis::basis::Basis;
use crate::analysis::keyed::Keyed;
use crate::analysis::trust::Trust;
use crate::domain::mark::Mark;
use crate::domain::marking::{Outcome, QuestionMark};
use crate::domain::rule::QuestionNo;
use crate::domain::thresholds::Limit;
use crate::domain::time::Elapsed;

/// Finds what a key tells of the answers.
pub(super) fn answers(basis: &Basis<'_>, all: &mut Vec<Finding>) {
    let Some(keyed) = basis.keyed else { return };
    rushed(basis, keyed, all);
    left_easy(basis, keyed, all);
    changed(basis, keyed, all);
    luck_of_guesses(basis, keyed, all);
    all_right(basis, keyed, all);
    let gone_back = basis.analysis.gone_back_to();
    let gained = keyed.earned.second_pass;
    if gained > Mark::ZERO {
        let took = gone_back.iter().map(|own| own.took);
        all.push(Finding {
            seen: Seen::SecondPass {
                questions: gone_back.iter().map(|own| own.question).collect(),
                took: took.fold(Elapsed::ZERO, std::ops::Add::add),
                gained,
            },
            stake: gained.to_f64(),
        });
    }
}

/// Sections of which two questions or more count, every one of them right.
fn all_right(basis: &Basis<'_>, keyed: &Keyed, all: &mut Vec<Finding>) {
    for section in &basis.header().paper.rule.sections {
        let own = keyed.marks.in_time.questions.iter().filter(|question| {
            section.holds(question.answer.number) && question.outcome != Outcome::Void
        });
        let own: Vec<_> = own.collect();
        if own.len() < 2 || own.iter().any(|own| own.outcome != Outcome::Right) {
            continue;
        }
        let lucky = own
            .iter()
            .filter(|own| !basis.analysis.by_thought(own.answer.number));
        let marks: Mark = own.iter().map(|own| own.marks).sum();
        all.push(Finding {
            seen: Seen::AllRight {
                section: section.name.clone(),
                right: own.len(),
                guessed: lucky.count(),
                timed: basis.analysis.is_timed(),
            },
            stake: marks.to_f64(),
        });
    }
}

/// What a question would have brought over what it did.
fn missed(question: &QuestionMark) -> f64 {
    (question.max - question.marks).to_f64()
}

fn threshold(basis: &Basis<'_>, question: QuestionNo) -> (Elapsed, QuickFrom) {
    let norm = basis.norms.and_then(|group| {
        let enough = group.people >= basis.limits().count(Limit::GroupLeast);
        Some(group.norm(question)).filter(|_| enough)
    });
    if let Some(usual) = usual(basis, question) {
        let group = norm.and_then(|norm| norm.median);
        let least = group.map_or(usual, |median| median.min(usual));
        return (
            basis.limits().times(Limit::QuickShare, least),
            QuickFrom::Own,
        );
    }
    let norm = norm.and_then(|norm| norm.rushed_below);
    let floor = basis.limits().span(Limit::RushedFloorSeconds);
    norm.map_or((floor, QuickFrom::Floor), |below| (below, QuickFrom::Group))
}

/// The pupil's middle time on the other questions of the section that were worked out.
fn usual(basis: &Basis<'_>, question: QuestionNo) -> Option<Elapsed> {
    let section = basis.header().paper.rule.section(question)?;
    let others = basis.analysis.questions().iter().filter(|pace| {
        let worked = basis.analysis.by_thought(pace.number);
        pace.number != question && section.holds(pace.number) && worked
    });
    let mut times: Vec<_> = others
        .filter_map(|pace| basis.analysis.time_on(pace.number))
        .collect();
    times.sort_unstable();
    let many = times.len() >= basis.limits().count(Limit::QuickLeast);
    let (low, high) = (
        times.get(times.len().checked_sub(1)? / 2)?,
        times.get(times.len() / 2)?,
    );
    many.then(|| Elapsed(u64::midpoint(low.0, high.0)))
}

/// Wrong answers below the threshold, guesses and the sweep left out: a quick guess at the end is
/// good practice under most rules. What was worked out on a printed paper may be keyed quickly.
fn rushed(basis: &Basis<'_>, keyed: &Keyed, all: &mut Vec<Finding>) {
    if !basis.header().paper.on_screen {
        return;
    }
    for source in [QuickFrom::Own, QuickFrom::Group, QuickFrom::Floor] {
        let mut questions = Vec::new();
        let mut stake = 0.0;
        for question in &keyed.marks.in_time.questions {
            let number = question.answer.number;
            let (below, from) = threshold(basis, number);
            let time = basis.analysis.time_on(number).filter(|time| *time < below);
            let Some(time) = time.filter(|_| from == source && basis.analysis.by_thought(number))
            else {
                continue;
            };
            if question.outcome == Outcome::Wrong {
                stake += missed(question) / 2.0;
                questions.push(Quick {
                    question: number,
                    time,
                    below,
                });
            }
        }
        if !questions.is_empty() {
            let seen = Seen::Rushed {
                questions,
                from: source,
            };
            all.push(Finding { seen, stake });
        }
    }
}

/// The questions answered quickly and wrong.
pub(super) fn quick_and_wrong(basis: &Basis<'_>) -> Vec<QuestionNo> {
    let mut found = Vec::new();
    if let Some(keyed) = basis.keyed {
        rushed(basis, keyed, &mut found);
    }
    let mut questions: Vec<_> = found.iter().flat_map(Finding::questions).collect();
    questions.sort_unstable();
    questions
}

fn left_easy(basis: &Basis<'_>, keyed: &Keyed, all: &mut Vec<Finding>) {
    let least = basis.limits().count(Limit::GroupLeast);
    let enough = basis.norms.filter(|group| group.people >= least);
    let Some(group) = enough.filter(|_| *basis.analysis.trust() != Trust::NoTimes) else {
        return;
    };
    let easy = basis.limits().real(Limit::EasyShare);
    let mut questions = Vec::new();
    let mut stake = 0.0;
    for question in &keyed.marks.in_time.questions {
        let number = question.answer.number;
        let pace = basis.analysis.question(number);
        let unseen = pace.is_some_and(|pace| pace.opened.is_none());
        let share = group.norm(number).facility().filter(|share| *share >= easy);
        if let Some(share) = share.filter(|_| unseen && question.outcome == Outcome::Blank) {
            stake += share * missed(question);
            questions.push((number, share));
        }
    }
    if !questions.is_empty() {
        let seen = Seen::LeftEasy {
            questions,
            people: group.people,
        };
        all.push(Finding { seen, stake });
    }
}

/// Questions whose answer was right (or wrong) at some moment and the other at the end.
fn changed(basis: &Basis<'_>, keyed: &Keyed, all: &mut Vec<Finding>) {
    let changed = |right_before: bool| {
        let changes = keyed.earned.changes.iter();
        let before = |c: &&crate::analysis::Change| {
            c.kind.is_some() && keyed.key.accepts(c.question, c.from) == right_before
        };
        changes
            .filter(before)
            .map(|c| c.question)
            .collect::<BTreeSet<_>>()
    };
    let end = |questions: &BTreeSet<QuestionNo>, outcome| -> Vec<QuestionMark> {
        let marked = keyed.marks.in_time.questions.iter().copied();
        let own = |q: &QuestionMark| questions.contains(&q.answer.number) && q.outcome == outcome;
        marked.filter(own).collect()
    };
    let numbers = |marked: &[QuestionMark]| marked.iter().map(|q| q.answer.number).collect();
    let lost = end(&changed(true), Outcome::Wrong);
    if !lost.is_empty() {
        let marks: Mark = lost.iter().map(|q| q.max - q.marks).sum();
        all.push(Finding {
            stake: marks.to_f64(),
            seen: Seen::ToWrong {
                questions: numbers(&lost),
                lost: marks,
            },
        });
    }
    let won = end(&changed(false), Outcome::Right);
    if !won.is_empty() {
        let rule = &basis.header().paper.rule;
        let gain = |q: &QuestionMark| {
            let section = rule.section(q.answer.number);
            section.map_or(Mark::ZERO, |section| section.right - section.wrong)
        };
        let marks: Mark = won.iter().map(gain).sum();
        let questions: Vec<_> = numbers(&won);
        let checked = questions.iter().copied();
        all.push(Finding {
            stake: marks.to_f64(),
            seen: Seen::ToRight {
                checked: checked.filter(|own| basis.analysis.checked(*own)).collect(),
                questions,
                gained: marks,
            },
        });
    }
}

fn luck_of_guesses(basis: &Basis<'_>, keyed: &Keyed, all: &mut Vec<Finding>) {
    let luck = &keyed.marks.luck;
    let Some(at_least) = luck.at_least_this.filter(|_| luck.guesses > 1) else {
        return;
    };
    let good = luck.actual.to_f64() > luck.expected;
    let chance = if good {
        Some(at_least)
    } else {
        luck.at_most_this
    };
    let most = basis.limits().real(Limit::LuckChance);
    if let Some(chance) = chance.filter(|chance| *chance <= most) {
        let seen = Seen::Luck {
            guesses: luck.guesses,
            expected: luck.expected,
            actual: luck.actual,
            chance,
            good,
        };
        let stake = (luck.actual.to_f64() - luck.expected).abs();
        all.push(Finding { seen, stake });
    }
}
