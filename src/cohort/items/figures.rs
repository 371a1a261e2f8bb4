//! What a group's sheets say about a paper: the figures, in marks.

use super::FEW;
use crate::domain::key::Void;
use crate::domain::labels::Label;
use crate::domain::mark::Mark;
use crate::domain::rule::QuestionNo;
use crate::stats::item::{KELLEY_PERCENT, Reliability};
use crate::stats::rasch::{ItemMeasure, Shortage, Unmeasured};
use crate::stats::summary::Quartiles;
use crate::stats::tally::Blanks;

/// The figures of a group on one paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Figures {
    /// How many answer sheets.
    pub people: usize,
    /// The most marks there could be.
    pub max: Mark,
    /// The marks, in marks.
    pub totals: TotalFigures,
    /// How far they can be trusted; `sem` in marks.
    pub reliability: Reliability,
    /// The paper's questions in order, void ones included.
    pub questions: Vec<QuestionFigures>,
    /// The marks that occurred, lowest first, each with its number of people.
    pub marks: Vec<(Mark, usize)>,
    /// How many people the difficulties rest on, or why there are none.
    pub rasch: Result<usize, Shortage>,
}

/// Middle and spread of the marks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TotalFigures {
    /// The mean.
    pub mean: f64,
    /// The SD with n - 1 below the line; `None` for one person.
    pub sd: Option<f64>,
    /// The SD with n below the line.
    pub sd_population: f64,
    /// The quartiles, read at place (n - 1) p + 1 (type 7).
    pub quartiles: Quartiles,
}

/// The figures of one question.
#[derive(Clone, Debug, PartialEq)]
pub struct QuestionFigures {
    /// The question.
    pub number: QuestionNo,
    /// Whether it is void, and how; then nothing of it is judged.
    pub void: Option<Void>,
    /// How many had it right; `None` when void.
    pub right: Option<usize>,
    /// The share of all people who had it right; `None` when void.
    pub facility: Option<f64>,
    /// The correlation of right or not with the marks on all other questions.
    pub discrimination: Option<f64>,
    /// The share right among the top 27 % less that among the bottom 27 %.
    pub upper_lower: Option<f64>,
    /// Who left it blank.
    pub blanks: Blanks,
    /// Every option in the paper's order, then the blank.
    pub options: Vec<OptionFigures>,
    /// The seconds spent on it by those who opened it, where there are times.
    pub seconds: Option<Seconds>,
    /// Its place on a scale with the others, or why it has none; `None` when void or there is no scale.
    pub rasch: Option<Result<ItemMeasure, Unmeasured>>,
}

/// What became of one option.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OptionFigures {
    /// The option; `None` is the blank.
    pub label: Option<Label>,
    /// Whether the key accepts it.
    pub is_right: bool,
    /// How many chose it.
    pub count: usize,
    /// Their mean mark on all other questions.
    pub mean_rest: Option<f64>,
    /// The correlation of "chose it" with the marks on all other questions, among those who answered; `None` for
    /// the blank, when void, and where either does not vary.
    pub rest_among_answered: Option<f64>,
}

/// The times on one question.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seconds {
    /// How many people opened it.
    pub people: usize,
    /// Their quartiles.
    pub quartiles: Quartiles,
}

impl Figures {
    /// How many people are in the top and in the bottom 27 %: floor(0.27 N + 1/2).
    pub const fn group_size(&self) -> usize {
        (self
            .people
            .saturating_mul(KELLEY_PERCENT)
            .saturating_add(50))
            / 100
    }

    /// A question's place on the Rasch scale, where there are enough people for one.
    pub fn measure(&self, question: &QuestionFigures) -> Option<ItemMeasure> {
        let measure = question.rasch.filter(|_| self.people >= FEW);
        measure.and_then(Result::ok)
    }

    /// Whether there are times for any question.
    pub fn has_times(&self) -> bool {
        self.questions.iter().any(|one| one.seconds.is_some())
    }
}

impl QuestionFigures {
    /// How many chose an option.
    pub fn answered(&self) -> usize {
        let chosen = self.options.iter().filter(|one| one.label.is_some());
        chosen.map(|option| option.count).sum()
    }

    /// How many left it blank.
    pub const fn blank(&self) -> usize {
        self.blanks.omitted + self.blanks.not_reached
    }

    /// The options that the key accepts, such as `C` or `AC`.
    pub fn key(&self) -> String {
        let right = self.options.iter().filter(|option| option.is_right);
        right
            .filter_map(|option| option.label)
            .map(Label::as_char)
            .collect()
    }
}
