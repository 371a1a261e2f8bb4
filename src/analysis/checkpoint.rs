//! Checkpoints of a pace plan: one is kept when, at its moment, every question up to it was answered, or
//! opened and left.
//!
//! A question that is open without an answer is not left, however often it was before. The page of a sitting
//! asks [`done_to`] of the sitting as it stands; what is said afterwards asks it of the sitting as it stood.

use super::fold::Analysis;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Phase, Row, Sitting};
use crate::domain::thresholds::Limit;
use crate::domain::time::{Elapsed, from_minutes};

/// The last question up to which every one asked is answered, or opened and left, as things stand.
pub fn done_to(sitting: &Sitting) -> Option<QuestionNo> {
    let done = sitting
        .rows()
        .iter()
        .take_while(|row| is_done(sitting, row));
    done.last().map(|row| row.number)
}

fn is_done(sitting: &Sitting, row: &Row) -> bool {
    // Time up, or the handing in, takes every question away.
    let worked_on = matches!(sitting.phase(), Phase::Running | Phase::OnBreak);
    let open = worked_on && sitting.open() == Some(row.number);
    row.in_time.is_some() || (row.seen && !open)
}

/// How the questions up to a checkpoint stood at its moment, and when they were done.
pub(super) struct Passage {
    /// How many were done at its moment.
    pub(super) done: usize,
    /// Of how many.
    pub(super) asked: usize,
    /// The first moment from its own on at which all of them were, in time used; nothing where none came.
    pub(super) reached: Option<Elapsed>,
    /// The first moment of all at which they were, where that is not after its own.
    pub(super) ahead: Option<Elapsed>,
}

/// What became of a checkpoint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum CheckpointState {
    /// It was kept: at its moment or at one within `late_seconds` after it, everything up to it was done.
    Kept,
    /// It was passed later, or never.
    Late,
    /// The sitting was handed in before its moment.
    NotDue,
    /// None of the questions up to it was asked.
    NotAsked,
}

/// A checkpoint of the plan, and what became of it.
pub(super) struct Passed {
    /// The question to be done with.
    pub(super) question: QuestionNo,
    /// When, in time used.
    pub(super) planned: Elapsed,
    /// How its questions stood.
    pub(super) passage: Passage,
    /// What became of it.
    pub(super) became: CheckpointState,
}

/// Every checkpoint of the plan with what became of it, in order.
pub(super) fn passed(analysis: &Analysis) -> Vec<Passed> {
    let plan = analysis.header().plan.iter();
    let points = plan.flat_map(|plan| &plan.checkpoints);
    let passed = points.filter_map(|point| {
        let planned = from_minutes(point.minutes)?;
        let passage = Passage::of(analysis, point.question, planned);
        Some(Passed {
            question: point.question,
            planned,
            became: passage.became(analysis, planned),
            passage,
        })
    });
    passed.collect()
}

impl Passage {
    /// What became of the checkpoint that was planned for this moment of the time used.
    pub(super) fn became(&self, analysis: &Analysis, planned: Elapsed) -> CheckpointState {
        let allowed = analysis.limits().span(Limit::LateSeconds);
        match self.reached {
            _ if self.asked == 0 => CheckpointState::NotAsked,
            Some(reached) if reached <= planned + allowed => CheckpointState::Kept,
            None if analysis.whole().used < planned => CheckpointState::NotDue,
            Some(_) | None => CheckpointState::Late,
        }
    }

    /// What became of a checkpoint that was planned for a moment of the time used.
    pub(super) fn of(analysis: &Analysis, checkpoint: QuestionNo, planned: Elapsed) -> Self {
        let replay = analysis.replay();
        let ended = analysis.whole().ended;
        let moment = replay.moment_of(planned).min(ended);
        let first = replay.count_at(moment);
        let upto = |row: &&Row| row.number <= checkpoint;
        let all_done = |count: usize| {
            let stood = replay.after(count);
            let mut rows = stood.rows().iter().filter(upto);
            rows.all(|row| is_done(&stood, row))
        };
        let stood = replay.after(first);
        let rows = || stood.rows().iter().filter(upto);
        let in_time = replay.count_at(ended);
        let ahead = (1..=first).find(|count| all_done(*count));
        let reached = (first..=in_time).find(|count| all_done(*count));
        let at = |count: usize| {
            let moments = replay.moments().get(count.checked_sub(1)?);
            moments.copied()
        };
        Self {
            done: rows().filter(|row| is_done(&stood, row)).count(),
            asked: rows().count(),
            ahead: ahead.and_then(at).map(|at| analysis.used_at(at)),
            reached: reached.map(|count| {
                let at = at(count).map_or(moment, |at| at.max(moment));
                analysis.used_at(at).max(analysis.used_at(moment))
            }),
        }
    }
}
