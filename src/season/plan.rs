//! A pace plan: checkpoints for going through a paper, when to leave a question, and what that should bring.
//!
//! The mark is the forecast's: going in order is what the pupil did so far, so the two are one figure. Another order
//! is offered only where the group's answers say how hard these very questions are and the gain stands clear of its
//! own uncertainty. For a pupil who leaves blanks the plan says what filling them brings.

mod checkpoints;
mod order;
mod stopping;
mod tasks;

pub use order::OtherOrder;
pub use tasks::{Rest, Task};

use crate::domain::header::{PacePlan, with_extra_time};
use crate::domain::mark::Mark;
use crate::domain::paper::{Paper, PaperId};
use crate::domain::questions::QuestionList;
use crate::domain::rule::QuestionNo;
use crate::domain::thresholds::Thresholds;
use crate::domain::time::Elapsed;
use crate::stats::luck::Distribution;
use crate::stats::steps;

use super::estimate::Estimates;
use super::forecast::{ahead, steps_to_reach};
use super::mark_range::middle;
use super::model::{Filling, PaperAhead, Way, reached};

/// What the sweep takes for each blank, and at the least, in seconds.
pub const SWEEP_EACH: u32 = 3;
/// The least that is kept for the sweep, in seconds; a tenth of the time where that is less.
pub const SWEEP_LEAST: u32 = 60;
/// The least gain of filling blanks that is worth a word, in marks (common practice, no source).
const WORTH_A_WORD: f64 = 0.5;

/// What the plan is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Goal {
    /// The most marks on average.
    Marks,
    /// The best chance of an award.
    Award {
        /// Its name.
        name: String,
        /// The mark to reach.
        boundary: Mark,
    },
}

/// One way to take the whole paper, and what it should bring.
#[derive(Clone, Debug, PartialEq)]
pub struct Outlook {
    /// Which questions are got to at least half of the time.
    pub tried: Vec<bool>,
    /// The distribution of the mark, in grid steps.
    pub marks: Distribution,
    /// The chance of the goal's boundary; `None` where the goal is marks.
    pub chance: Option<f64>,
}

/// The plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// What it is for.
    pub goal: Goal,
    /// The time allowed, extra time included.
    pub allowed: Elapsed,
    /// What is kept for the sweep, in seconds.
    pub reserve: u32,
    /// Steps to the mark.
    pub grid: i64,
    /// The questions with what is expected of them.
    pub tasks: Vec<Task>,
    /// The plan's way: in order, or in the order that is offered.
    pub best: Outlook,
    /// Going in order, blanks as usual with this pupil: the forecast.
    pub in_order: Outlook,
    /// Going in order, no blank filled.
    pub then_blank: Outlook,
    /// Going in order, every blank filled where a guess is worth more.
    pub all_filled: Outlook,
    /// The best other order, whether or not it is offered.
    pub other: OtherOrder,
    /// The chance that all questions that are tried are got to.
    pub in_time: f64,
    /// When to leave each question, in seconds; nothing for one that is not tried, and where there is nothing to leave.
    pub leave_each: Vec<Option<f64>>,
    /// When to leave any question: one number to keep in the head, in seconds.
    pub leave_after: Option<u32>,
    /// The same for the sitting: the checkpoints, what is left, and when to leave a question.
    pub pace: PacePlan,
}

impl Plan {
    /// Plans a paper for a pupil; `None` only where the rule's marks are too fine to compute with.
    pub fn new(
        paper: &Paper,
        estimates: &Estimates,
        goal: Goal,
        limits: &Thresholds,
    ) -> Option<Self> {
        let ahead = ahead(paper, estimates)?;
        let tasks = tasks::tasks(paper, &ahead, &estimates.times);
        let seconds: Vec<f64> = tasks.iter().map(|task| task.seconds).collect();
        // Whoever had time left over got to what they wanted to.
        let time_left = estimates.counted.time_left;
        let measured = estimates.scale.holds(&PaperId::of(&paper.outline));
        let other = OtherOrder::best(&ahead, &seconds, measured && !time_left);
        let in_order = ahead.in_order();
        let way = if other.offered { &other.way } else { &in_order };
        let outlook = |way: &Way, filling| Outlook::of(&ahead, way, filling, &goal);
        let best = outlook(way, Filling::Usual)?;
        let of_order = outlook(&in_order, Filling::Usual)?;
        let allowed = with_extra_time(paper.allowed, estimates.extra_percent);
        let reserve = reserve(&tasks, &best.tried, allowed);
        let ends = paper.outline.rule.sections.iter();
        let ends: Vec<QuestionNo> = ends.map(|section| section.last).collect();
        let (leave_each, leave_after) = if time_left {
            (vec![None; tasks.len()], None)
        } else {
            let each = stopping::each(&tasks, &best.tried, limits);
            let all = stopping::for_all(&tasks, &best.tried, &each);
            (each, all)
        };
        let later = |task: &&Task| other.offered && !other.first.contains(&task.number);
        let first: Vec<bool> = tasks
            .iter()
            .zip(&best.tried)
            .map(|(task, tried)| *tried && !later(&task))
            .collect();
        let pace = PacePlan {
            leave: QuestionList::of(tasks.iter().filter(later).map(|task| task.number)),
            stay: leave_after.map(|seconds| Elapsed::seconds(u64::from(seconds))),
            ..checkpoints::of(
                &tasks,
                &paced(&tasks, &best.tried, allowed, reserve),
                &first,
                &ends,
            )
        };
        let needed = order::share_for(&seconds, &best.tried);
        Some(Self {
            in_time: estimates.model.reach.at_least(needed),
            then_blank: outlook(&in_order, Filling::Nothing)?,
            all_filled: outlook(&in_order, Filling::Every)?,
            in_order: of_order,
            grid: ahead.grid,
            allowed,
            reserve,
            leave_after,
            leave_each,
            pace,
            goal,
            best,
            other,
            tasks,
        })
    }

    /// The expected mark of an outlook.
    pub fn expected(&self, outlook: &Outlook) -> f64 {
        outlook.marks.mean() / steps(self.grid)
    }

    /// The marks between which an outlook ends in 80 of 100 cases.
    pub fn range(&self, outlook: &Outlook) -> Option<(Mark, Mark)> {
        middle(&outlook.marks, self.grid)
    }

    /// What filling every blank brings on average, where that is worth a word.
    pub fn filling(&self) -> Option<f64> {
        let gain = self.expected(&self.all_filled) - self.expected(&self.in_order);
        (gain >= WORTH_A_WORD).then_some(gain)
    }
}

impl Outlook {
    fn of(ahead: &PaperAhead, way: &Way, filling: Filling, goal: &Goal) -> Option<Self> {
        let marks = ahead.marks(way, filling, None)?;
        let mut tried = vec![false; ahead.questions.len()];
        for (place, at) in way.order.iter().enumerate() {
            if let Some(own) = tried.get_mut(*at) {
                *own = reached(way, place) >= 0.5;
            }
        }
        let chance = match goal {
            Goal::Marks => None,
            Goal::Award { boundary, .. } => {
                Some(marks.at_least(steps_to_reach(*boundary, ahead.grid)))
            }
        };
        Some(Self {
            tried,
            marks,
            chance,
        })
    }
}

/// What is kept for the sweep, in seconds.
fn reserve(tasks: &[Task], tried: &[bool], allowed: Elapsed) -> u32 {
    let seconds = whole_seconds(allowed);
    let blanks = tasks.iter().zip(tried).filter(|(_, tried)| !**tried);
    let blanks = u32::try_from(blanks.count()).unwrap_or(u32::MAX);
    let least = SWEEP_LEAST.min(seconds / 10);
    least.max(blanks.saturating_mul(SWEEP_EACH)).min(seconds)
}

fn whole_seconds(time: Elapsed) -> u32 {
    u32::try_from(time.as_millis() / 1000).unwrap_or(u32::MAX)
}

/// The times of the questions, fitted to the hour: those that are tried fill it but for the sweep.
fn paced(tasks: &[Task], tried: &[bool], allowed: Elapsed, reserve: u32) -> Vec<u32> {
    let own = tasks.iter().zip(tried).filter(|(_, tried)| **tried);
    let whole: f64 = own.map(|(task, _)| task.seconds).sum();
    let budget = f64::from(whole_seconds(allowed).saturating_sub(reserve));
    let fit = if whole > 0.0 { budget / whole } else { 1.0 };
    let paced = tasks.iter().map(|task| tasks::rounded(task.seconds * fit));
    paced.collect()
}
