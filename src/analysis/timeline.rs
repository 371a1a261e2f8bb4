//! One walk through a log: visits, gaps, answers.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::{
    Choice, Gap, GapKind, Pacing, Passes, QuestionPace, Sheet, Status, Stay, Trust, Whole, sum,
};
use crate::domain::event::{Ending, Event, Stamped};
use crate::domain::header::Header;
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Phase, Row, Sitting};
use crate::domain::time::Elapsed;

/// What only the order of the events tells.
#[derive(Default)]
struct Seen {
    gaps: Vec<Gap>,
    choices: Vec<Choice>,
    closed: Option<Elapsed>,
}

/// Works out everything but trust and sweep.
pub(super) fn walk(header: &Header, log: &[Stamped]) -> Pacing {
    let mut sitting = Sitting::new(Arc::new(header.clone()));
    let mut seen = Seen::default();
    for stamped in log {
        step(&mut sitting, &mut seen, stamped);
    }
    let ended = sitting.due().or(seen.closed).unwrap_or(sitting.latest());
    let stays = stays(&sitting, ended);
    let gaps = gaps(&sitting, seen.gaps, ended);
    let choices = timed(&sitting, seen.choices, &stays);
    let questions = questions(&sitting, &stays, &choices);
    let passes = passes(&sitting, &stays);
    Pacing {
        whole: whole(&sitting, &stays, &gaps, ended),
        ending: ending(&sitting),
        stays,
        gaps,
        stopped: sitting.stopped().clone(),
        questions,
        choices,
        passes,
        trust: Trust::Own,
        sweep: None,
    }
}

fn step(sitting: &mut Sitting, seen: &mut Seen, stamped: &Stamped) {
    let at = stamped.at.max(sitting.latest());
    let touched = touched(&stamped.event);
    let option = |sitting: &Sitting| -> Option<Label> {
        let row = sitting.row(touched?)?;
        row.in_time.map(|given| given.option)
    };
    let before = option(sitting);
    let stretches = sitting.absent().count();
    let was_on_break = sitting.phase() == Phase::OnBreak;
    sitting.apply(stamped.at, &stamped.event);
    let after = option(sitting);
    if let Some(question) = touched.filter(|_| before != after) {
        seen.choices.push(Choice {
            question,
            at,
            used: Elapsed::ZERO,
            before,
            option: after,
            took: Elapsed::ZERO,
        });
    }
    if sitting.absent().count() > stretches {
        let on_break = sitting.phase() == Phase::OnBreak && !was_on_break;
        let kind = if on_break {
            GapKind::Break
        } else {
            GapKind::Away
        };
        let newest = sitting.absent().until(at).last();
        seen.gaps
            .extend(newest.map(|(from, to)| Gap { from, to, kind }));
    }
    if sitting.is_closed() {
        seen.closed.get_or_insert(at);
    }
}

/// The question whose answer in time an event may change.
const fn touched(event: &Event) -> Option<QuestionNo> {
    if let Event::Answered(question, _) | Event::RubbedOut(question) = event {
        Some(*question)
    } else {
        None
    }
}

const fn ending(sitting: &Sitting) -> Option<Ending> {
    if let Phase::Closed(ending) = sitting.phase() {
        Some(ending)
    } else {
        None
    }
}

fn stays(sitting: &Sitting, ended: Elapsed) -> Vec<Stay> {
    let stay = |visit: &crate::domain::sitting::Visit| {
        let to = visit.to.unwrap_or(ended);
        Stay {
            question: visit.question,
            from: visit.from,
            to,
            worked: there(sitting, visit.from, to),
        }
    };
    sitting.visits().iter().map(stay).collect()
}

/// How much of a stretch somebody was there.
fn there(sitting: &Sitting, from: Elapsed, to: Elapsed) -> Elapsed {
    to.since(from).since(sitting.absent().overlap(from, to))
}

/// The gaps with their ends as they turned out, cut off where answers no longer count; a rest break
/// was first seen with no length.
fn gaps(sitting: &Sitting, seen: Vec<Gap>, ended: Elapsed) -> Vec<Gap> {
    let ends: BTreeMap<_, _> = sitting.absent().until(ended).collect();
    let gap = |gap: Gap| {
        let to = ends.get(&gap.from).copied().unwrap_or(gap.from).min(ended);
        (to > gap.from).then_some(Gap { to, ..gap })
    };
    seen.into_iter().filter_map(gap).collect()
}

/// The choices with the time used and the time they took, once every gap is known.
fn timed(sitting: &Sitting, choices: Vec<Choice>, stays: &[Stay]) -> Vec<Choice> {
    let mut last = Elapsed::ZERO;
    let timed = |choice: Choice| {
        let at = choice.at;
        let opened = stays.iter().rev().find(|stay| stay.from <= at);
        let since = opened.map_or(last, |stay| stay.from.max(last));
        last = at;
        Choice {
            used: sitting.used(at),
            took: there(sitting, since, at),
            ..choice
        }
    };
    choices.into_iter().map(timed).collect()
}

fn questions(sitting: &Sitting, stays: &[Stay], choices: &[Choice]) -> Vec<QuestionPace> {
    let mut order = Vec::new();
    for stay in stays {
        if !order.contains(&stay.question) {
            order.push(stay.question);
        }
    }
    let pace = |row: &Row| {
        let own: Vec<_> = stays.iter().filter(|s| s.question == row.number).collect();
        let answered = choices.iter().find(|choice| choice.question == row.number);
        let answered = answered.map(|choice| choice.at);
        let left = own.first().map(|stay| stay.to);
        QuestionPace {
            number: row.number,
            time: sum(own.iter().map(|stay| stay.worked)),
            visits: own.len(),
            opened: own.first().map(|stay| stay.from),
            place: order.iter().position(|q| *q == row.number).map(|i| i + 1),
            answered,
            done: answered.into_iter().chain(left).min(),
            sheet: Sheet {
                status: status(sitting, row, answered.is_some()),
                in_time: row.in_time,
                after_time: row.after_time,
                flagged: row.flagged,
            },
        }
    };
    sitting.rows().iter().map(pace).collect()
}

fn status(sitting: &Sitting, row: &Row, was_answered: bool) -> Status {
    let later = |other: &&Row| other.number > row.number && other.in_time.is_some();
    match row.in_time {
        Some(_) => Status::Answered,
        None if was_answered => Status::Cleared,
        None if sitting.rows().iter().any(|other| later(&other)) => Status::Omitted,
        None => Status::NotReached,
    }
}

fn passes(sitting: &Sitting, stays: &[Stay]) -> Passes {
    let mut passes = Passes::default();
    let mut opened = BTreeSet::new();
    for stay in stays {
        if opened.insert(stay.question) {
            passes.first = passes.first + stay.worked;
            passes.first_ended = Some(stay.to);
        } else {
            passes.later = passes.later + stay.worked;
        }
    }
    passes.first_used = passes.first_ended.map(|at| sitting.used(at));
    passes.opened = opened.len();
    passes
}

fn whole(sitting: &Sitting, stays: &[Stay], gaps: &[Gap], ended: Elapsed) -> Whole {
    let kind = |kind: GapKind| {
        let own = gaps.iter().filter(move |gap| gap.kind == kind);
        sum(own.map(|gap| gap.to.since(gap.from)))
    };
    let first = stays.first().map_or(ended, |stay| stay.from);
    Whole {
        ended,
        used: sitting.used(ended),
        questions: sum(stays.iter().map(|stay| stay.worked)),
        idle: there(sitting, Elapsed::ZERO, first),
        breaks: kind(GapKind::Break),
        away: kind(GapKind::Away),
    }
}
