//! What a question is like for an invented pupil: how hard, how long, and which wrong options draw.

use super::chance::Dice;
use crate::domain::key::Key;
use crate::domain::labels::Label;
use crate::domain::mark::Mark;
use crate::domain::paper::Paper;
use crate::domain::rule::QuestionNo;

/// How much easier than an average pupil the first question is, on the scale of the logistic curve.
const FIRST: f64 = -2.0;
/// How much harder the last is than the first.
const RISE: f64 = 4.4;
/// Seconds that the first question takes an average pupil.
const SHORTEST: f64 = 48.0;
/// How many more the last takes.
const LONGER: f64 = 190.0;

/// One question.
pub(super) struct Nature {
    pub(super) number: QuestionNo,
    pub(super) topics: Vec<String>,
    /// How hard it is: a pupil of this strength solves it half the time.
    pub(super) hard: f64,
    /// How long an average pupil takes.
    pub(super) seconds: f64,
    pub(super) right: Label,
    /// The wrong options, and how much each draws those who go wrong.
    pub(super) draws: Vec<(Label, f64)>,
    /// Whether a blind guess is worth more than a blank.
    pub(super) guess_pays: bool,
}

/// The questions of a paper. The same question is the same on every paper and for everybody.
pub(super) fn natures(paper: &Paper, key: &Key, seed: u64) -> Vec<Nature> {
    let last = f64::from(paper.outline.questions.saturating_sub(1).max(1));
    paper
        .outline
        .numbers()
        .filter_map(|number| nature(paper, key, seed, number, f64::from(number.0 - 1) / last))
        .collect()
}

fn nature(paper: &Paper, key: &Key, seed: u64, number: QuestionNo, along: f64) -> Option<Nature> {
    let question = paper.question(number)?;
    let right = *key.answers.get(number.index())?;
    let own = question.stem.clone().unwrap_or_else(|| number.to_string());
    let mut dice = Dice::new(seed, &own);
    let hard = FIRST + RISE * along + 0.4 * dice.bell();
    let seconds = (SHORTEST + LONGER * along) * dice.factor(0.2);
    let labels = paper.outline.labels(number);
    let wrong = labels
        .iter()
        .filter(|label| !key.accepts(number, *label))
        .collect::<Vec<_>>();
    // The first draws twice as many as the second, and so on: one usual slip, and some rare ones.
    let mut pull = 1.0;
    let draws = dice.shuffled(wrong).into_iter().map(|label| {
        let drawn = (label, pull);
        pull /= 2.0;
        drawn
    });
    let draws = draws.collect();
    let guess_pays = paper.outline.rule.section(number).is_some_and(|section| {
        Mark::blind_guess(section.right, section.wrong, labels.len()) > section.blank
    });
    Some(Nature {
        number,
        topics: question.topics.clone(),
        hard,
        seconds,
        right,
        draws,
        guess_pays,
    })
}

impl Nature {
    /// What somebody chooses who went wrong.
    pub(super) fn slip(&self, dice: &mut Dice) -> Option<Label> {
        dice.pick(&self.draws)
    }

    /// What somebody chooses who guesses: any option, the tempting ones a little more often.
    pub(super) fn guess(&self, dice: &mut Dice) -> Option<Label> {
        let mut options: Vec<_> = self
            .draws
            .iter()
            .map(|(label, pull)| (*label, 1.0 + 0.4 * pull))
            .collect();
        options.push((self.right, 1.3));
        dice.pick(&options)
    }
}
