//! The question put: the ways to take each question, and the chances of a total.

use crate::stats::luck::PossibleGain;

/// One way to take a question: its seconds, and what can come of it in grid steps.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// What it takes.
    pub seconds: u32,
    /// What can come of it; the chances add to 1.
    pub outcomes: Vec<PossibleGain>,
}

/// Chances closer than this are called equal.
pub(super) const TIE: f64 = 1e-12;
/// The most totals, and the most cells of a table of them.
pub(super) const CELLS: usize = 4_000_000;

/// The question put, with totals as places in a row of chances.
pub(super) struct ChoiceProblem<'a> {
    pub(super) questions: &'a [Vec<Way>],
    pub(super) budget: u32,
    /// How many totals there are, where they start, and the first that reaches the target.
    pub(super) width: usize,
    start: usize,
    pub(super) goal: usize,
}

impl<'a> ChoiceProblem<'a> {
    pub(super) fn new(
        start: i64,
        questions: &'a [Vec<Way>],
        budget: u32,
        target: i64,
    ) -> Option<Self> {
        let (mut low, mut high) = (start, start);
        for ways in questions {
            let sound = |way: &Way| {
                let sum: f64 = way.outcomes.iter().map(|o| o.p).sum();
                way.outcomes.iter().all(|o| (0.0..=1.0).contains(&o.p)) && (sum - 1.0).abs() < 1e-9
            };
            let free = ways.iter().any(|way| way.seconds == 0);
            if !free || !ways.iter().all(sound) {
                return None;
            }
            let gains = || {
                ways.iter()
                    .flat_map(|way| way.outcomes.iter().map(|o| o.gain))
            };
            low = low.checked_add(gains().min()?)?;
            high = high.checked_add(gains().max()?)?;
        }
        let place = |total: i64| usize::try_from(total.checked_sub(low)?).ok();
        let width = place(high)?
            .checked_add(1)
            .filter(|width| *width <= CELLS)?;
        let goal = place(target.max(low))?.min(width);
        Some(Self {
            questions,
            budget,
            width,
            start: place(start)?,
            goal,
        })
    }

    pub(super) fn begin(&self) -> Vec<f64> {
        let mut row = vec![0.0; self.width];
        if let Some(slot) = row.get_mut(self.start) {
            *slot = 1.0;
        }
        row
    }

    /// The chances after one more question.
    pub(super) fn after(&self, row: &[f64], way: &Way) -> Vec<f64> {
        let mut next = vec![0.0; self.width];
        for outcome in &way.outcomes {
            let size = usize::try_from(outcome.gain.unsigned_abs()).unwrap_or(usize::MAX);
            let (from, to) = if outcome.gain < 0 {
                (size, 0)
            } else {
                (0, size)
            };
            for (slot, chance) in next.iter_mut().skip(to).zip(row.iter().skip(from)) {
                *slot += outcome.p * chance;
            }
        }
        next
    }

    pub(super) fn reaches(&self, row: &[f64]) -> f64 {
        row.iter().skip(self.goal).sum::<f64>().min(1.0)
    }

    fn way(&self, question: usize, pick: usize) -> Option<&'a Way> {
        self.questions.get(question)?.get(pick)
    }

    /// The chance with a whole choice; `None` for one that takes too long.
    pub(super) fn chance(&self, picks: &[usize]) -> Option<f64> {
        let mut row = self.begin();
        let mut left = self.budget;
        for (question, pick) in picks.iter().enumerate() {
            let way = self.way(question, *pick)?;
            left = left.checked_sub(way.seconds)?;
            row = self.after(&row, way);
        }
        Some(self.reaches(&row))
    }
}
