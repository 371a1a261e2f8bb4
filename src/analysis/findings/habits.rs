//! Findings on habits, from the log alone: blanks, sweep, to and fro, start, end, checkpoints.

use super::found::{Blind, Finding, Seen};
use super::unused;
use crate::analysis::basis::Basis;
use crate::analysis::checkpoint::{CheckpointState, Passed, passed};
use crate::analysis::stay::{best_rate, planned};
use crate::analysis::timeline::QuestionPace;
use crate::analysis::trust::Trust;
use crate::domain::rule::QuestionNo;
use crate::domain::thresholds::Limit;
use crate::domain::time::Elapsed;
use crate::stats::real;

/// Finds what the log alone tells.
pub(super) fn habits(basis: &Basis<'_>, all: &mut Vec<Finding>) {
    blanks(basis, all);
    if *basis.analysis.trust() == Trust::NoTimes {
        return;
    }
    swept(basis, all);
    to_and_fro(basis, all);
    slow_start(basis, all);
    ended_early(basis, all);
    checkpoints(basis, all);
}

fn blanks(basis: &Basis<'_>, all: &mut Vec<Finding>) {
    if !basis.analysis.came_to_its_end() {
        return;
    }
    let questions = basis.analysis.blanks();
    if questions.is_empty() {
        let may_lose = basis.header().paper.rule.takes_marks_away();
        if basis.analysis.sweep().is_none() && !may_lose {
            all.push(Finding {
                seen: Seen::NoBlank {
                    count: basis.analysis.questions().len(),
                    unused: unused::time(basis).is_some(),
                    timed: basis.analysis.is_timed(),
                },
                stake: 0.0,
            });
        }
        return;
    }
    let blind = Blind::of(&basis.header().paper, &questions);
    let unseen = basis.analysis.unseen();
    let unseen = questions.iter().filter(|number| unseen.contains(number));
    let stake = blind.gain;
    all.push(Finding {
        seen: Seen::Blanks {
            unseen: unseen.count(),
            right_before: right_before(basis, &questions),
            on_screen: basis.header().paper.on_screen && basis.analysis.is_timed(),
            questions,
            blind,
        },
        stake,
    });
}

/// Those of some questions that had the right answer once, under the clock: on a typed-in sheet it may have been
/// typed into the wrong row.
fn right_before(basis: &Basis<'_>, questions: &[QuestionNo]) -> Vec<QuestionNo> {
    let keyed = basis.keyed.filter(|_| basis.analysis.is_timed());
    let was_right = |question: &&QuestionNo| {
        let mut own = basis.analysis.choices().iter();
        own.any(|choice| {
            let right = choice.option.zip(keyed).is_some_and(|(option, keyed)| {
                keyed.key.accepts(choice.question, option)
                    && !keyed.key.voids.contains_key(&choice.question)
            });
            choice.question == **question && right
        })
    };
    questions.iter().filter(was_right).copied().collect()
}

fn swept(basis: &Basis<'_>, all: &mut Vec<Finding>) {
    let Some(sweep) = basis.analysis.sweep() else {
        return;
    };
    let (paper, blank) = (&basis.header().paper, basis.analysis.blanks());
    let blind = Blind::of(paper, &sweep.filled);
    all.push(Finding {
        stake: blind.gain,
        seen: Seen::Swept {
            blind,
            filled: sweep.filled.clone(),
            left: sweep.left,
            took: sweep.took,
            rest: Blind::of(paper, &blank),
            blank,
            or_keyed: sweep.or_keyed,
            unused: unused::time(basis).is_some(),
        },
    });
}

fn to_and_fro(basis: &Basis<'_>, all: &mut Vec<Finding>) {
    let many = basis.limits().count(Limit::ManyVisits);
    let often = basis
        .analysis
        .questions()
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
fn slow_start(basis: &Basis<'_>, all: &mut Vec<Finding>) {
    let wanted = basis.limits().count(Limit::StartAnswers);
    let mut first: Vec<&QuestionPace> = basis.analysis.questions().iter().collect();
    first.retain(|pace| pace.answered.is_some() && basis.analysis.trust().any());
    first.sort_by_key(|pace| pace.answered);
    // Keyed in a batch they say nothing of when they were worked out.
    let mut judged = first.iter().take(wanted);
    if !judged.all(|pace| basis.analysis.trust().holds(pace.number)) {
        return;
    }
    let Some(last) = wanted.checked_sub(1).and_then(|index| first.get(index)) else {
        return;
    };
    let choices = basis.analysis.choices().iter();
    let own = choices.filter(|c| c.question == last.number && Some(c.at) == last.answered);
    let Some(took) = own.map(|choice| choice.used).next() else {
        return;
    };
    let plans = first
        .iter()
        .take(wanted)
        .map(|pace| planned(basis.header(), pace.number));
    let plan = plans.fold(Elapsed::ZERO, std::ops::Add::add);
    if took > basis.limits().times(Limit::StartTimes, plan) {
        all.push(Finding {
            seen: Seen::SlowStart {
                answers: wanted,
                took,
                plan,
            },
            stake: took.since(plan).as_seconds() / 60.0 * best_rate(basis),
        });
    }
}

fn ended_early(basis: &Basis<'_>, all: &mut Vec<Finding>) {
    let least = basis.limits().span(Limit::EarlySeconds);
    let Some(left) = basis.analysis.unused().filter(|left| *left >= least) else {
        return;
    };
    let (flags, blanks) = (basis.analysis.flags(), basis.analysis.blanks());
    if flags.is_empty() && blanks.is_empty() {
        return;
    }
    all.push(Finding {
        seen: Seen::EndedEarly {
            left,
            flags,
            blanks,
        },
        stake: left.as_seconds() / 60.0 * best_rate(basis),
    });
}

fn checkpoints(basis: &Basis<'_>, all: &mut Vec<Finding>) {
    // Answers keyed long after they were worked out say nothing of when a question was done.
    if !basis.analysis.trust().any() {
        return;
    }
    let (mut kept, mut asked) = (0, 0);
    let mut late = Vec::new();
    for point in passed(basis.analysis) {
        let (planned, passage) = (point.planned, point.passage);
        asked += usize::from(point.became != CheckpointState::NotAsked);
        match point.became {
            CheckpointState::Kept => kept += 1,
            CheckpointState::Late => late.push(Seen::Late {
                question: point.question,
                planned,
                reached: passage.reached,
                done: passage.done,
                of: passage.asked,
            }),
            CheckpointState::NotDue | CheckpointState::NotAsked => {}
        }
    }
    // One checkpoint missed makes the next ones late as well: the worst is said, once.
    let worst = late.into_iter().max_by_key(|seen| lateness(seen, basis));
    if let Some(seen) = worst {
        let minutes = lateness(&seen, basis).as_seconds() / 60.0;
        let stake = minutes * best_rate(basis);
        all.push(Finding { seen, stake });
    } else if kept > 0 && kept == asked {
        all.push(Finding {
            seen: Seen::Kept {
                count: kept,
                hurried: is_hurried(basis),
            },
            stake: real(kept),
        });
    }
}

/// Whether the checkpoints that were kept say nothing good of the pace: it left time unused, or ran far ahead of the
/// plan while something was wrong.
pub fn is_hurried(basis: &Basis<'_>) -> bool {
    let far_ahead = |point: &Passed| {
        let far = basis.limits().times(Limit::AheadShare, point.planned);
        point.became == CheckpointState::Kept
            && point.passage.ahead.is_some_and(|done| done <= far)
            && !unused::all_right_to(basis, point.question)
    };
    unused::time(basis).is_some() || passed(basis.analysis).iter().any(far_ahead)
}

fn lateness(seen: &Seen, basis: &Basis<'_>) -> Elapsed {
    match seen {
        Seen::Late {
            planned, reached, ..
        } => reached
            .unwrap_or(basis.analysis.whole().used)
            .since(*planned),
        _ => Elapsed::ZERO,
    }
}
