//! How to take each question so that a total is most likely to reach a target, in a time that is limited.
//!
//! Nobody knows during the paper what the answers brought, so the choice is made beforehand. It is found by
//! branch and bound (Land & Doig 1960, *Econometrica* 28, 497-520, from memory). The bound is what somebody could
//! reach who did hear after each question what it brought: an exact dynamic programme, never below the truth.
//! Small cases are always searched to the end; on large ones the search stops after a while and says how far
//! the best choice found can be from the best there is.

mod local_search;
mod problem;

pub use problem::Way;

use problem::{CELLS, ChoiceProblem, TIE};

/// The choice found.
#[derive(Debug, Clone, PartialEq)]
pub struct Best {
    /// For each question the place of its way.
    pub picks: Vec<usize>,
    /// The chance of reaching the target with it.
    pub chance: f64,
    /// No choice has a better chance than this; equal to `chance` where the search came to its end.
    pub limit: f64,
}

impl Best {
    /// Whether no better choice exists.
    pub fn is_proven(&self) -> bool {
        self.limit <= self.chance + TIE
    }
}

/// The most partial choices looked at.
const NODES: usize = 60_000;

/// Finds the choice, one way a question, with the best chance that `start` and the outcomes reach `target`
/// within `budget` seconds.
///
/// `None` when a question has no way that takes no time, chances do not add to 1, or totals span too much.
pub fn best_choice(start: i64, questions: &[Vec<Way>], budget: u32, target: i64) -> Option<Best> {
    let problem = ChoiceProblem::new(start, questions, budget, target)?;
    let (picks, chance) = local_search::best_nearby(&problem)?;
    let Some(bounds) = Bounds::new(&problem) else {
        return Some(Best {
            picks,
            chance,
            limit: 1.0,
        });
    };
    let mut search = BranchAndBound {
        problem: &problem,
        bounds: &bounds,
        picks: Vec::new(),
        best: Best {
            picks,
            chance,
            limit: 0.0,
        },
        nodes: 0,
    };
    search.from(&problem.begin(), budget);
    let mut best = search.best;
    best.limit = if search.nodes < NODES {
        best.chance
    } else {
        bounds.of(0, &problem.begin(), budget).max(best.chance)
    };
    Some(best)
}

/// What could be reached by somebody who hears after each question what it brought.
struct Bounds {
    cells: Vec<f64>,
    width: usize,
    /// Seconds to a step of time; costs are rounded down to steps, so that a bound stays one.
    unit: u32,
    room: usize,
}

impl Bounds {
    fn new(problem: &ChoiceProblem<'_>) -> Option<Self> {
        let (questions, width) = (problem.questions, problem.width);
        let steps = CELLS / (questions.len() + 1) / width;
        let steps = u32::try_from(steps).unwrap_or(u32::MAX);
        if steps < 30 {
            return None;
        }
        let unit = problem.budget / (steps - 1) + 1;
        let room = usize::try_from(problem.budget / unit).ok()?;
        let mut bounds = Self {
            cells: vec![0.0; (questions.len() + 1) * (room + 1) * width],
            width,
            unit,
            room,
        };
        for left in 0..=room {
            let from = bounds.place(questions.len(), left);
            for cell in bounds
                .cells
                .iter_mut()
                .skip(from + problem.goal)
                .take(width.saturating_sub(problem.goal))
            {
                *cell = 1.0;
            }
        }
        for (question, ways) in questions.iter().enumerate().rev() {
            for left in 0..=room {
                let row = bounds.best_row(question, ways, left);
                let from = bounds.place(question, left);
                for (cell, value) in bounds.cells.iter_mut().skip(from).zip(row) {
                    *cell = value;
                }
            }
        }
        Some(bounds)
    }

    fn place(&self, question: usize, left: usize) -> usize {
        (question * (self.room + 1) + left) * self.width
    }

    fn row(&self, question: usize, left: usize) -> &[f64] {
        let from = self.place(question, left);
        self.cells.get(from..from + self.width).unwrap_or_default()
    }

    fn best_row(&self, question: usize, ways: &[Way], left: usize) -> Vec<f64> {
        let mut best = vec![0.0_f64; self.width];
        for way in ways {
            let cost = usize::try_from(way.seconds / self.unit).unwrap_or(usize::MAX);
            let Some(rest) = left.checked_sub(cost) else {
                continue;
            };
            let next = self.row(question + 1, rest);
            let mut sum = vec![0.0; self.width];
            for outcome in &way.outcomes {
                let size = usize::try_from(outcome.gain.unsigned_abs()).unwrap_or(usize::MAX);
                let (from, to) = if outcome.gain < 0 {
                    (0, size)
                } else {
                    (size, 0)
                };
                for (slot, value) in sum.iter_mut().skip(to).zip(next.iter().skip(from)) {
                    *slot += outcome.p * value;
                }
            }
            for (slot, value) in best.iter_mut().zip(sum) {
                *slot = slot.max(value);
            }
        }
        best
    }

    /// The bound for a partial choice that leaves these chances and seconds.
    fn of(&self, question: usize, row: &[f64], seconds: u32) -> f64 {
        let left = usize::try_from(seconds / self.unit)
            .unwrap_or(self.room)
            .min(self.room);
        let values = self.row(question, left);
        row.iter()
            .zip(values)
            .map(|(chance, value)| chance * value)
            .sum()
    }
}

struct BranchAndBound<'a> {
    problem: &'a ChoiceProblem<'a>,
    bounds: &'a Bounds,
    picks: Vec<usize>,
    best: Best,
    nodes: usize,
}

impl BranchAndBound<'_> {
    /// Looks at every way of going on that may still be better.
    fn from(&mut self, row: &[f64], left: u32) {
        let question = self.picks.len();
        let Some(ways) = self.problem.questions.get(question) else {
            let chance = self.problem.reaches(row);
            if chance > self.best.chance + TIE {
                self.best = Best {
                    picks: self.picks.clone(),
                    chance,
                    limit: 0.0,
                };
            }
            return;
        };
        let open = ways.iter().enumerate().filter_map(|(pick, way)| {
            let left = left.checked_sub(way.seconds)?;
            let row = self.problem.after(row, way);
            Some((self.bounds.of(question + 1, &row, left), pick, row, left))
        });
        let mut open: Vec<_> = open.collect();
        open.sort_by(|one, other| other.0.total_cmp(&one.0).then(one.1.cmp(&other.1)));
        for (bound, pick, row, left) in open {
            if bound <= self.best.chance + TIE || self.nodes >= NODES {
                return;
            }
            self.nodes += 1;
            self.picks.push(pick);
            self.from(&row, left);
            self.picks.pop();
        }
    }
}

#[cfg(test)]
mod tests;
