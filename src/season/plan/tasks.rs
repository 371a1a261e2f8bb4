//! A paper's questions as the planner sees them: what each takes, and what can come of it.

use super::super::estimate::Estimates;
use crate::analysis::evidence::place;
use crate::domain::mark::Mark;
use crate::domain::paper::Paper;
use crate::domain::paper::PaperId;
use crate::domain::rule::QuestionNo;
use crate::stats::ability;
use crate::stats::knapsack::KnapsackItem;
use crate::stats::luck::PossibleGain;
use crate::stats::real;

/// In how many equally likely cases what is not known of the pupil is laid out.
const CASES: usize = 15;

/// What becomes of a question that is not tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rest {
    /// It is guessed in the sweep.
    Guess,
    /// It is left blank.
    Blank,
}

impl Rest {
    pub(super) const fn other(self) -> Self {
        match self {
            Self::Guess => Self::Blank,
            Self::Blank => Self::Guess,
        }
    }
}

/// One question with what is expected of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// The question.
    pub number: QuestionNo,
    /// What trying it takes.
    pub seconds: u32,
    /// The chance that it comes out right when tried, in each of several equally likely cases.
    pub chances: Vec<f64>,
    /// Marks for a right answer.
    pub right: Mark,
    /// Marks for a wrong answer.
    pub wrong: Mark,
    /// Marks for a blank.
    pub blank: Mark,
    /// Among how many options a guess chooses.
    pub options: usize,
}

impl Task {
    /// The chance over all cases.
    pub fn chance(&self) -> f64 {
        self.chances.iter().sum::<f64>() / real(self.chances.len().max(1))
    }

    /// The chance in one case.
    pub(super) fn in_case(&self, case: usize) -> f64 {
        self.chances
            .get(case)
            .copied()
            .unwrap_or_else(|| self.chance())
    }

    /// A guess where it is worth more than a blank, else a blank.
    pub fn usual_rest(&self) -> Rest {
        let blind = Mark::blind_guess(self.right, self.wrong, self.options);
        if blind > self.blank {
            Rest::Guess
        } else {
            Rest::Blank
        }
    }

    /// The marks expected when it is left.
    pub fn left(&self) -> f64 {
        let blind = Mark::blind_guess(self.right, self.wrong, self.options);
        blind.max(self.blank).to_f64()
    }

    /// The marks expected from trying over leaving.
    pub fn gain(&self) -> f64 {
        let (right, wrong) = (self.right.to_f64(), self.wrong.to_f64());
        wrong + self.chance() * (right - wrong) - self.left()
    }

    pub(super) fn item(&self) -> KnapsackItem {
        KnapsackItem {
            seconds: self.seconds,
            gain: self.gain(),
        }
    }

    pub(super) fn trying(&self, chance: f64, grid: i64) -> Option<Vec<PossibleGain>> {
        let chance = chance.clamp(0.0, 1.0);
        let ways = [(self.right, chance), (self.wrong, 1.0 - chance)];
        ways.map(|(mark, p)| {
            Some(PossibleGain {
                gain: mark.steps(grid)?,
                p,
            })
        })
        .into_iter()
        .collect()
    }

    pub(super) fn leaving(&self, rest: Rest, grid: i64) -> Option<Vec<PossibleGain>> {
        match rest {
            Rest::Guess => self.trying(1.0 / real(self.options.max(1)), grid),
            Rest::Blank => Some(vec![PossibleGain {
                gain: self.blank.steps(grid)?,
                p: 1.0,
            }]),
        }
    }
}

/// The paper's questions for this pupil.
pub(super) fn tasks(paper: &Paper, estimates: &Estimates) -> Vec<Task> {
    let outline = &paper.outline;
    let id = PaperId::of(outline);
    let (own, scale) = (&estimates.ability, &estimates.scale);
    let cases = own.posterior.another_day(own.day(scale, &id)).nodes(CASES);
    let task = |(number, time): (QuestionNo, &super::super::estimate::times::TimeEstimate)| {
        let section = outline.rule.section(number)?;
        let difficulty = own.difficulty(scale, &id, number, place(number, outline.questions));
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a positive time of less than a day; a larger one saturates"
        )]
        let seconds = time.seconds.round().max(1.0) as u32;
        Some(Task {
            number,
            seconds,
            chances: cases
                .iter()
                .map(|value| ability::chance(*value, difficulty))
                .collect(),
            right: section.right,
            wrong: section.wrong,
            blank: section.blank,
            options: outline.labels(number).len(),
        })
    };
    outline
        .numbers()
        .zip(&estimates.times.questions)
        .filter_map(task)
        .collect()
}
