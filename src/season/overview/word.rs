//! Who needs a word this week, and why: each reason with its evidence, praise among them. Nobody is ranked: names stand
//! by alias, and how many there are has an end.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use std::iter::zip;

use chrono::NaiveDate;

use super::term::{PupilRow, PupilTerm, WordWeek};
use crate::analysis::findings::{Blind, Finding, Seen, Tone, findings};
use crate::analysis::stay::{Long, sinks};
use crate::analysis::step::StepFacts;
use crate::analysis::{Basis, Studied};
use crate::domain::header::Alias;
use crate::domain::mark::Mark;
use crate::domain::paper::{Outline, PaperId};
use crate::domain::rule::QuestionNo;
use crate::domain::standing::Use;
use crate::domain::thresholds::{Limit, Thresholds};
use crate::domain::time::Elapsed;
use crate::season::practice::{PracticeState, RetriedHow};
use crate::season::progress::Line;
use crate::season::step::{FollowedStep, StepState};

/// A sitting that a reason is drawn from.
#[derive(Clone, Debug, PartialEq)]
pub struct SatPaper {
    /// The paper.
    pub outline: Outline,
    /// The day.
    pub day: NaiveDate,
}

/// A range of marks, in percent of the most there could be.
pub type PercentRange = (f64, f64);

/// Why a pupil needs a word.
#[derive(Clone, Debug, PartialEq)]
pub enum WordReason {
    /// Blanks when time was up on which a guess gains on average.
    Blanks {
        /// Where.
        on: SatPaper,
        /// What guesses on them are worth.
        blind: Blind,
    },
    /// Handed in with much time left and marks lost.
    Unused {
        /// Where.
        on: SatPaper,
        /// The time left.
        left: Elapsed,
        /// The time allowed.
        allowed: Elapsed,
        /// Wrong answers in time.
        wrong: usize,
        /// Questions without an answer in time.
        blank: usize,
    },
    /// Long stays that cost marks, in sitting after sitting.
    LongStays {
        /// How many sittings were looked at.
        of: usize,
        /// Those with such stays, the earliest first.
        sittings: Vec<(SatPaper, Vec<Long>)>,
    },
    /// A mark below the ranges of the sittings before, or above them.
    OutOfRange {
        /// Where.
        on: SatPaper,
        /// The mark in time.
        mark: Mark,
        /// The most there could be.
        max: Mark,
        /// Whether it is above.
        above: bool,
        /// The ranges, each with its day, the earliest first.
        before: Vec<(NaiveDate, PercentRange)>,
    },
    /// Practice that has been due for long, and none in these days or since.
    PracticeDue {
        /// How many questions.
        due: usize,
        /// Since when the first of them.
        since: NaiveDate,
        /// The last day with practice.
        last: NaiveDate,
    },
    /// The step agreed in a talk, judged by a sitting of these days.
    Step {
        /// The step and what became of it.
        followed: FollowedStep,
        /// Whether it was kept.
        kept: bool,
    },
    /// Every blank filled in time, for the first time.
    FirstSweep {
        /// Where.
        on: SatPaper,
        /// What was filled.
        filled: Vec<QuestionNo>,
        /// The blanks of the sitting before.
        before: usize,
        /// The day of that.
        before_on: NaiveDate,
    },
    /// Going back brought marks.
    SecondPass {
        /// Where.
        on: SatPaper,
        /// The questions gone back to.
        questions: Vec<QuestionNo>,
        /// What it brought.
        gained: Mark,
    },
    /// Practice on several days.
    Practised {
        /// On how many days.
        days: usize,
        /// How many questions were tried.
        tried: usize,
        /// How many tries were right without help.
        right: usize,
    },
}

impl WordReason {
    /// How it is meant.
    pub const fn tone(&self) -> Tone {
        match self {
            Self::Blanks { .. }
            | Self::Unused { .. }
            | Self::LongStays { .. }
            | Self::OutOfRange { above: false, .. }
            | Self::PracticeDue { .. }
            | Self::Step { kept: false, .. } => Tone::Next,
            Self::OutOfRange { above: true, .. }
            | Self::FirstSweep { .. }
            | Self::SecondPass { .. }
            | Self::Practised { .. }
            | Self::Step { kept: true, .. } => Tone::Praise,
        }
    }

    /// Whether it is praise.
    pub const fn is_praise(&self) -> bool {
        matches!(self.tone(), Tone::Praise)
    }

    /// Its name in tables.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Blanks { .. } => "blanks",
            Self::Unused { .. } => "unused_time",
            Self::LongStays { .. } => "long_stays",
            Self::OutOfRange { above: false, .. } => "below_range",
            Self::OutOfRange { above: true, .. } => "above_range",
            Self::PracticeDue { .. } => "practice_due",
            Self::FirstSweep { .. } => "first_sweep",
            Self::SecondPass { .. } => "second_pass",
            Self::Practised { .. } => "practised",
            Self::Step { kept: true, .. } => "step_done",
            Self::Step { kept: false, .. } => "step_not_done",
        }
    }

    /// The paper whose marking rule it gives advice from.
    pub const fn advises_by(&self) -> Option<&SatPaper> {
        match self {
            Self::Blanks { on, .. } | Self::FirstSweep { on, .. } => Some(on),
            _ => None,
        }
    }
}

/// A reason, and the share of a paper's marks that hang on it: an estimate, for the choice of names only.
#[derive(Clone, Debug)]
struct Weighed {
    reason: WordReason,
    stake: f64,
}

impl Weighed {
    /// The paper on which the mark is out of range, and whether above.
    fn out_on(&self) -> Option<(PaperId, bool)> {
        match &self.reason {
            WordReason::OutOfRange { on, above, .. } => Some((PaperId::of(&on.outline), *above)),
            _ => None,
        }
    }
}

/// A pupil who needs a word.
#[derive(Clone, Debug, PartialEq)]
pub struct NeedsWord {
    /// The alias.
    pub pupil: Alias,
    /// Why; what to try otherwise first.
    pub reasons: Vec<WordReason>,
}

/// Who needs a word, by alias.
pub(super) fn who(
    terms: &[PupilTerm],
    pupils: &[PupilRow],
    counted: &BTreeSet<String>,
    week: WordWeek,
    limits: &Thresholds,
) -> Vec<NeedsWord> {
    let mut all: Vec<(&Alias, Vec<Weighed>)> = zip(terms, pupils)
        .map(|(term, row)| {
            let counting = term.sittings.iter().filter(|own| counts(own, counted));
            let counting: Vec<_> = counting.collect();
            (&term.pupil, reasons(term, &counting, row, week, limits))
        })
        .collect();
    drop_papers_out_for_most(&mut all, pupils, week);
    let stake = |own: &[Weighed]| -> f64 {
        let next = own.iter().filter(|own| own.reason.tone() == Tone::Next);
        next.map(|own| own.stake).sum()
    };
    let (mut next, praised): (Vec<_>, Vec<_>) = all
        .into_iter()
        .filter(|(_, own)| !own.is_empty())
        .partition(|(_, own)| own.iter().any(|own| own.reason.tone() == Tone::Next));
    next.sort_by(|(a, one), (b, other)| stake(other).total_cmp(&stake(one)).then(a.cmp(b)));
    let most = limits.count(Limit::WordNames);
    let kept = limits.count(Limit::WordPraise).min(praised.len()).min(most);
    let mut named: Vec<_> = next.into_iter().take(most - kept).collect();
    let room = most.saturating_sub(named.len());
    let mut praised = praised;
    praised.sort_by_key(|(pupil, own)| (own.iter().map(praise_order).min(), *pupil));
    named.extend(praised.into_iter().take(room));
    named.sort_by_key(|(pupil, _)| *pupil);
    let told = named.into_iter().map(|(pupil, mut own)| {
        own.sort_by_key(|own| own.reason.tone() == Tone::Praise);
        NeedsWord {
            pupil: pupil.clone(),
            reasons: own.into_iter().map(|own| own.reason).collect(),
        }
    });
    told.collect()
}

/// Which praise comes first where there is not room for all: what is new for the pupil.
const fn praise_order(own: &Weighed) -> u8 {
    match own.reason {
        WordReason::Step { .. } => 0,
        WordReason::OutOfRange { .. } => 1,
        WordReason::FirstSweep { .. } => 2,
        WordReason::Practised { .. } => 3,
        _ => 4,
    }
}

/// Where most of those whose mark can be judged are out of range on one side, it is the paper.
fn drop_papers_out_for_most(
    all: &mut [(&Alias, Vec<Weighed>)],
    pupils: &[PupilRow],
    week: WordWeek,
) {
    let sat = |paper: &PaperId| {
        let lines = pupils.iter().flat_map(PupilRow::compared);
        let lines = lines.filter(|line| week.holds(line.started));
        let own = lines.filter_map(|line| line.evidence.as_ref());
        own.filter(|own| own.paper == *paper).count()
    };
    let mut out = BTreeMap::<(PaperId, bool), usize>::new();
    for own in all
        .iter()
        .flat_map(|(_, own)| own)
        .filter_map(Weighed::out_on)
    {
        *out.entry(own).or_default() += 1;
    }
    out.retain(|(paper, _), count| *count > 1 && *count * 2 >= sat(paper));
    for (_, own) in all {
        own.retain(|own| own.out_on().is_none_or(|on| !out.contains_key(&on)));
    }
}

/// Whether a sitting says something of its pupil: any that does but a whole one that is left out beside those of others,
/// as one with less than the paper's own time is. `counted` are the ids of the sheets that are not.
pub(super) fn counts(studied: &Studied, counted: &BTreeSet<String>) -> bool {
    let bars = |wanted| studied.analysis.standing().bars(wanted);
    let is_a_sheet = bars(Use::Sheet).is_none();
    bars(Use::Evidence).is_none() && (!is_a_sheet || counted.contains(&studied.header().sitting))
}

fn reasons(
    term: &PupilTerm,
    counting: &[&Studied],
    row: &PupilRow,
    week: WordWeek,
    limits: &Thresholds,
) -> Vec<Weighed> {
    let mut all = Vec::new();
    for studied in counting {
        if week.holds(studied.header().started) {
            of_sitting(studied, counting, limits, &mut all);
        }
    }
    all.extend(long_stays(counting, week, limits));
    all.extend(out_of_range(row, counting, week, limits));
    let practice = practice(term, week, limits);
    let unweighed = step(row, week).into_iter().chain(practice);
    all.extend(unweighed.map(|reason| Weighed { reason, stake: 0.0 }));
    all
}

fn sat(studied: &Studied) -> SatPaper {
    let header = studied.header();
    SatPaper {
        outline: header.paper.clone(),
        day: header.started.date_naive(),
    }
}

fn basis(studied: &Studied) -> Basis<'_> {
    Basis {
        analysis: &studied.analysis,
        keyed: studied.keyed.as_ref(),
        norms: None,
    }
}

/// A stake in marks as a share of all marks of its sitting; without a key that of a question each.
fn share(studied: &Studied, stake: f64) -> f64 {
    let max = studied.marks().map(|marks| marks.max().to_f64());
    max.filter(|max| *max > 0.0).map_or(0.0, |max| stake / max)
}

fn of_sitting(
    studied: &Studied,
    counting: &[&Studied],
    limits: &Thresholds,
    all: &mut Vec<Weighed>,
) {
    for Finding { seen, stake } in findings(&basis(studied)) {
        let on = sat(studied);
        let reason = match seen {
            Seen::Blanks { blind, .. }
                if blind.gaining.len() >= limits.count(Limit::WordBlanks) =>
            {
                Some(WordReason::Blanks { on, blind })
            }
            Seen::Unused {
                left,
                allowed,
                wrong,
                blank,
                ..
            } => Some(WordReason::Unused {
                on,
                left,
                allowed,
                wrong,
                blank,
            }),
            Seen::Swept {
                filled,
                blind,
                unused: false,
                blank,
                or_keyed: false,
                ..
            } if blank.is_empty() && blind.gaining == filled => {
                first_sweep(studied, counting, filled)
            }
            Seen::SecondPass {
                questions, gained, ..
            } => Some(WordReason::SecondPass {
                on,
                questions,
                gained,
            }),
            _ => None,
        };
        all.extend(reason.map(|reason| Weighed {
            stake: match &reason {
                WordReason::Blanks { blind, .. } => share(studied, blind.gain),
                _ => share(studied, stake),
            },
            reason,
        }));
    }
}

/// A sweep that left nothing blank, where none before did and the sitting before left something.
fn first_sweep(
    studied: &Studied,
    counting: &[&Studied],
    filled: Vec<QuestionNo>,
) -> Option<WordReason> {
    let before = counting
        .iter()
        .filter(|own| own.header().started < studied.header().started && own.analysis.is_timed());
    let before: Vec<_> = before.collect();
    let swept = |own: &&&&Studied| own.analysis.sweep().is_some_and(|sweep| sweep.complete);
    let last = before.last()?;
    let blanks = last.analysis.blanks().len();
    let is_first = blanks > 0 && before.iter().find(swept).is_none();
    is_first.then(|| WordReason::FirstSweep {
        on: sat(studied),
        filled,
        before: blanks,
        before_on: last.header().started.date_naive(),
    })
}

fn long_stays(counting: &[&Studied], week: WordWeek, limits: &Thresholds) -> Option<Weighed> {
    let of = limits.count(Limit::WordLongOf);
    let timed = counting
        .iter()
        .rev()
        .filter(|own| own.analysis.is_timed() && own.analysis.trust().any() && own.keyed.is_some());
    let mut recent: Vec<_> = timed.take(of).collect();
    recent.reverse();
    let newest = recent.last()?;
    let mut stake = 0.0;
    let mut sittings = Vec::new();
    for studied in &recent {
        let found = sinks(&basis(studied));
        stake += share(studied, found.iter().map(|sink| sink.cost).sum());
        if !found.is_empty() {
            let stays = found.iter().map(|sink| sink.long).collect();
            sittings.push((sat(studied), stays));
        }
    }
    let newest_has = sittings
        .last()
        .is_some_and(|(on, _)| on.day == newest.header().started.date_naive());
    let is_habit = week.holds(newest.header().started)
        && newest_has
        && sittings.len() >= limits.count(Limit::WordLongSittings);
    is_habit.then(|| Weighed {
        stake: stake / crate::stats::real(recent.len().max(1)),
        reason: WordReason::LongStays {
            of: recent.len(),
            sittings,
        },
    })
}

fn percent(mark: Mark, max: Mark) -> f64 {
    mark.to_f64() * 100.0 / max.to_f64()
}

/// The range of a compared sitting, in percent.
fn range(line: &Line) -> Option<(NaiveDate, PercentRange)> {
    let marks = line.marks.as_ref()?;
    let (low, high) = marks.range?.range()?;
    let range = (percent(low, marks.max), percent(high, marks.max));
    Some((line.started.date_naive(), range))
}

fn out_of_range(
    row: &PupilRow,
    counting: &[&Studied],
    week: WordWeek,
    limits: &Thresholds,
) -> Option<Weighed> {
    let compared: Vec<_> = row.compared().collect();
    let (newest, before) = compared.split_last()?;
    let own = |studied: &&&Studied| studied.header().sitting == newest.sitting;
    let on = sat(counting.iter().find(own)?);
    let marks = newest.marks.as_ref().filter(|own| own.max > Mark::ZERO)?;
    let wanted = limits.count(Limit::WordRanges);
    let mut before: Vec<_> = before.iter().rev().filter_map(|line| range(line)).collect();
    before.truncate(wanted);
    before.reverse();
    if !week.holds(newest.started) || before.len() < wanted {
        return None;
    }
    let own = percent(marks.in_time, marks.max);
    let lowest = before
        .iter()
        .map(|(_, (low, _))| *low)
        .fold(f64::INFINITY, f64::min);
    let highest = before
        .iter()
        .map(|(_, (_, high))| *high)
        .fold(f64::NEG_INFINITY, f64::max);
    let above = own > highest;
    (above || own < lowest).then(|| Weighed {
        stake: (lowest - own).max(0.0) / 100.0,
        reason: WordReason::OutOfRange {
            mark: marks.in_time,
            max: marks.max,
            above,
            before,
            on,
        },
    })
}

/// The last step that a sitting of these days judged.
fn step(row: &PupilRow, week: WordWeek) -> Option<WordReason> {
    row.steps.iter().rev().find_map(|followed| {
        let kept = match &followed.state {
            // Kept in a hurry, it is told in the pupil's row, and is no praise.
            StepState::Done(by, StepFacts::Checkpoints { hurried: true, .. })
                if week.holds(by.started) =>
            {
                return Some(None);
            }
            StepState::Done(by, _) if week.holds(by.started) => true,
            StepState::NotDone(by, _) if week.holds(by.started) => false,
            _ => return None,
        };
        let followed = followed.clone();
        Some(Some(WordReason::Step { followed, kept }))
    })?
}

fn practice(term: &PupilTerm, week: WordWeek, limits: &Thresholds) -> Option<WordReason> {
    let tries = term.practice.questions.iter().flat_map(|own| &own.tries);
    let tries: Vec<_> = tries.filter(|own| own.in_practice).collect();
    let last = tries.iter().map(|own| own.at.date_naive()).max()?;
    // Whoever has practised since the newest sitting has put nothing off either.
    if last >= week.from {
        let recent: Vec<_> = tries.iter().filter(|own| week.holds(own.at)).collect();
        let days: BTreeSet<_> = recent.iter().map(|own| own.at.date_naive()).collect();
        let right = recent.iter().filter(|own| own.how == RetriedHow::Right);
        return (days.len() >= limits.count(Limit::WordPractised)).then(|| WordReason::Practised {
            days: days.len(),
            tried: recent.len(),
            right: right.count(),
        });
    }
    let states = term.practice.missed();
    let states = states.filter_map(|own| own.state(week.to, term.paper_on));
    let mut due: Vec<_> = states
        .filter_map(|state| match state {
            PracticeState::Due(since) if since < week.from => Some(since),
            _ => None,
        })
        .collect();
    due.sort_by_key(|day| Reverse(*day));
    let since = *due.last()?;
    (due.len() >= limits.count(Limit::WordDue)).then_some(WordReason::PracticeDue {
        due: due.len(),
        since,
        last,
    })
}
