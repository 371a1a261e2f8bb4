//! A pace plan: which questions to try in the time, in what order, for how long, and what that should bring.
//!
//! Chances and times come from [`super::estimate`]. The order is the paper's own: with times taken for certain
//! no other order brings more, and it is the one a child can hold. What is not tried is guessed in the sweep
//! where the rule makes a blind guess worth more than a blank, else left blank.

mod checkpoints;
mod stopping;
mod tasks;

pub use tasks::{Rest, Task};

use crate::domain::header::{PacePlan, with_extra_time};
use crate::domain::mark::Mark;
use crate::domain::paper::Paper;
use crate::domain::questions::QuestionList;
use crate::domain::rule::QuestionNo;
use crate::domain::thresholds::Thresholds;
use crate::domain::time::Elapsed;
use crate::stats::knapsack::{self, KnapsackItem};
use crate::stats::luck::{Distribution, mixture};
use crate::stats::{max_chance, real};

use super::estimate::Estimates;
use super::mark_range::{is_narrow, middle};

/// What the sweep takes for each blank, and at the least, in seconds.
pub const SWEEP_EACH: u32 = 3;
/// The least that is kept for the sweep, in seconds; a tenth of the time where that is less.
pub const SWEEP_LEAST: u32 = 60;

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
    /// Which questions are tried.
    pub tried: Vec<bool>,
    /// What becomes of the others.
    pub rest: Vec<Rest>,
    /// The distribution of the mark, in grid steps, mixed over what is not known of the pupil.
    pub marks: Distribution,
    /// The chance of the goal's boundary: on average, and in the tenth and the ninetieth of a hundred cases of
    /// what the pupil may be like. `None` where the goal is marks.
    pub chance: Option<[f64; 3]>,
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
    /// The plan's way.
    pub best: Outlook,
    /// Going in order until time is up, then the sweep.
    pub in_order: Outlook,
    /// Going in order, the rest left blank.
    pub then_blank: Outlook,
    /// For an award: how much better than the plan's the best chance can be at the most, taking the chances
    /// of single questions for known; nothing where the search came to its end.
    pub gap: Option<f64>,
    /// The chance that the questions tried fit into the time, were times independent.
    pub in_time: Option<f64>,
    /// When to leave each question, in seconds; nothing for one that is not tried.
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
        let allowed = with_extra_time(paper.allowed, estimates.extra_percent);
        let tasks = tasks::tasks(paper, estimates);
        let ends: Vec<QuestionNo> = paper
            .outline
            .rule
            .sections
            .iter()
            .map(|section| section.last)
            .collect();
        Self::of_tasks(
            tasks,
            paper.outline.rule.start,
            allowed,
            goal,
            estimates.times.spread,
            &ends,
            limits,
        )
    }

    /// Plans from times and chances; `ends` are the last questions of sections, where checkpoints sit best.
    pub fn of_tasks(
        tasks: Vec<Task>,
        start: Mark,
        allowed: Elapsed,
        goal: Goal,
        spread: f64,
        ends: &[QuestionNo],
        limits: &Thresholds,
    ) -> Option<Self> {
        let marks = tasks
            .iter()
            .flat_map(|task| [task.right, task.wrong, task.blank]);
        let grid = crate::domain::mark::common_grid(marks.chain([start]))?;
        let spans = tasks.iter().map(|task| {
            Some([
                task.right.steps(grid)?,
                task.wrong.steps(grid)?,
                task.blank.steps(grid)?,
            ])
        });
        if !is_narrow(spans) {
            return None;
        }
        let planner = Planner {
            tasks: &tasks,
            start: start.steps(grid)?,
            grid,
            goal: &goal,
        };
        let seconds = u32::try_from(allowed.as_millis() / 1000).unwrap_or(u32::MAX);
        let costs: Vec<u32> = tasks.iter().map(|task| task.seconds).collect();
        let items: Vec<KnapsackItem> = tasks.iter().map(Task::item).collect();
        let (tried, reserve) = with_sweep(&items, seconds);
        let budget = seconds.saturating_sub(reserve);
        let usual: Vec<Rest> = tasks.iter().map(Task::usual_rest).collect();
        let in_turn = knapsack::in_order(&costs, budget);
        let in_order = planner.outlook(&in_turn, &usual)?;
        let then_blank = planner.outlook(&in_turn, &vec![Rest::Blank; tasks.len()])?;
        let most_marks = planner.outlook(&tried, &usual)?;
        let (best, gap) = match planner.likeliest(budget)? {
            Some((tried, rest, gap)) => {
                let found = planner.outlook(&tried, &rest)?;
                (
                    found.or_likelier(&most_marks).or_likelier(&in_order),
                    Some(gap),
                )
            }
            None => (most_marks, None),
        };
        let expected: Vec<f64> = tasks
            .iter()
            .zip(&best.tried)
            .filter(|(_, tried)| **tried)
            .map(|(task, _)| f64::from(task.seconds))
            .collect();
        let leave_each = stopping::each(&tasks, &best.tried, limits);
        let leave_after = stopping::for_all(&leave_each, budget);
        let left = tasks.iter().zip(&best.tried).filter(|(_, tried)| !**tried);
        let pace = PacePlan {
            leave: QuestionList::of(left.map(|(task, _)| task.number)),
            stay: leave_after.map(|seconds| Elapsed::seconds(u64::from(seconds))),
            ..checkpoints::of(&tasks, &best.tried, ends)
        };
        Some(Self {
            in_time: knapsack::chance_done(&expected, spread, f64::from(budget)),
            leave_after,
            pace,
            goal,
            allowed,
            reserve,
            grid,
            best,
            in_order,
            then_blank,
            gap,
            leave_each,
            tasks,
        })
    }

    /// The questions that are tried, or those that are not, in order.
    pub fn questions(&self, tried: bool) -> Vec<QuestionNo> {
        let all = self.tasks.iter().zip(&self.best.tried);
        all.filter(|(_, own)| **own == tried)
            .map(|(task, _)| task.number)
            .collect()
    }

    /// The expected mark of an outlook.
    pub fn expected(&self, outlook: &Outlook) -> f64 {
        outlook.marks.mean() / crate::stats::steps(self.grid)
    }

    /// The marks between which an outlook ends in 80 of 100 cases.
    pub fn range(&self, outlook: &Outlook) -> Option<(Mark, Mark)> {
        middle(&outlook.marks, self.grid)
    }
}

impl Outlook {
    /// The other one where it is likelier to reach the boundary once the doubt about the pupil is mixed in.
    fn or_likelier(self, other: &Self) -> Self {
        let chance = |outlook: &Self| outlook.chance.map_or(0.0, |[chance, ..]| chance);
        if chance(other) > chance(&self) + 1e-9 {
            other.clone()
        } else {
            self
        }
    }
}

struct Planner<'a> {
    tasks: &'a [Task],
    start: i64,
    grid: i64,
    goal: &'a Goal,
}

/// Which questions are tried, what becomes of the rest, and how much better a choice can be.
type Likeliest = (Vec<bool>, Vec<Rest>, f64);

impl Planner<'_> {
    fn boundary(&self) -> Option<i64> {
        match self.goal {
            Goal::Marks => None,
            // A boundary between two steps is reached by the upper one.
            Goal::Award { boundary, .. } => Some(steps_to_reach(*boundary, self.grid)),
        }
    }

    fn outlook(&self, tried: &[bool], rest: &[Rest]) -> Option<Outlook> {
        let cases = self
            .tasks
            .iter()
            .map(|task| task.chances.len())
            .max()
            .unwrap_or(1)
            .max(1);
        let plans = || self.tasks.iter().zip(tried).zip(rest);
        let case = |case: usize| {
            plans().try_fold(
                Distribution::certain(self.start),
                |sum, ((task, tried), rest)| {
                    let outcomes = if *tried {
                        task.trying(task.in_case(case), self.grid)
                    } else {
                        task.leaving(*rest, self.grid)
                    };
                    sum.with(&outcomes?)
                },
            )
        };
        let cases: Option<Vec<Distribution>> = (0..cases).map(case).collect();
        let cases = cases?;
        let marks = mixture(&cases.iter().map(|one| (1.0, one)).collect::<Vec<_>>())?;
        let chance = self.boundary().map(|line| {
            let mut chances: Vec<f64> = cases.iter().map(|one| one.at_least(line)).collect();
            chances.sort_by(f64::total_cmp);
            [
                marks.at_least(line),
                tenth(&chances, 0.1),
                tenth(&chances, 0.9),
            ]
        });
        Some(Outlook {
            tried: tried.to_vec(),
            rest: rest.to_vec(),
            marks,
            chance,
        })
    }

    /// The choice that is most likely to reach the boundary, where there is one.
    #[expect(
        clippy::option_option,
        reason = "no goal is no answer; a goal without one is marks too fine"
    )]
    fn likeliest(&self, budget: u32) -> Option<Option<Likeliest>> {
        let Some(line) = self.boundary() else {
            return Some(None);
        };
        let ways = |task: &Task| {
            let free = [task.usual_rest(), task.usual_rest().other()];
            let mut ways = vec![max_chance::Way {
                seconds: task.seconds.max(1),
                outcomes: task.trying(task.chance(), self.grid)?,
            }];
            for rest in free {
                ways.push(max_chance::Way {
                    seconds: 0,
                    outcomes: task.leaving(rest, self.grid)?,
                });
            }
            Some(ways)
        };
        let questions: Option<Vec<_>> = self.tasks.iter().map(ways).collect();
        let found = max_chance::best_choice(self.start, &questions?, budget, line)?;
        let picks = self.tasks.iter().zip(&found.picks);
        let rest = picks.map(|(task, pick)| {
            if *pick == 2 {
                task.usual_rest().other()
            } else {
                task.usual_rest()
            }
        });
        let rest = rest.collect();
        let gap = if found.is_proven() {
            0.0
        } else {
            found.limit - found.chance
        };
        Some(Some((
            found.picks.iter().map(|pick| *pick == 0).collect(),
            rest,
            gap,
        )))
    }
}

/// The best choice in the time less the sweep, and what is kept for the sweep.
///
/// More blanks may need a longer sweep, and a longer sweep may leave more blanks: until both agree.
fn with_sweep(items: &[KnapsackItem], seconds: u32) -> (Vec<bool>, u32) {
    let mut reserve = SWEEP_LEAST.min(seconds / 10);
    loop {
        let tried = knapsack::choose(items, seconds.saturating_sub(reserve));
        let blanks =
            u32::try_from(tried.iter().filter(|tried| !**tried).count()).unwrap_or(u32::MAX);
        let needed = blanks.saturating_mul(SWEEP_EACH);
        if needed <= reserve || reserve >= seconds {
            return (tried, reserve);
        }
        reserve = needed;
    }
}

/// The value below which so large a share of a sorted row lies.
fn tenth(sorted: &[f64], share: f64) -> f64 {
    let last = real(sorted.len().saturating_sub(1));
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a place in a short row"
    )]
    let place = (share * last).round() as usize;
    sorted.get(place).copied().unwrap_or(0.0)
}

/// The fewest steps that reach a mark.
pub(super) fn steps_to_reach(mark: Mark, grid: i64) -> i64 {
    let whole = mark * grid;
    let denominator = whole.denominator();
    whole.steps(denominator).map_or(i64::MAX, |steps| {
        steps.div_euclid(denominator) + i64::from(steps.rem_euclid(denominator) != 0)
    })
}

#[cfg(test)]
mod tests;
