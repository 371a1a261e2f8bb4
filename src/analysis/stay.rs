//! Long stays: what they earned, and what the time over the plan would have been worth elsewhere.

use super::basis::Basis;
use super::fold::Analysis;
use super::timeline::{Choice, QuestionPace};
use crate::domain::header::{Checkpoint, Header};
use crate::domain::mark::Mark;
use crate::domain::marking::Outcome;
use crate::domain::rule::{QuestionNo, Section};
use crate::domain::thresholds::{Limit, Thresholds};
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
    /// One in four right, where the pupil worked nothing out, over the planned time.
    Default,
}

/// What time on a question is worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Price {
    /// What a minute brings on average over the fallback.
    pub rate: f64,
    /// What all the time it usually takes brings.
    pub gain: f64,
    /// What it is drawn from.
    pub from: PriceFrom,
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
pub fn price(basis: &Basis<'_>, question: QuestionNo) -> Option<Price> {
    let outline = &basis.header().paper;
    let section = outline.rule.section(question)?;
    let (chance, time, from) = estimate(basis, question, section)?;
    let minutes = time.as_seconds() / 60.0;
    let blind = Mark::blind_guess(section.right, section.wrong, outline.labels(question).len());
    let fallback = blind.max(section.blank).to_f64();
    let (right, wrong) = (section.right.to_f64(), section.wrong.to_f64());
    let gain = chance * right + (1.0 - chance) * wrong - fallback;
    (minutes > 0.0).then(|| Price {
        rate: gain / minutes,
        gain,
        from,
    })
}

fn estimate(
    basis: &Basis<'_>,
    question: QuestionNo,
    section: &Section,
) -> Option<(f64, Elapsed, PriceFrom)> {
    let least = basis.limits().count(Limit::GroupLeast);
    if let Some(group) = basis.norms.filter(|group| group.people >= least) {
        let norm = group.norm(question);
        return Some((norm.facility()?, norm.median?, PriceFrom::Group));
    }
    let marked = &basis.keyed?.marks.in_time.questions;
    let tried = |q: &&crate::domain::marking::QuestionMark| {
        basis.analysis.by_thought(q.answer.number) && q.outcome != Outcome::Void
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
    let from = if own.is_empty() {
        PriceFrom::Default
    } else {
        PriceFrom::Own
    };
    Some((chance, planned(basis.header(), question), from))
}

/// The questions left undone in time (blank, or a guess), with the best rate first.
fn undone(basis: &Basis<'_>) -> Vec<(QuestionNo, Price)> {
    let open = basis.analysis.questions().iter().filter(|pace| {
        let given = pace.sheet.in_time;
        given.is_none_or(|given| given.how.is_luck())
    });
    priced(basis, open.map(|pace| pace.number))
}

/// Questions on which a minute earns something on average, the most first.
pub fn priced(
    basis: &Basis<'_>,
    questions: impl Iterator<Item = QuestionNo>,
) -> Vec<(QuestionNo, Price)> {
    let priced = questions.filter_map(|number| {
        let price = price(basis, number)?;
        (price.rate > 0.0).then_some((number, price))
    });
    let mut priced: Vec<_> = priced.collect();
    priced.sort_by(|(_, one), (_, other)| other.rate.total_cmp(&one.rate));
    priced
}

/// What so much time would have brought on these questions at the best of their rates, and never more than
/// all of them could give.
pub fn worth(time: Elapsed, priced: &[(QuestionNo, Price)]) -> f64 {
    let best = priced.first().map_or(0.0, |(_, price)| price.rate);
    let all: f64 = priced.iter().map(|(_, price)| price.gain).sum();
    (time.as_seconds() / 60.0 * best).min(all)
}

/// Whether the sitting was handed in with time left: no stay took that from another question.
pub fn time_was_left(basis: &Basis<'_>) -> bool {
    let least = basis.limits().span(Limit::EarlySeconds);
    basis.analysis.unused().is_some_and(|left| left >= least)
}

/// The best rate among the questions left undone.
pub fn best_rate(basis: &Basis<'_>) -> f64 {
    undone(basis).first().map_or(0.0, |(_, price)| price.rate)
}

/// A long stay on a question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Long {
    /// The question.
    pub question: QuestionNo,
    /// The time on it.
    pub time: Elapsed,
    /// The time planned for it.
    pub plan: Elapsed,
    /// Whether the log bears no more than that it was open so long: the paper lay beside the screen, or most of the
    /// time came after its last opening, without an answer to the end.
    pub only_open: bool,
}

impl Long {
    /// The time over the plan.
    pub const fn over(self) -> Elapsed {
        self.time.since(self.plan)
    }
}

/// The stay on a question, where it was long: over a multiple of the planned time, and over that time
/// by a fixed span. A sheet on which nothing was ever chosen shows no work, and so no stay.
pub fn long(basis: &Basis<'_>, pace: &QuestionPace) -> Option<Long> {
    let analysis = basis.analysis;
    let time = analysis.time_on(pace.number)?;
    let plan = planned(basis.header(), pace.number);
    let bound = bound(basis.limits(), plan);
    let is_long = time > bound && !analysis.choices().is_empty();
    is_long.then(|| Long {
        question: pace.number,
        time,
        plan,
        only_open: !basis.header().paper.on_screen
            || time.since(analysis.left_open(pace.number)) <= bound,
    })
}

/// The longest stretch of each question that was opened, with how long it was: its visits one after another, with no
/// more than a glance elsewhere between them (under `rushed_floor_seconds`), which leaves nothing.
pub fn stretches(analysis: &Analysis) -> Vec<(QuestionNo, Elapsed)> {
    let floor = analysis.limits().span(Limit::RushedFloorSeconds);
    let longest = |question: QuestionNo| {
        let (mut longest, mut now, mut elsewhere) = (Elapsed::ZERO, Elapsed::ZERO, Elapsed::ZERO);
        for stay in analysis.stays() {
            if stay.question != question {
                elsewhere = elsewhere + stay.worked;
                continue;
            }
            if elsewhere >= floor {
                now = Elapsed::ZERO;
            }
            elsewhere = Elapsed::ZERO;
            now = now + stay.worked;
            longest = longest.max(now);
        }
        longest
    };
    let opened = analysis.questions().iter();
    let opened = opened.filter(|pace| pace.opened.is_some());
    opened
        .map(|pace| (pace.number, longest(pace.number)))
        .collect()
}

/// The longest stay that is not long, for a planned time.
pub fn bound(limits: &Thresholds, plan: Elapsed) -> Elapsed {
    let over = plan + limits.span(Limit::LongOverSeconds);
    over.max(limits.times(Limit::LongTimes, plan))
}

/// What became of a long stay.
#[derive(Clone, Debug, PartialEq)]
pub enum Outlay {
    /// No key says what it earned.
    Unknown(Long),
    /// It was right; the marks it brought.
    Earned(Long, Mark),
    /// It earned nothing, with something left undone that a minute would have been worth more on.
    Sink(Sink),
}

/// A long stay that earned nothing, with cheaper questions left undone.
#[derive(Clone, Debug, PartialEq)]
pub struct Sink {
    /// The question, its time and its planned time.
    pub long: Long,
    /// What became of it.
    pub outcome: Outcome,
    /// Marks by the minute of the best question left undone.
    pub rate: f64,
    /// What that rate is drawn from.
    pub from: PriceFrom,
    /// The time over the plan at that rate, and no more than those questions could give.
    pub cost: f64,
    /// The questions left undone that waited during its longest visit, the dearest first.
    pub undone: Vec<QuestionNo>,
}

/// Every long stay, and what became of it, in the order of the paper.
pub fn outlays(basis: &Basis<'_>) -> Vec<Outlay> {
    let undone = undone(basis);
    let outlay = |pace: &QuestionPace| {
        let long = long(basis, pace)?;
        let Some(keyed) = basis.keyed else {
            return Some(Outlay::Unknown(long));
        };
        let own = keyed.marks.question_in_time(pace.number)?;
        match own.outcome {
            // A guess or a fill that came off was not earned by the stay, and cost nothing either.
            Outcome::Right if !basis.analysis.by_thought(pace.number) => None,
            Outcome::Right => Some(Outlay::Earned(long, own.marks)),
            Outcome::Void => None,
            Outcome::Wrong | Outcome::Blank if time_was_left(basis) => None,
            Outcome::Wrong | Outcome::Blank => {
                let mut waiting = undone.clone();
                waiting.retain(|(other, _)| waited(basis.analysis, *other, pace.number));
                sink(long, own.outcome, &waiting).map(Outlay::Sink)
            }
        }
    };
    let questions = basis.analysis.questions().iter();
    questions.filter_map(outlay).collect()
}

/// The sinks among the long stays.
pub fn sinks(basis: &Basis<'_>) -> Vec<Sink> {
    let sink = |outlay| match outlay {
        Outlay::Sink(sink) => Some(sink),
        Outlay::Unknown(_) | Outlay::Earned(..) => None,
    };
    outlays(basis).into_iter().filter_map(sink).collect()
}

/// Whether a question waited during the longest visit to another: it had no answer when that visit began, and
/// got none while it lasted.
fn waited(analysis: &Analysis, question: QuestionNo, during: QuestionNo) -> bool {
    let visits = analysis.stays().iter().rev();
    let visits = visits.filter(|visit| visit.question == during);
    let Some(visit) = visits.max_by_key(|visit| visit.worked) else {
        return false;
    };
    let own = analysis.choices().iter();
    let own = own.filter(|choice| choice.question == question && choice.at < visit.to);
    let (before, during): (Vec<&Choice>, Vec<_>) = own.partition(|choice| choice.at <= visit.from);
    let stood = before.last().is_some_and(|last| last.option.is_some());
    !stood && during.iter().all(|choice| choice.option.is_none())
}

/// A sink, where something else waited that a minute would have been worth more on.
fn sink(long: Long, outcome: Outcome, waiting: &[(QuestionNo, Price)]) -> Option<Sink> {
    let others = waiting.iter().copied();
    let others: Vec<_> = others
        .filter(|(number, _)| *number != long.question)
        .collect();
    let (_, best) = *others.first()?;
    Some(Sink {
        long,
        outcome,
        rate: best.rate,
        from: best.from,
        cost: worth(long.over(), &others),
        undone: others.iter().map(|(number, _)| *number).collect(),
    })
}
