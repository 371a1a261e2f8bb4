//! Findings on habits, from the log alone: blanks, sweep, to and fro, start, end, checkpoints.

use super::long::{best_rate, planned};
use super::{Finding, Look, Seen};
use crate::analysis::{Limit, QuestionPace, Trust};
use crate::domain::event::Ending;
use crate::domain::header::Checkpoint;
use crate::domain::time::{Elapsed, from_minutes};
use crate::odds::guess::gain;
use crate::stats::real;

/// Finds what the log alone tells.
pub(super) fn habits(look: &Look<'_>, all: &mut Vec<Finding>) {
    blanks(look, all);
    if look.pacing.trust == Trust::NoTimes {
        return;
    }
    swept(look, all);
    to_and_fro(look, all);
    slow_start(look, all);
    ended_early(look, all);
    checkpoints(look, all);
}

/// The sitting is over and was not given up: only then do its blanks and its end mean something.
const fn came_to_its_end(look: &Look<'_>) -> bool {
    match look.pacing.ending {
        Some(ending) => !matches!(ending, Ending::Abandoned),
        None => false,
    }
}

fn blanks(look: &Look<'_>, all: &mut Vec<Finding>) {
    if !came_to_its_end(look) {
        return;
    }
    let questions = look.pacing.blanks();
    if questions.is_empty() {
        let may_lose = look.header.paper.rule.takes_marks_away();
        if look.pacing.sweep.is_none() && !may_lose {
            all.push(Finding {
                seen: Seen::NoBlank(look.pacing.questions.len()),
                stake: 0.0,
            });
        }
        return;
    }
    let outline = &look.header.paper;
    let blind = questions.iter().filter_map(|question| {
        let section = outline.rule.section(*question)?;
        Some(gain(section, outline.labels(*question).len()).to_f64())
    });
    let blind: f64 = blind.sum();
    let unseen = questions.iter().filter(|question| {
        let pace = look.pacing.question(**question);
        let timed = look.pacing.trust != Trust::NoTimes;
        timed && pace.is_some_and(|pace| pace.opened.is_none())
    });
    all.push(Finding {
        seen: Seen::Blanks {
            unseen: unseen.count(),
            questions,
            gain: blind,
        },
        stake: blind.max(0.0),
    });
}

fn swept(look: &Look<'_>, all: &mut Vec<Finding>) {
    let Some(sweep) = &look.pacing.sweep else {
        return;
    };
    let outline = &look.header.paper;
    let worth = sweep.filled.iter().filter_map(|question| {
        let section = outline.rule.section(*question)?;
        Some(gain(section, outline.labels(*question).len()).to_f64())
    });
    let gain: f64 = worth.sum();
    all.push(Finding {
        stake: gain.max(0.0),
        seen: Seen::Swept {
            gain,
            filled: sweep.filled.clone(),
            left: sweep.left,
            took: sweep.took,
            complete: sweep.complete,
            or_keyed: sweep.or_keyed,
        },
    });
}

fn to_and_fro(look: &Look<'_>, all: &mut Vec<Finding>) {
    let many = look.limits.count(Limit::ManyVisits);
    let often = look
        .pacing
        .questions
        .iter()
        .filter(|pace| pace.visits >= many);
    let mut often: Vec<_> = often.map(|pace| (pace.number, pace.visits)).collect();
    often.sort_by_key(|(number, visits)| (std::cmp::Reverse(*visits), *number));
    if !often.is_empty() {
        all.push(Finding {
            seen: Seen::ToAndFro(often),
            stake: 0.0,
        });
    }
}

/// The moment of the first answers, in time used, against the time planned for those questions.
fn slow_start(look: &Look<'_>, all: &mut Vec<Finding>) {
    let wanted = look.limits.count(Limit::StartAnswers);
    let mut first: Vec<&QuestionPace> = look.pacing.questions.iter().collect();
    first.retain(|pace| pace.answered.is_some() && look.pacing.trust.any());
    first.sort_by_key(|pace| pace.answered);
    let Some(last) = wanted.checked_sub(1).and_then(|index| first.get(index)) else {
        return;
    };
    let choices = look.pacing.choices.iter();
    let own = choices.filter(|c| c.question == last.number && Some(c.at) == last.answered);
    let Some(took) = own.map(|choice| choice.used).next() else {
        return;
    };
    let plans = first
        .iter()
        .take(wanted)
        .map(|pace| planned(look.header, pace.number));
    let plan = plans.fold(Elapsed::ZERO, std::ops::Add::add);
    if took > look.limits.times(Limit::StartTimes, plan) {
        all.push(Finding {
            seen: Seen::SlowStart {
                answers: wanted,
                took,
                plan,
            },
            stake: took.since(plan).as_seconds() / 60.0 * best_rate(look),
        });
    }
}

fn ended_early(look: &Look<'_>, all: &mut Vec<Finding>) {
    let left = look.header.allowed.since(look.pacing.whole.used);
    let early = look.pacing.ending == Some(Ending::FinishedEarly);
    if !early || left < look.limits.span(Limit::EarlySeconds) {
        return;
    }
    let (flags, blanks) = (look.pacing.flags(), look.pacing.blanks());
    if flags.is_empty() && blanks.is_empty() {
        return;
    }
    all.push(Finding {
        seen: Seen::EndedEarly {
            left,
            flags,
            blanks,
        },
        stake: left.as_seconds() / 60.0 * best_rate(look),
    });
}

/// A checkpoint is passed when each question up to it was answered, or opened and left.
fn checkpoints(look: &Look<'_>, all: &mut Vec<Finding>) {
    // Answers keyed long after they were worked out say nothing of when a question was done.
    if !look.pacing.trust.any() {
        return;
    }
    let plan = look.header.plan.iter().flat_map(|plan| &plan.checkpoints);
    let allowed = look.limits.span(Limit::LateSeconds);
    let mut kept = 0;
    let mut late = Vec::new();
    for point in plan {
        let Some(planned) = from_minutes(point.minutes) else {
            continue;
        };
        // A sitting handed in before the checkpoint's moment has not missed it.
        let passed = Passed::new(look, point);
        match passed.reached {
            Some(reached) if reached <= planned + allowed => kept += 1,
            None if look.pacing.whole.used < planned => {}
            reached => late.push(Seen::Late {
                question: point.question,
                planned,
                reached,
                done: passed.done_by(planned),
                of: passed.done.len(),
            }),
        }
    }
    // One checkpoint missed makes the next ones late as well: the worst is said, once.
    let worst = late.into_iter().max_by_key(|seen| lateness(seen, look));
    if let Some(seen) = worst {
        let minutes = lateness(&seen, look).as_seconds() / 60.0;
        let stake = minutes * best_rate(look);
        all.push(Finding { seen, stake });
    } else if kept > 0 {
        all.push(Finding {
            seen: Seen::Kept(kept),
            stake: real(kept),
        });
    }
}

fn lateness(seen: &Seen, look: &Look<'_>) -> Elapsed {
    match seen {
        Seen::Late {
            planned, reached, ..
        } => reached.unwrap_or(look.pacing.whole.used).since(*planned),
        _ => Elapsed::ZERO,
    }
}

/// When the questions up to a checkpoint were done, in time used; nothing for those that never were.
struct Passed {
    done: Vec<Option<Elapsed>>,
    reached: Option<Elapsed>,
}

impl Passed {
    fn new(look: &Look<'_>, point: &Checkpoint) -> Self {
        let upto = look.pacing.questions.iter();
        let upto = upto.filter(|pace| pace.number <= point.question);
        let used = |at: Elapsed| look.pacing.used_at(at);
        let done: Vec<_> = upto.map(|pace| pace.done.map(used)).collect();
        let all: Option<Vec<_>> = done.iter().copied().collect();
        Self {
            reached: all.and_then(|all| all.into_iter().max()),
            done,
        }
    }

    fn done_by(&self, used: Elapsed) -> usize {
        let in_time = self.done.iter().flatten().filter(|done| **done <= used);
        in_time.count()
    }
}
