//! Long stays: what they earned, and what the time over the plan would have been worth elsewhere.

use super::{Finding, Long, Look, Seen};
use crate::analysis::Limit;
use crate::domain::event::How;
use crate::domain::header::{Checkpoint, Header};
use crate::domain::mark::Mark;
use crate::domain::marking::Outcome;
use crate::domain::rule::{QuestionNo, Section};
use crate::domain::time::{Elapsed, from_minutes};
use crate::stats::real;

/// What the price of a minute is drawn from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PriceFrom {
    /// The group's share right and its median time on the question.
    Group,
    /// The pupil's own share right in the section (two right and two wrong added, so that a few
    /// answers do not decide), over the planned time.
    Own,
}

/// The time planned for a question: what the pace plan gives it, else an even share of the time
/// allowed.
pub fn planned(header: &Header, question: QuestionNo) -> Elapsed {
    let even = share(header.allowed, header.questions().count());
    let points = header.plan.iter().flat_map(|plan| &plan.checkpoints);
    let points: Vec<&Checkpoint> = points.collect();
    let Some(next) = points.iter().position(|point| point.question >= question) else {
        return even;
    };
    let before = next.checked_sub(1).and_then(|index| points.get(index));
    let (from, since) = before.map_or((QuestionNo(0), Mark::ZERO), |p| (p.question, p.minutes));
    let Some(to) = points.get(next) else {
        return even;
    };
    let asked = |q: &QuestionNo| *q > from && *q <= to.question;
    let count = header.questions().filter(asked).count();
    from_minutes(to.minutes - since).map_or(even, |span| share(span, count))
}

/// An even share of a span, to the millisecond.
fn share(span: Elapsed, parts: usize) -> Elapsed {
    Elapsed(span.0 / u64::try_from(parts.max(1)).unwrap_or(u64::MAX))
}

/// What a minute on `question` brings on average over its fallback: with chance p of being right,
/// `(p r + (1 - p) w - fallback) / m`, where the fallback is a blank or a blind guess, whichever is
/// more.
///
/// Time at its best marginal return is the rule of optimal test-taking (Wang & Zhang 2006,
/// *Psychometrika* 71); the estimate of p and m is common practice, no source.
pub fn price(look: &Look<'_>, question: QuestionNo) -> Option<(f64, PriceFrom)> {
    let outline = &look.header.paper;
    let section = outline.rule.section(question)?;
    let (chance, time, from) = estimate(look, question, section)?;
    let minutes = time.as_seconds() / 60.0;
    let blind = Mark::blind_guess(section.right, section.wrong, outline.labels(question).len());
    let fallback = blind.max(section.blank).to_f64();
    let (right, wrong) = (section.right.to_f64(), section.wrong.to_f64());
    let gain = chance * right + (1.0 - chance) * wrong - fallback;
    (minutes > 0.0).then(|| (gain / minutes, from))
}

fn estimate(
    look: &Look<'_>,
    question: QuestionNo,
    section: &Section,
) -> Option<(f64, Elapsed, PriceFrom)> {
    let least = look.limits.count(Limit::GroupLeast);
    if let Some(group) = look.group.filter(|group| group.people >= least) {
        let norm = group.norm(question);
        return Some((norm.facility?, norm.median?, PriceFrom::Group));
    }
    let marked = &look.keyed?.in_time.questions;
    let tried = |q: &&crate::domain::marking::QuestionMark| {
        let worked = q.answer.how.is_some_and(|how| !how.is_luck());
        worked && q.outcome != Outcome::Void
    };
    let own: Vec<_> = marked.iter().filter(tried).collect();
    let share = |outcomes: Vec<Outcome>| {
        let right = outcomes.iter().filter(|o| **o == Outcome::Right).count();
        (real(right) + 2.0) / (real(outcomes.len()) + 4.0)
    };
    let here = own.iter().filter(|q| section.holds(q.answer.number));
    let here: Vec<_> = here.map(|q| q.outcome).collect();
    let chance = if here.is_empty() {
        // Nothing was tried where the questions are harder: half of what the rest came to.
        share(own.iter().map(|q| q.outcome).collect()) / 2.0
    } else {
        share(here)
    };
    Some((chance, planned(look.header, question), PriceFrom::Own))
}

/// The questions left undone in time (blank, or a guess), with the best rate first.
fn undone(look: &Look<'_>) -> Vec<(QuestionNo, f64, PriceFrom)> {
    let open = look.pacing.questions.iter().filter(|pace| {
        let given = pace.sheet.in_time;
        given.is_none_or(|given| given.how.is_luck())
    });
    let priced = open.filter_map(|pace| {
        let (rate, from) = price(look, pace.number)?;
        (rate > 0.0).then_some((pace.number, rate, from))
    });
    let mut priced: Vec<_> = priced.collect();
    priced.sort_by(|one, other| other.1.total_cmp(&one.1));
    priced
}

/// The best rate among the questions left undone.
pub(super) fn best_rate(look: &Look<'_>) -> f64 {
    undone(look).first().map_or(0.0, |(_, rate, _)| *rate)
}

/// Finds the long stays: over a multiple of the planned time and over it by a fixed span.
pub(super) fn long_stays(look: &Look<'_>, all: &mut Vec<Finding>) {
    let undone = undone(look);
    for pace in &look.pacing.questions {
        let Some(time) = look.pacing.time_of(pace.number) else {
            continue;
        };
        let plan = planned(look.header, pace.number);
        let over = plan + look.limits.span(Limit::LongOverSeconds);
        if time <= over.max(look.limits.times(Limit::LongTimes, plan)) {
            continue;
        }
        let long = Long {
            question: pace.number,
            time,
            plan,
        };
        let marked = look.keyed.map(|keyed| &keyed.in_time.questions);
        let own = marked.and_then(|all| all.iter().find(|q| q.answer.number == pace.number));
        let luck = own.is_some_and(|q| q.answer.how.is_some_and(How::is_luck));
        match own.map(|question| question.outcome) {
            None => all.push(Finding {
                seen: Seen::LongStay(long),
                stake: 0.0,
            }),
            // A guess that came off was not earned by the stay, and cost nothing either.
            Some(Outcome::Right) if luck => {}
            Some(Outcome::Right) => all.push(Finding {
                seen: Seen::Earned(long),
                stake: own.map_or(0.0, |question| question.marks.to_f64()),
            }),
            Some(Outcome::Void) => {}
            Some(outcome @ (Outcome::Wrong | Outcome::Blank)) => {
                all.extend(sink(long, outcome, &undone));
            }
        }
    }
}

/// A sink, where something else was left undone that a minute would have been worth more on.
fn sink(long: Long, outcome: Outcome, undone: &[(QuestionNo, f64, PriceFrom)]) -> Option<Finding> {
    let others = || {
        undone
            .iter()
            .filter(|(number, ..)| *number != long.question)
    };
    let (_, rate, from) = *others().next()?;
    let cost = long.over().as_seconds() / 60.0 * rate;
    Some(Finding {
        seen: Seen::Sink {
            long,
            outcome,
            rate,
            from,
            cost,
            undone: others().map(|(number, ..)| *number).collect(),
        },
        stake: cost,
    })
}
