//! What the model takes for granted, each figure with where it comes from.
//!
//! A figure chosen by simulation was chosen on made-up pupils of another kind than those of the tests; its
//! neighbours do about as well.

use crate::cohort::prior_means::{DIFFICULTY, DifficultyByPlace};
use crate::stats::ability::Difficulty;

/// So many of 25 questions more come right with a logit more (common practice, no source).
pub const QUESTIONS_A_LOGIT: f64 = 4.0;

/// What is taken for granted of a pupil whose sittings are not known, in logits where nothing else is said.
#[derive(Clone, Debug, PartialEq)]
pub struct Priors {
    /// Mean and SD of pupils' level before their first sitting.
    pub level: (f64, f64),
    /// How far a day lies from a pupil's own level: SDs that a pupil may have, each with how likely it is (chosen by
    /// simulation).
    pub days: [(f64, f64); 4],
    /// How far a paper may be harder or easier than another that nothing links it to (SD; chosen by simulation).
    pub paper: f64,
    /// What a sitting's distance brings, mean and SD: 0.2 to 0.4 SD a year in mathematics at 11 to 16 (from memory)
    /// are 0.02 to 0.03 SD a month; the SD is chosen by simulation.
    pub growth: (f64, f64),
    /// What practice alone has brought before the first sitting, the second, any later one: retests gain 0.26 SD,
    /// nearly all of it by the third sitting (Hausknecht and others 2007, *Journal of Applied Psychology* 92,
    /// 373-385, from memory), about one question, at four questions a logit.
    pub practice: [f64; 3],
    /// How much easier a question is that was met before, and how far that may be off for a whole paper (SD): forms
    /// that are the same gain 0.2 SD more than others (the same source, from memory).
    pub met: (f64, f64),
    /// How hard questions are by their place (common practice, no source).
    pub difficulty: DifficultyByPlace,
    /// How far a pupil gets, as a share of the paper: mean and SD over pupils, and SD over days (chosen by
    /// simulation). More than 1 is time to spare.
    pub reach: (f64, f64, f64),
    /// What becomes of a question that is not solved.
    pub habits: HabitPriors,
}

/// Counts of yes and no that a pupil's own are added to, as if they had been seen (beta distributions).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HabitPriors {
    /// Whether what was not got to is filled in.
    pub fill: (f64, f64),
    /// Whether what was got to and left is filled in.
    pub left: (f64, f64),
    /// Whether what was got to and not solved was answered rather than left.
    pub wrong: (f64, f64),
}

impl Default for Priors {
    fn default() -> Self {
        Self {
            level: (0.0, 1.5),
            days: [(0.1, 0.33), (0.3, 0.34), (0.6, 0.23), (1.0, 0.1)],
            paper: 0.2,
            growth: (0.03, 0.05),
            practice: [0.0, 1.0 / 6.0, 0.25],
            met: (0.25, 0.25),
            difficulty: DIFFICULTY,
            reach: (0.85, 0.2, 0.07),
            habits: HabitPriors {
                fill: (0.5, 0.5),
                left: (1.0, 1.0),
                wrong: (2.0, 2.0),
            },
        }
    }
}

impl Priors {
    /// What practice has brought before the sitting that so many went before.
    pub fn practised(&self, before: usize) -> f64 {
        let [first, second, later] = self.practice;
        match before {
            0 => first,
            1 => second,
            _ => later,
        }
    }

    /// What practice brings in all, as a share of a paper's marks.
    pub fn practice_share(&self) -> f64 {
        self.practised(2) * QUESTIONS_A_LOGIT / 25.0
    }

    /// The difficulty at a place, for a question met before or a new one.
    pub(super) fn eased(&self, difficulty: Difficulty, met: bool) -> Difficulty {
        let ease = if met { self.met.0 } else { 0.0 };
        Difficulty {
            mean: difficulty.mean - ease,
            ..difficulty
        }
    }

    /// How far a day lies from a pupil's level, where nothing is known of the pupil (SD).
    pub fn day(&self) -> f64 {
        let whole: f64 = self.days.iter().map(|(_, weight)| weight).sum();
        let squares = self.days.iter().map(|(sd, weight)| weight * sd * sd);
        (squares.sum::<f64>() / whole).sqrt()
    }
}
