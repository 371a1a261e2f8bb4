//! The sweep: filling what is blank before time is up.

use std::collections::{BTreeMap, BTreeSet};

use super::timeline::{Choice, Stay, Timeline, sum};
use crate::domain::event::{Event, How, Stamped};
use crate::domain::header::{Header, Mode};
use crate::domain::rule::QuestionNo;
use crate::domain::thresholds::{Limit, Thresholds};
use crate::domain::time::Elapsed;

/// Blanks filled one after another near the end, in time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sweep {
    /// When it began.
    pub from: Elapsed,
    /// When the last of its blanks was filled.
    pub to: Elapsed,
    /// How much of that somebody was there.
    pub took: Elapsed,
    /// How much time was left when it began.
    pub left: Elapsed,
    /// What it filled, in order.
    pub filled: Vec<QuestionNo>,
    /// Whether nothing was blank at the end.
    pub complete: bool,
    /// Whether the paper lay beside the screen, so that this may also have been the keying of
    /// answers that were worked out before.
    pub or_keyed: bool,
}

/// The last run of short stays that filled two blanks at the least and ended near the end of the sitting.
///
/// A fill is the first answer that a question ever had, where it still has one at the end, and where the pupil had come
/// past it before: it, or a question after it, was open earlier. A run that ends in the last `sweep_share` of the time
/// allowed, and the sweep by its key, also fill questions that were not reached. A first pass that is quick is none.
///
/// A stay is short when somebody was there for no longer than `sweep_seconds`; of the run's last one only the part up to
/// its fill counts.
pub(super) fn sweep(
    header: &Header,
    line: &Timeline,
    log: &[Stamped],
    limits: &Thresholds,
) -> Option<Sweep> {
    if !line.over || header.mode == Mode::Entered {
        return None;
    }
    let share = limits.times(Limit::SweepShare, header.allowed);
    let near = line.whole.used.since(share);
    let late = header.allowed.since(share);
    let by_key = by_key(log);
    let runs = runs(line, limits.span(Limit::SweepSeconds));
    // The fills of a run, beside how much of it was answered.
    let filled = |run: &Vec<Fill<'_>>| {
        let is_late = run.last()?.choice.used >= late;
        let is_blank = |fill: &&Fill<'_>| {
            let at = fill.choice.at;
            let mut keyed = by_key.iter();
            is_late || keyed.any(|(from, to)| (*from..=*to).contains(&at)) || fill.is_passed(line)
        };
        let fills: Vec<_> = run.iter().filter(is_blank).map(|own| *own.choice).collect();
        let from = run.iter().find(is_blank)?.stay;
        let until = run.iter().rfind(is_blank)?.stay;
        let swept = fills.len() >= 2 && fills.last()?.used >= near;
        swept.then_some((fills, from, until, run.len()))
    };
    let (fills, from, until, answered) = runs.iter().rev().find_map(filled)?;
    let (first, last) = (fills.first()?, fills.last()?);
    let or_keyed = !header.paper.on_screen;
    // So many at once were worked out beside the screen, and keyed.
    let keyed = or_keyed && answered * 2 > line.questions.len();
    let stays = line.stays.get(from..until)?;
    let took = sum(stays.iter().map(|stay| stay.worked)) + last.took;
    let began = first.used.since(first.took);
    (!keyed).then(|| Sweep {
        from: line.stays.get(from).map_or(first.at, |stay| stay.from),
        to: last.at,
        took,
        left: header.allowed.since(began),
        filled: fills.iter().map(|choice| choice.question).collect(),
        complete: line.is_complete(),
        or_keyed,
    })
}

/// When the sweep was on by its key: from when to when.
fn by_key(log: &[Stamped]) -> Vec<(Elapsed, Elapsed)> {
    let mut open = None;
    let mut spans = Vec::new();
    for stamped in log {
        match stamped.event {
            Event::SweepBegun => open = Some(stamped.at),
            Event::SweepLeft | Event::TimeUp { .. } | Event::Closed(_) => {
                spans.extend(open.take().map(|from| (from, stamped.at)));
            }
            _ => {}
        }
    }
    spans
}

/// A blank filled on a visit.
struct Fill<'a> {
    stay: usize,
    choice: &'a Choice,
}

impl Fill<'_> {
    /// Whether the pupil had come past the question before this visit: left it, or opened one after it.
    fn is_passed(&self, line: &Timeline) -> bool {
        let question = self.choice.question;
        let before = line.stays.get(..self.stay).unwrap_or_default();
        let away = before.iter().rposition(|stay| stay.question != question);
        let elsewhere = away.and_then(|last| before.get(..=last));
        let mut elsewhere = elsewhere.unwrap_or_default().iter();
        elsewhere.any(|stay| stay.question >= question)
    }
}

/// What was filled in runs of short stays, a run each.
fn runs(line: &Timeline, each: Elapsed) -> Vec<Vec<Fill<'_>>> {
    let mut runs = vec![Vec::new()];
    for (index, stay) in line.stays.iter().enumerate() {
        let fill = fill(line, stay).filter(|choice| choice.took <= each);
        if let Some(run) = runs.last_mut() {
            let fill = fill.map(|choice| Fill {
                stay: index,
                choice,
            });
            run.extend(fill);
        }
        if stay.worked > each {
            runs.push(Vec::new());
        }
    }
    runs
}

/// The first answer that a question ever had, where it was given on this visit and the question has one at
/// the end.
fn fill<'a>(line: &'a Timeline, stay: &Stay) -> Option<&'a Choice> {
    let pace = line.question(stay.question)?;
    pace.sheet.in_time?;
    let first = pace.answered?;
    let mut own = line.choices.iter();
    let first = own.find(|choice| choice.question == stay.question && choice.at == first)?;
    let own = line.stays.iter().rev();
    let given_on = own
        .filter(|other| other.question == stay.question)
        .find(|other| other.from <= first.at)?;
    (given_on == stay).then_some(first)
}

/// When a sweep began, and how that is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Begun {
    /// The moment.
    pub(super) at: Elapsed,
    /// Whether the pupil pressed its key.
    pub(super) by_key: bool,
}

/// When the sweep began that filled the blanks near the end: at its key, where the pupil pressed it and had not left
/// the sweep again before the first of them was filled, else at the first of them. Where none was seen, a sweep begun
/// by its key in which an answer was given.
pub(super) fn begun(log: &[Stamped], swept: Option<&Sweep>) -> Option<Begun> {
    let mut open = None;
    let mut answered = None;
    let mut at_the_fill = None;
    for stamped in log {
        match &stamped.event {
            Event::SweepBegun => open = Some(stamped.at),
            Event::SweepLeft => open = None,
            Event::TimeUp { .. } | Event::Closed(_) => break,
            Event::Answered(..) => {
                answered = open.or(answered);
                let is_fill = swept.is_some_and(|sweep| stamped.at >= sweep.from);
                if is_fill && at_the_fill.is_none() {
                    at_the_fill = Some(open);
                }
            }
            _ => {}
        }
    }
    let keyed = |at| Begun { at, by_key: true };
    let Some(sweep) = swept else {
        return answered.map(keyed);
    };
    let first = Begun {
        at: sweep.from,
        by_key: false,
    };
    Some(at_the_fill.flatten().map_or(first, keyed))
}

/// The questions that the sweep, and not the pupil, called a guess: its word comes with the letter, and
/// holds until the pupil says another or rubs the answer out.
pub(super) fn said_by_the_sweep(log: &[Stamped]) -> BTreeSet<QuestionNo> {
    let mut sweeping = false;
    let mut said: BTreeMap<QuestionNo, How> = BTreeMap::new();
    for stamped in log {
        match &stamped.event {
            Event::SweepBegun => sweeping = true,
            Event::SweepLeft | Event::TimeUp { .. } => sweeping = false,
            Event::Said(question, how) if sweeping => {
                said.insert(*question, *how);
            }
            // A changed answer keeps its word, which is logged with it again.
            Event::Said(question, how) if said.get(question) != Some(how) => {
                said.remove(question);
            }
            Event::RubbedOut(question) => {
                said.remove(question);
            }
            _ => {}
        }
    }
    said.into_keys().collect()
}
