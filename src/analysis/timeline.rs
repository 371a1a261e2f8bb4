//! One walk through a log: visits, gaps, answers, and what they add up to.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::interruptions::Interruptions;
use crate::domain::event::{Ending, Event, Stamped};
use crate::domain::header::Header;
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Given, Phase, Row, Sitting};
use crate::domain::time::Elapsed;

/// A question on the screen from one moment to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stay {
    /// The question.
    pub question: QuestionNo,
    /// When it was opened.
    pub from: Elapsed,
    /// When it was left, or when the time in which answers count ended.
    pub to: Elapsed,
    /// How much of that somebody was there and not yet waiting for the end.
    pub(super) worked: Elapsed,
}

/// Why nobody was there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GapKind {
    /// A rest break.
    Break,
    /// The machine slept, or the program was away.
    Away,
}

/// A stretch in which nobody was there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// When it began.
    pub from: Elapsed,
    /// When it ended, at the latest when the time in which answers count ended.
    pub to: Elapsed,
    /// Why.
    pub kind: GapKind,
}

/// A moment in time at which an answer changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Choice {
    /// The question.
    pub question: QuestionNo,
    /// The moment.
    pub at: Elapsed,
    /// The time used by then.
    pub used: Elapsed,
    /// What the answer was before.
    pub before: Option<Label>,
    /// What it became; nothing when it was rubbed out.
    pub option: Option<Label>,
    /// How long somebody had been there since the page was opened or the last answer given.
    pub took: Elapsed,
}

/// What can be said of a question at the end of the time in which answers count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// Answered.
    Answered,
    /// Answered once, and rubbed out.
    Cleared,
    /// Blank, with a later question answered.
    Omitted,
    /// Blank, with nothing after it answered.
    NotReached,
}

/// One question's part of the hour.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct QuestionPace {
    /// The question.
    pub number: QuestionNo,
    /// How long its page was open with somebody there, without [`Whole::waited`]; read through
    /// [`super::Analysis::time_on`].
    pub(super) time: Elapsed,
    /// How often it was opened.
    pub visits: usize,
    /// When it was first opened.
    pub opened: Option<Elapsed>,
    /// Its place among the questions in the order in which they were first opened, from 1.
    pub place: Option<usize>,
    /// When it was first answered.
    pub answered: Option<Elapsed>,
    /// What was known of it at the end.
    pub sheet: Sheet,
}

/// How a question's row stood at the end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sheet {
    /// What can be said of it.
    pub status: Status,
    /// The answer in time.
    pub in_time: Option<Given>,
    /// The answer of the guess round.
    pub after_time: Option<Given>,
    /// Whether there was a flag beside it.
    pub flagged: bool,
}

/// The whole of the time in which answers count, and what it is made of.
///
/// `questions + waited + idle + breaks + away = ended`, to the millisecond.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Whole {
    /// When it ended: time up, the handing in, or the last record of a sitting that is still open.
    pub ended: Elapsed,
    /// The time used by then, as the exam clock counts it.
    pub used: Elapsed,
    /// Time on the questions: one open, and somebody there.
    pub questions: Elapsed,
    /// How long the question that was open at the end stayed so after the answer that stands: whoever waits for
    /// the bell is not working on it.
    pub waited: Elapsed,
    /// Time before the first question was opened.
    pub idle: Elapsed,
    /// Rest breaks.
    pub breaks: Elapsed,
    /// Sleep and absences.
    pub away: Elapsed,
}

/// The first visits to the questions, and the visits after them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Passes {
    /// When the question that was the last to be opened for the first time was left.
    pub first_ended: Option<Elapsed>,
    /// The time used by then.
    pub first_used: Option<Elapsed>,
    /// How many questions were opened.
    pub opened: usize,
    /// Time on first visits.
    pub first: Elapsed,
    /// Time on later visits.
    pub later: Elapsed,
}

/// One option that came to stand in the place of another, however often it was rubbed out between.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AnswerChange {
    /// The question.
    pub question: QuestionNo,
    /// When.
    pub at: Elapsed,
    /// The option before.
    pub from: Label,
    /// The option after.
    pub to: Label,
}

/// The course of a sitting, before anything is judged.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Timeline {
    pub(super) whole: Whole,
    pub(super) ending: Option<Ending>,
    /// Whether answers no longer count: time is up, or it was handed in or given up.
    pub(super) over: bool,
    pub(super) stays: Vec<Stay>,
    pub(super) gaps: Vec<Gap>,
    pub(super) questions: Vec<QuestionPace>,
    pub(super) choices: Vec<Choice>,
    pub(super) passes: Passes,
    pub(super) interruptions: Interruptions,
}

impl Timeline {
    pub(super) fn question(&self, number: QuestionNo) -> Option<&QuestionPace> {
        self.questions.iter().find(|pace| pace.number == number)
    }

    /// Whether nothing was blank when the time in which answers count ended.
    pub(super) fn is_complete(&self) -> bool {
        self.questions
            .iter()
            .all(|pace| pace.sheet.in_time.is_some())
    }
}

/// The changes of one option for another among the choices, through rub-outs.
pub(super) fn changes(choices: &[Choice]) -> Vec<AnswerChange> {
    let mut changes = Vec::new();
    let mut stood = BTreeMap::<QuestionNo, Label>::new();
    for choice in choices {
        let Some(to) = choice.option else { continue };
        let from = stood.insert(choice.question, to);
        if let Some(from) = from.filter(|from| *from != to) {
            changes.push(AnswerChange {
                question: choice.question,
                at: choice.at,
                from,
                to,
            });
        }
    }
    changes
}

/// What only the order of the events tells.
#[derive(Default)]
struct Seen {
    gaps: Vec<Gap>,
    choices: Vec<Choice>,
    closed: Option<Elapsed>,
}

/// Folds the log: its course, and the sitting after its last event.
pub(super) fn walk(header: &Arc<Header>, log: &[Stamped]) -> (Timeline, Sitting) {
    let mut sitting = Sitting::new(Arc::clone(header));
    let mut seen = Seen::default();
    let mut interruptions = Interruptions::default();
    for stamped in log {
        step(&mut sitting, &mut seen, stamped);
        interruptions.note(stamped);
    }
    let ended = sitting.due().or(seen.closed).unwrap_or(sitting.latest());
    let mut stays = stays(&sitting, ended);
    let gaps = gaps(&sitting, seen.gaps, ended);
    let choices = timed(&sitting, seen.choices, &stays);
    let waited = wait_left_out(&sitting, &mut stays, &choices);
    let questions = questions(&sitting, &stays, &choices);
    let passes = passes(&sitting, &stays);
    let line = Timeline {
        whole: Whole {
            waited,
            ..whole(&sitting, &stays, &gaps, ended)
        },
        ending: ending(&sitting),
        over: sitting.due().is_some() || sitting.is_closed(),
        stays,
        gaps,
        questions,
        choices,
        passes,
        interruptions,
    };
    (line, sitting)
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
    } else if sitting.absent().count() < stretches {
        // A rest break that ended in its first millisecond was none.
        seen.gaps.pop();
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
        // The next question may open in the very millisecond of the answer.
        let own = |stay: &&Stay| stay.question == choice.question && stay.from <= at;
        let opened = stays.iter().rev().find(own);
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

/// Takes the wait for the end out of the last stay: all of it that came after the answer that stands, where
/// there is one.
fn wait_left_out(sitting: &Sitting, stays: &mut [Stay], choices: &[Choice]) -> Elapsed {
    let Some(last) = stays.last_mut() else {
        return Elapsed::ZERO;
    };
    let mut own = choices.iter().rev();
    let newest = own.find(|choice| choice.question == last.question);
    let standing = newest.filter(|choice| choice.option.is_some());
    let waited = standing.map_or(Elapsed::ZERO, |choice| {
        there(sitting, choice.at.clamp(last.from, last.to), last.to)
    });
    last.worked = last.worked.since(waited);
    waited
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
        QuestionPace {
            number: row.number,
            time: sum(own.iter().map(|stay| stay.worked)),
            visits: own.len(),
            opened: own.first().map(|stay| stay.from),
            place: order.iter().position(|q| *q == row.number).map(|i| i + 1),
            answered,
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
        waited: Elapsed::ZERO,
        idle: there(sitting, Elapsed::ZERO, first),
        breaks: kind(GapKind::Break),
        away: kind(GapKind::Away),
    }
}

/// Spans added up.
pub(super) fn sum(spans: impl Iterator<Item = Elapsed>) -> Elapsed {
    spans.fold(Elapsed::ZERO, std::ops::Add::add)
}
