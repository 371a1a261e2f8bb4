//! A paper's questions as a plan tells them: what each takes, and what can come of it.

use crate::domain::paper::Paper;
use crate::domain::rule::QuestionNo;
use crate::season::estimate::times::{TimeEstimate, Times};
use crate::season::model::{ExpectedGain, PaperAhead, QuestionAhead};
use crate::stats::steps;

/// What should become of a question that is not tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rest {
    /// It is guessed in the sweep.
    Guess,
    /// It is left blank.
    Blank,
}

/// One question with what is expected of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// The question.
    pub number: QuestionNo,
    /// The pupil's expected time on it, in seconds.
    pub seconds: f64,
    /// The chance that it is solved once it is got to.
    pub chance: f64,
    /// What should become of it where it is not tried: a guess where that is worth more than a blank.
    pub rest: Rest,
    /// The marks expected from getting to it, over not.
    pub gain: f64,
    /// The marks that solving it brings over not getting to it.
    pub prize: f64,
}

/// The paper's questions for this pupil.
pub(super) fn tasks(paper: &Paper, ahead: &PaperAhead, times: &Times) -> Vec<Task> {
    let worth = ahead.worth();
    let grid = steps(ahead.grid);
    let task = |((own, worth), time): ((&QuestionAhead, &ExpectedGain), &TimeEstimate)| {
        let [right, ..] = own.gains.map(steps);
        Task {
            number: own.number,
            seconds: time.seconds.max(1.0),
            chance: own.solved(),
            rest: if own.is_worth_filling() {
                Rest::Guess
            } else {
                Rest::Blank
            },
            gain: (worth.reached - worth.unreached) / grid,
            prize: (right - worth.unreached) / grid,
        }
    };
    let all = ahead.questions.iter().zip(&worth).zip(&times.questions);
    all.map(task)
        .take(usize::from(paper.outline.questions))
        .collect()
}

/// A time in whole seconds, at least one.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a positive time of less than a day; a larger one saturates"
)]
pub(super) fn rounded(seconds: f64) -> u32 {
    seconds.round().max(1.0) as u32
}
