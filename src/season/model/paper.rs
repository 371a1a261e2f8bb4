//! A paper as it is before a pupil: what may come of each question, and the mark of it all.

use super::past::Habits;
use super::priors::Priors;
use crate::analysis::evidence::place;
use crate::domain::paper::{Outline, PaperId};
use crate::domain::rule::QuestionNo;
use crate::season::estimate::scale::DifficultyScale;
use crate::stats::ability::{Difficulty, chance};
use crate::stats::luck::{Distribution, PossibleGain, mixture};
use crate::stats::real;

/// The most steps between the lowest total and the highest that are computed with.
const WIDEST: i128 = 20_000;

/// The step by which a difficulty is moved to see what it changes.
const NUDGE: f64 = 0.05;

/// A question before the pupil; marks in grid steps.
#[derive(Clone, Debug, PartialEq)]
pub struct QuestionAhead {
    /// The question.
    pub number: QuestionNo,
    /// How hard it is, met or not taken in.
    pub difficulty: Difficulty,
    /// Whether it was met before.
    pub met: bool,
    /// What a right answer gives, a wrong one, a blank.
    pub gains: [i64; 3],
    /// The chance of a blind guess.
    pub guess: f64,
    /// The chance that it is solved once it is got to, at each of the equally likely levels.
    solved: Vec<f64>,
}

/// A paper before a pupil.
#[derive(Clone, Debug, PartialEq)]
pub struct PaperAhead {
    /// What the paper gives before anything is answered, in grid steps.
    pub start: i64,
    /// Steps to the mark.
    pub grid: i64,
    /// Its questions, in order.
    pub questions: Vec<QuestionAhead>,
    /// Equally likely levels of the pupil on the day, lowest first.
    pub levels: Vec<f64>,
    /// Equally likely shares of the paper that the pupil gets through, lowest first.
    pub reaches: Vec<f64>,
    /// What becomes of what is not solved.
    pub habits: Habits,
    /// How many times as far from the mean marks may lie as the model says.
    pub wider: f64,
}

/// A way through the paper: the questions in the order of work, and for each of the paper's `reaches` how much of each
/// is got to, in the same order: all, a part of one, nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// Indices of the questions.
    pub order: Vec<usize>,
    /// How much of each is got to.
    pub reached: Vec<Vec<f64>>,
}

/// What becomes of blanks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Filling {
    /// What usually becomes of them with this pupil.
    Usual,
    /// Every one is filled where a blind guess is worth more than a blank.
    Every,
    /// None is filled.
    Nothing,
}

/// What a question brings on average, in grid steps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExpectedGain {
    /// Where it is got to.
    pub reached: f64,
    /// Where it is not.
    pub unreached: f64,
    /// How far `reached` may be off since the question's difficulty is not known (SD).
    pub doubt: f64,
}

impl QuestionAhead {
    /// The chance that it is solved once it is got to.
    pub fn solved(&self) -> f64 {
        self.solved.iter().sum::<f64>() / real(self.solved.len().max(1))
    }

    /// The marks that a blind guess brings on average.
    fn guessed(&self) -> f64 {
        let [right, wrong, _] = self.gains.map(crate::stats::steps);
        right * self.guess + wrong * (1.0 - self.guess)
    }

    /// Whether a blind guess is worth more than a blank.
    pub fn is_worth_filling(&self) -> bool {
        let [.., blank] = self.gains.map(crate::stats::steps);
        self.guessed() > blank + 1e-9
    }

    /// How likely right, wrong and blank are at a level, where so much of it is got to and, where it is not, this share
    /// of days sees it filled in.
    fn chances(&self, solved: f64, reached: f64, fill: f64, habits: Habits) -> [f64; 3] {
        let skipped = (1.0 - solved) * (1.0 - habits.wrong);
        let right = reached * (solved + skipped * habits.left * self.guess)
            + (1.0 - reached) * fill * self.guess;
        let blank = reached * skipped * (1.0 - habits.left) + (1.0 - reached) * (1.0 - fill);
        [right, (1.0 - right - blank).max(0.0), blank]
    }

    /// The same under another way with blanks.
    fn filled(&self, filling: Filling, fill: f64, habits: Habits) -> (f64, Habits) {
        match filling {
            Filling::Every if self.is_worth_filling() => (
                1.0,
                Habits {
                    left: 1.0,
                    ..habits
                },
            ),
            Filling::Usual | Filling::Every => (fill, habits),
            Filling::Nothing => (
                0.0,
                Habits {
                    left: 0.0,
                    ..habits
                },
            ),
        }
    }

    fn outcomes(&self, chances: [f64; 3]) -> [PossibleGain; 3] {
        let [right, wrong, blank] = self.gains;
        let [p_right, p_wrong, p_blank] = chances;
        [(right, p_right), (wrong, p_wrong), (blank, p_blank)]
            .map(|(gain, p)| PossibleGain { gain, p })
    }
}

impl PaperAhead {
    /// The paper for a pupil; `is_met` says of each question whether it counts as met. `None` only where the rule's
    /// marks are too fine to compute with.
    pub(super) fn new(
        outline: &Outline,
        scale: &DifficultyScale,
        priors: &Priors,
        is_met: &[bool],
        (levels, reaches, habits): (Vec<f64>, Vec<f64>, Habits),
    ) -> Option<Self> {
        let rule = &outline.rule;
        let grid = rule.grid()?;
        let id = PaperId::of(outline);
        let ahead = |(number, met): (QuestionNo, &bool)| {
            let section = rule.section(number)?;
            let found = scale.measured(&id, number);
            let found =
                found.unwrap_or_else(|| priors.difficulty.at(place(number, outline.questions)));
            let difficulty = priors.eased(found, *met);
            Some(QuestionAhead {
                number,
                difficulty,
                met: *met,
                gains: [
                    section.right.steps(grid)?,
                    section.wrong.steps(grid)?,
                    section.blank.steps(grid)?,
                ],
                guess: 1.0 / real(outline.labels(number).len().max(1)),
                solved: levels
                    .iter()
                    .map(|level| chance(*level, difficulty))
                    .collect(),
            })
        };
        let questions: Option<Vec<_>> = outline.numbers().zip(is_met).map(ahead).collect();
        let questions = questions?;
        if !is_narrow(questions.iter().map(|own| Some(own.gains))) {
            return None;
        }
        Some(Self {
            start: rule.start.steps(grid)?,
            grid,
            questions,
            levels,
            reaches,
            habits,
            wider: 1.0,
        })
    }

    /// Going in order.
    pub fn in_order(&self) -> Way {
        let count = real(self.questions.len());
        let of = |reach: &f64| {
            let part = |index| (reach * count - real(index)).clamp(0.0, 1.0);
            (0..self.questions.len()).map(part).collect()
        };
        Way {
            order: (0..self.questions.len()).collect(),
            reached: self.reaches.iter().map(of).collect(),
        }
    }

    /// The distribution of the mark, in grid steps; `sure` is right whatever happens.
    pub fn marks(
        &self,
        way: &Way,
        filling: Filling,
        sure: Option<QuestionNo>,
    ) -> Option<Distribution> {
        let order: Option<Vec<_>> = way.order.iter().map(|at| self.questions.get(*at)).collect();
        let order = order?;
        let chances = |own: &QuestionAhead, solved, reached, fill| {
            if sure == Some(own.number) {
                return [1.0, 0.0, 0.0];
            }
            let (fill, habits) = own.filled(filling, fill, self.habits);
            own.chances(solved, reached, fill, habits)
        };
        let whole = |reached: &[f64]| reached.iter().take_while(|part| **part >= 1.0).count();
        // What is got to as a whole is the same for every reach: it is summed once a level.
        let mut by_case: Vec<Vec<Distribution>> = vec![Vec::new(); 2 * way.reached.len()];
        let levels = order.first().map_or(1, |first| first.solved.len());
        for level in 0..levels {
            let solved = |own: &QuestionAhead| own.solved.get(level).copied().unwrap_or_default();
            let mut sums = vec![Distribution::certain(self.start)];
            for own in order
                .iter()
                .take(way.reached.iter().map(|one| whole(one)).max()?)
            {
                let outcomes = own.outcomes(chances(own, solved(own), 1.0, 0.0));
                sums.push(sums.last()?.with(&outcomes)?);
            }
            for (reached, cases) in way.reached.iter().zip(by_case.chunks_mut(2)) {
                let full = whole(reached);
                let part = order.get(full).zip(reached.get(full));
                for (fill, cases) in [1.0, 0.0].into_iter().zip(cases) {
                    let sum = sums.get(full)?;
                    cases.push(match part {
                        Some((own, part)) => {
                            sum.with(&own.outcomes(chances(own, solved(own), *part, fill)))?
                        }
                        None => sum.clone(),
                    });
                }
            }
        }
        let mut parts = Vec::new();
        for (reached, cases) in way.reached.iter().zip(by_case.chunks(2)) {
            let of_fill = [(1.0, self.habits.fill), (0.0, 1.0 - self.habits.fill)];
            for ((fill, share), levels) in of_fill.into_iter().zip(cases) {
                let alike: Vec<_> = levels.iter().map(|one| (1.0, one)).collect();
                let mut sum = mixture(&alike)?;
                for own in order.iter().skip(whole(reached) + 1) {
                    sum = sum.with(&own.outcomes(chances(own, 0.0, 0.0, fill)))?;
                }
                parts.push((share, sum));
            }
        }
        let parts: Vec<_> = parts.iter().map(|(share, sum)| (*share, sum)).collect();
        let marks = mixture(&parts)?;
        if self.wider <= 1.0 {
            return Some(marks);
        }
        let gains = self.questions.iter().map(|own| own.gains.iter());
        let worst: Option<i64> = gains
            .clone()
            .map(Iterator::min)
            .map(Option::<&i64>::copied)
            .sum();
        let best: Option<i64> = gains.map(Iterator::max).map(Option::<&i64>::copied).sum();
        marks.stretched(self.wider, self.start + worst?, self.start + best?)
    }

    /// How likely each question is to be right in time on this way, guesses counted.
    pub fn right(&self, way: &Way) -> Vec<(QuestionNo, f64)> {
        let mut found: Vec<_> = way
            .order
            .iter()
            .enumerate()
            .filter_map(|(place, at)| {
                let own = self.questions.get(*at)?;
                let reached = reached(way, place);
                let fill = self.habits.fill;
                let [right, ..] = own.chances(own.solved(), reached, fill, self.habits);
                Some((own.number, right))
            })
            .collect();
        found.sort_by_key(|(number, _)| *number);
        found
    }

    /// What each question brings on average, in order of the paper.
    pub fn worth(&self) -> Vec<ExpectedGain> {
        let Habits { fill, left, wrong } = self.habits;
        let worth = |own: &QuestionAhead| {
            let [gain, loss, blank] = own.gains.map(crate::stats::steps);
            let guess = own.guessed();
            let other = wrong * loss + (1.0 - wrong) * (left * guess + (1.0 - left) * blank);
            let solved = own.solved();
            ExpectedGain {
                reached: solved * gain + (1.0 - solved) * other,
                unreached: fill * guess + (1.0 - fill) * blank,
                doubt: (gain - other) * self.slope(own.difficulty) * own.difficulty.sd,
            }
        };
        self.questions.iter().map(worth).collect()
    }

    /// How much likelier a question is to be solved for each logit that it is easier.
    fn slope(&self, difficulty: Difficulty) -> f64 {
        let moved = |by: f64| {
            let mean = difficulty.mean + by;
            let moved = Difficulty { mean, ..difficulty };
            let each = self.levels.iter().map(|level| chance(*level, moved));
            each.sum::<f64>() / real(self.levels.len().max(1))
        };
        (moved(-NUDGE) - moved(NUDGE)) / (2.0 * NUDGE)
    }
}

/// How much of the question at a place of the way is got to, on average.
pub fn reached(way: &Way, place: usize) -> f64 {
    let parts = way.reached.iter().filter_map(|one| one.get(place));
    parts.sum::<f64>() / real(way.reached.len().max(1))
}

/// Whether the totals of questions with these marks, in grid steps, are few enough to compute with.
pub(in crate::season) fn is_narrow(questions: impl Iterator<Item = Option<[i64; 3]>>) -> bool {
    let spans = questions.map(|marks| {
        let marks = marks?;
        Some(i128::from(*marks.iter().max()?) - i128::from(*marks.iter().min()?))
    });
    let sum: Option<i128> = spans.sum();
    sum.is_some_and(|sum| sum <= WIDEST)
}
