//! Whether a step that was agreed before a sitting was kept in it, as its log tells.

use super::basis::Basis;
use super::checkpoint::{CheckpointState, Passage, passed};
use super::findings::{Blind, is_hurried};
use super::fold::Analysis;
use super::stay::stretches;
use super::sweep::begun;
use super::trust::Trust;
use crate::domain::event::{Event, Stamped};
use crate::domain::rule::QuestionNo;
use crate::domain::step::ListedStep;
use crate::domain::thresholds::Limit;
use crate::domain::time::Elapsed;

/// What a log says of a step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StepJudgement {
    /// It was kept.
    Done(StepFacts),
    /// It was not.
    NotDone(StepFacts),
    /// The log cannot tell.
    Unknown(WhyUnknown),
}

/// What a step was judged by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StepFacts {
    /// Of a sweep.
    Sweep {
        /// The time left when it began; nothing where there was none.
        left: Option<Elapsed>,
        /// Whether none was needed: it had not begun by the moment for it, and nothing was blank any more.
        not_needed: bool,
        /// The blanks at the end of the time in which answers count.
        blanks: usize,
        /// Whether it began in time and yet left blanks on which a guess gains on average.
        left_free: bool,
    },
    /// Of a longest stay.
    Stay {
        /// The question that was open the longest at a stretch.
        question: QuestionNo,
        /// How long.
        longest: Elapsed,
    },
    /// Of one checkpoint.
    Checkpoint {
        /// The question.
        question: QuestionNo,
        /// The time used when everything up to it was done, from its moment on; nothing where that never was.
        reached: Option<Elapsed>,
        /// How many of the questions up to it were done at its moment.
        done: usize,
        /// Of how many.
        of: usize,
    },
    /// Of all checkpoints of the plan.
    Checkpoints {
        /// How many were kept.
        kept: usize,
        /// Of how many that came due.
        of: usize,
        /// Whether they were kept at a pace that left time unused, or that ran far ahead of the plan.
        hurried: bool,
    },
    /// Of flags.
    Flags {
        /// The questions that were flagged.
        flagged: Vec<QuestionNo>,
        /// Those of them that were not looked at again.
        left: Vec<QuestionNo>,
    },
}

/// Why a log cannot tell whether a step was kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WhyUnknown {
    /// The sheet was typed in afterwards.
    TypedIn,
    /// Answers were entered together, so that nothing tells when they were worked out.
    EnteredTogether,
    /// There was no pace plan with checkpoints that came due.
    NoPlan,
    /// None of the questions up to the checkpoint was asked.
    NotAsked,
    /// The sitting was finished before the moment for it.
    EndedBefore,
    /// Nothing was flagged.
    NoFlags,
}

impl WhyUnknown {
    /// Its name in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::TypedIn => "typed_in",
            Self::EnteredTogether => "entered_together",
            Self::NoPlan => "no_plan",
            Self::NotAsked => "not_asked",
            Self::EndedBefore => "ended_before",
            Self::NoFlags => "no_flags",
        }
    }
}

/// Judges a step from a sitting's log; a key tells beside that at what pace checkpoints were kept.
pub fn judge(basis: &Basis<'_>, step: ListedStep) -> StepJudgement {
    let analysis = basis.analysis;
    let unknown = StepJudgement::Unknown;
    match (analysis.trust(), step) {
        (Trust::NoTimes, _) => return unknown(WhyUnknown::TypedIn),
        // The order of what was done is known even so.
        (Trust::Withheld { .. }, ListedStep::Flags) | (Trust::Own | Trust::Blocks(_), _) => {}
        (Trust::Withheld { .. }, _) => return unknown(WhyUnknown::EnteredTogether),
    }
    match step {
        ListedStep::Sweep { left } => sweep(analysis, left),
        ListedStep::Stay { most } => stay(analysis, most),
        ListedStep::Checkpoint { question, by } => checkpoint(analysis, question, by),
        ListedStep::Checkpoints => checkpoints(basis),
        ListedStep::Flags => flags(analysis),
    }
}

fn judged(done: bool, facts: StepFacts) -> StepJudgement {
    if done {
        StepJudgement::Done(facts)
    } else {
        StepJudgement::NotDone(facts)
    }
}

/// Kept where the sweep began with at least so much time left and left no blank on which a guess gains on average, or
/// where nothing was blank then any more.
fn sweep(analysis: &Analysis, wanted: Elapsed) -> StepJudgement {
    let allowed = analysis.header().allowed;
    let blanks = analysis.blanks();
    let swept = analysis.sweep();
    let begun = begun(analysis.log(), swept);
    // A paper beside the screen: what looks like a sweep may be the keying of what was worked out.
    if swept.is_some_and(|sweep| sweep.or_keyed) && begun.is_some_and(|own| !own.by_key) {
        return StepJudgement::Unknown(WhyUnknown::EnteredTogether);
    }
    let left = begun.map(|own| allowed.since(analysis.used_at(own.at)));
    let replay = analysis.replay();
    let moment = replay.moment_of(allowed.since(wanted));
    let moment = moment.min(analysis.whole().ended);
    let stood = replay.after(replay.count_at(moment));
    let begun_by_then = left.is_some_and(|left| left >= wanted);
    let is_full = stood.rows().iter().all(|row| row.in_time.is_some());
    let not_needed = is_full && !begun_by_then;
    let blind = Blind::of(&analysis.header().paper, &blanks);
    let left_free = begun_by_then && !blind.gaining.is_empty();
    let facts = StepFacts::Sweep {
        left,
        not_needed,
        blanks: blanks.len(),
        left_free,
    };
    judged(begun_by_then && !left_free || not_needed, facts)
}

/// Kept where no question was open for longer at a stretch.
fn stay(analysis: &Analysis, most: Elapsed) -> StepJudgement {
    let own = stretches(analysis).into_iter();
    let timed = own.filter(|(question, _)| analysis.trust().holds(*question));
    let mut longest: Option<(QuestionNo, Elapsed)> = None;
    for (question, stretch) in timed {
        if longest.is_none_or(|(_, known)| stretch > known) {
            longest = Some((question, stretch));
        }
    }
    let Some((question, longest)) = longest else {
        return StepJudgement::Unknown(WhyUnknown::EnteredTogether);
    };
    // What was entered together may have been stayed on for longer.
    if longest <= most && !analysis.trust().blocks().is_empty() {
        return StepJudgement::Unknown(WhyUnknown::EnteredTogether);
    }
    judged(longest <= most, StepFacts::Stay { question, longest })
}

fn checkpoint(analysis: &Analysis, question: QuestionNo, by: Elapsed) -> StepJudgement {
    let passage = Passage::of(analysis, question, by);
    let facts = StepFacts::Checkpoint {
        question,
        reached: passage.reached,
        done: passage.done,
        of: passage.asked,
    };
    match passage.became(analysis, by) {
        CheckpointState::Kept => StepJudgement::Done(facts),
        CheckpointState::Late => StepJudgement::NotDone(facts),
        CheckpointState::NotDue => StepJudgement::Unknown(WhyUnknown::EndedBefore),
        CheckpointState::NotAsked => StepJudgement::Unknown(WhyUnknown::NotAsked),
    }
}

fn checkpoints(basis: &Basis<'_>) -> StepJudgement {
    let (mut kept, mut of) = (0, 0);
    for point in passed(basis.analysis) {
        match point.became {
            CheckpointState::Kept => {
                kept += 1;
                of += 1;
            }
            CheckpointState::Late => of += 1,
            CheckpointState::NotDue | CheckpointState::NotAsked => {}
        }
    }
    if of == 0 {
        return StepJudgement::Unknown(WhyUnknown::NoPlan);
    }
    let hurried = kept == of && is_hurried(basis);
    judged(kept == of, StepFacts::Checkpoints { kept, of, hurried })
}

/// Kept where every question that was flagged was opened again after that, for more than a glance or with something
/// done to it. A flag that was taken off on the visit on which it was set was none.
fn flags(analysis: &Analysis) -> StepJudgement {
    let ended = analysis.whole().ended;
    let log = analysis.log();
    let in_time = log.partition_point(|stamped| stamped.at <= ended);
    let log = log.get(..in_time).unwrap_or(log);
    let mut flagged = Vec::new();
    let mut left = Vec::new();
    for question in analysis.header().questions() {
        let Some(looked_at) = looked_at(analysis, log, question) else {
            continue;
        };
        flagged.push(question);
        if !looked_at {
            left.push(question);
        }
    }
    if flagged.is_empty() {
        return StepJudgement::Unknown(WhyUnknown::NoFlags);
    }
    judged(left.is_empty(), StepFacts::Flags { flagged, left })
}

/// Whether a question that was flagged was looked at again; nothing where it was not flagged.
fn looked_at(analysis: &Analysis, log: &[Stamped], question: QuestionNo) -> Option<bool> {
    let glance = analysis.limits().span(Limit::RushedFloorSeconds);
    let mut flagged = None;
    let mut again = false;
    for stamped in log {
        match stamped.event {
            Event::Flagged(own) if own == question => {
                flagged = Some((stamped.at, false));
                again = false;
            }
            Event::Unflagged(own) if own == question => match flagged {
                Some((_, false)) => flagged = None,
                Some((_, true)) => again = true,
                None => {}
            },
            Event::Opened(own) if own == question => {
                flagged = flagged.map(|(at, _)| (at, true));
            }
            Event::Answered(own, _)
            | Event::RubbedOut(own)
            | Event::Said(own, _)
            | Event::CrossedOut(own, _)
            | Event::CrossedBack(own, _)
                if own == question =>
            {
                again |= flagged.is_some_and(|(_, reopened)| reopened);
            }
            _ => {}
        }
    }
    let (at, _) = flagged?;
    let mut later = analysis.stays().iter();
    Some(
        again
            || later
                .any(|stay| stay.question == question && stay.from >= at && stay.worked >= glance),
    )
}
