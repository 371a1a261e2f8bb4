//! Findings that need the answers: rushed, left though easy, changed, guessed, all right.

use std::collections::BTreeSet;

use super::{Finding, Keyed, Look, Quick, QuickFrom, Seen};
use crate::analysis::{Limit, Trust};
use crate::domain::event::How;
use crate::domain::mark::Mark;
use crate::domain::marking::{Outcome, QuestionMark};
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::odds::luck;
use crate::stats::luck::{Chance, total};
use crate::stats::real;

/// Finds what a key tells of the answers.
pub(super) fn answers(look: &Look<'_>, all: &mut Vec<Finding>) {
    let Some(keyed) = look.keyed else { return };
    rushed(look, keyed, all);
    left_easy(look, keyed, all);
    changed(look, keyed, all);
    luck_of_guesses(look, keyed, all);
    let sections = keyed.in_time.sections.iter();
    for section in sections.filter(|s| s.right > 1 && s.wrong + s.blank == 0) {
        all.push(Finding {
            seen: Seen::AllRight {
                section: section.name.clone(),
                right: section.right,
            },
            stake: section.marks.to_f64(),
        });
    }
    let took = look.pacing.passes.later;
    let gained = keyed.earned.second_pass;
    if gained > Mark::ZERO && look.pacing.trust.any() {
        all.push(Finding {
            seen: Seen::SecondPass { took, gained },
            stake: gained.to_f64(),
        });
    }
}

/// What a question would have brought over what it did.
fn missed(question: &QuestionMark) -> f64 {
    (question.max - question.marks).to_f64()
}

/// The share of the questions answered in time (guesses and the sweep left out) that took at least
/// their threshold: response-time effort, Wise & Kong (2005), *Applied Measurement in Education* 18
/// (from memory). For the tutor only; a rule without penalty makes quick guesses good practice.
pub fn unhurried_share(look: &Look<'_>) -> Option<f64> {
    let swept = look.pacing.sweep.as_ref();
    let own = look.pacing.questions.iter().filter(|pace| {
        let worked = pace.sheet.in_time.is_some_and(|given| !given.how.is_luck());
        worked && swept.is_none_or(|sweep| !sweep.filled.contains(&pace.number))
    });
    let times = own.filter_map(|pace| Some((pace.number, look.pacing.time_of(pace.number)?)));
    let times: Vec<_> = times.collect();
    let slow = |(number, time): &&(QuestionNo, Elapsed)| *time >= threshold(look, *number).0;
    let unhurried = times.iter().filter(slow).count();
    (!times.is_empty()).then(|| real(unhurried) / real(times.len()))
}

fn threshold(look: &Look<'_>, question: QuestionNo) -> (Elapsed, QuickFrom) {
    let norm = look.group.and_then(|group| {
        let enough = group.people >= look.limits.count(Limit::GroupLeast);
        group.norm(question).rushed_below.filter(|_| enough)
    });
    let floor = look.limits.span(Limit::RushedFloorSeconds);
    norm.map_or((floor, QuickFrom::Floor), |below| (below, QuickFrom::Group))
}

/// Wrong answers below the threshold, guesses and the sweep left out: a quick guess at the end is
/// good practice under most rules.
fn rushed(look: &Look<'_>, keyed: Keyed<'_>, all: &mut Vec<Finding>) {
    let swept = look.pacing.sweep.as_ref();
    for source in [QuickFrom::Group, QuickFrom::Floor] {
        let mut questions = Vec::new();
        let mut stake = 0.0;
        for question in &keyed.in_time.questions {
            let number = question.answer.number;
            let guess = question.answer.how.is_some_and(How::is_luck);
            let in_sweep = swept.is_some_and(|sweep| sweep.filled.contains(&number));
            let (below, from) = threshold(look, number);
            let time = look.pacing.time_of(number).filter(|time| *time < below);
            let Some(time) = time.filter(|_| from == source && !guess && !in_sweep) else {
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

fn left_easy(look: &Look<'_>, keyed: Keyed<'_>, all: &mut Vec<Finding>) {
    let least = look.limits.count(Limit::GroupLeast);
    let enough = look.group.filter(|group| group.people >= least);
    let Some(group) = enough.filter(|_| look.pacing.trust != Trust::NoTimes) else {
        return;
    };
    let easy = look.limits.real(Limit::EasyShare);
    let mut questions = Vec::new();
    let mut stake = 0.0;
    for question in &keyed.in_time.questions {
        let number = question.answer.number;
        let pace = look.pacing.question(number);
        let unseen = pace.is_some_and(|pace| pace.opened.is_none());
        let share = group.norm(number).facility.filter(|share| *share >= easy);
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
fn changed(look: &Look<'_>, keyed: Keyed<'_>, all: &mut Vec<Finding>) {
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
        let marked = keyed.in_time.questions.iter().copied();
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
        let rule = &look.header.paper.rule;
        let gain = |q: &QuestionMark| {
            let section = rule.section(q.answer.number);
            section.map_or(Mark::ZERO, |section| section.right - section.wrong)
        };
        let marks: Mark = won.iter().map(gain).sum();
        all.push(Finding {
            stake: marks.to_f64(),
            seen: Seen::ToRight {
                questions: numbers(&won),
                gained: marks,
            },
        });
    }
}

fn luck_of_guesses(look: &Look<'_>, keyed: Keyed<'_>, all: &mut Vec<Finding>) {
    let luck = luck::luck(keyed.standing, keyed.key, &look.header.paper);
    let Some(at_least) = luck.at_least_this.filter(|_| luck.guesses > 1) else {
        return;
    };
    let good = luck.actual.to_f64() > luck.expected;
    let chance = if good {
        Some(at_least)
    } else {
        at_most(look, keyed, luck.actual)
    };
    let most = look.limits.real(Limit::LuckChance);
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

/// How often blind guesses on the same questions bring at most `actual`, exactly.
fn at_most(look: &Look<'_>, keyed: Keyed<'_>, actual: Mark) -> Option<f64> {
    let outline = &look.header.paper;
    let grid = outline.rule.grid()?;
    let guessed = keyed.standing.questions.iter().filter(|question| {
        let luck = question.answer.how.is_some_and(How::is_luck);
        luck && question.outcome != Outcome::Void
    });
    let chance = |question: &QuestionMark| {
        let number = question.answer.number;
        let section = outline.rule.section(number)?;
        let options = outline.labels(number).len();
        Some(Chance {
            right: section.right.steps(grid)?,
            wrong: section.wrong.steps(grid)?,
            p: real(keyed.key.right_options(number).min(options)) / real(options),
        })
    };
    let chances: Option<Vec<_>> = guessed.map(chance).collect();
    Some(total(0, &chances?)?.at_most(actual.steps(grid)?))
}
