//! Topics: the share right with its range, the most marks within reach first.
//!
//! What is within reach on a topic is what a pupil of [`REACH`] more ability would have right on the same questions,
//! less what this pupil has right on the topic, in marks a paper. Both are chances by each question's place, early ones
//! being easier and more often got to. The share right on a topic is drawn to what the pupil's own level lets expect
//! there: few questions say little.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use serde::Serialize;

use super::line::Line;
use super::marks::MissedMark;
use crate::analysis::evidence::Evidence;
use crate::cohort::prior_means;
use crate::domain::mark::MarkTotal;
use crate::season::estimate::scale::DifficultyScale;
use crate::season::familiarity::MetSoFar;
use crate::season::model::{Priors, PupilModel, Reach};
use crate::stats::ability::chance;
use crate::stats::interval::{Interval, wilson};
use crate::stats::{real, shrink};

/// The level of the ranges.
pub const LEVEL: f64 = 0.95;

/// How much more ability is taken to be within reach, in logits (common practice, no source).
const REACH: f64 = 1.0;

/// A topic over the compared sittings.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TopicShare {
    /// The topic, as the papers name it.
    pub topic: String,
    /// How many questions were right, guesses not counted.
    pub right: usize,
    /// Of how many asked.
    pub asked: usize,
    /// The share right.
    pub share: f64,
    /// Its range: Wilson's 95 % interval.
    #[serde(flatten)]
    pub range: Interval,
    /// The marks missed on it.
    pub missed: MarkTotal,
    /// The marks a paper within reach on it.
    pub within_reach: f64,
}

/// What a pupil's sittings let expect at each place of a paper, whatever the topic.
struct Expected {
    level: f64,
    reach: Reach,
}

/// A topic's question, with the chances to have it right at its place.
struct Chances {
    right: bool,
    /// What right brings over blank.
    gain: f64,
    /// At the pupil's own level.
    own: f64,
    /// With [`REACH`] more ability.
    reach: f64,
}

impl Expected {
    fn of(own: &[&Evidence], met: MetSoFar<'_>) -> Option<Self> {
        let by_place = DifficultyScale::default();
        let PupilModel { level, reach, .. } =
            PupilModel::new(own, met, &by_place, &Priors::default())?;
        let (level, _) = level.mean_and_sd();
        Some(Self { level, reach })
    }

    fn chances(&self, question: &MissedMark) -> Chances {
        let place = question.place;
        let got_to = self.reach.at_least(place);
        let right = |level| got_to * chance(level, prior_means::difficulty(place));
        Chances {
            right: question.right,
            gain: question.gain.to_f64(),
            own: right(self.level),
            reach: right(self.level + REACH),
        }
    }
}

/// The marks within reach on the questions of a topic: with n of them, the share right over what the pupil's level
/// lets expect counts by n / (n + [`prior_means::TOPIC_STRENGTH`]).
fn within_reach(questions: &[Chances]) -> f64 {
    let count = questions.len();
    let over = |one: &Chances| f64::from(u8::from(one.right)) - one.own;
    let over = questions.iter().map(over).sum::<f64>() / real(count.max(1));
    let over = shrink::shrink(
        over,
        0.0,
        shrink::weight(count, prior_means::TOPIC_STRENGTH),
    );
    let marks = questions
        .iter()
        .map(|one| one.gain * (one.reach - one.own - over));
    marks.sum::<f64>().max(0.0)
}

/// Every topic, the most marks within reach first, then the most missed, then the lower share.
///
/// A question with several topics counts in each of them.
pub(super) fn topics(compared: &[&Line], met: MetSoFar<'_>) -> Vec<TopicShare> {
    let own: Vec<&Evidence> = compared
        .iter()
        .filter_map(|line| line.evidence.as_ref())
        .collect();
    let expected = Expected::of(&own, met);
    let mut by_topic = BTreeMap::<&str, Vec<MissedMark>>::new();
    for (topic, missed) in compared.iter().flat_map(|line| &line.topics) {
        by_topic.entry(topic).or_default().push(*missed);
    }
    let share = |(topic, missed): (&str, Vec<MissedMark>)| {
        let right = missed.iter().filter(|missed| missed.right).count();
        let chances = expected.as_ref().map(|expected| {
            missed
                .iter()
                .map(|one| expected.chances(one))
                .collect::<Vec<_>>()
        });
        Some(TopicShare {
            topic: topic.to_owned(),
            right,
            asked: missed.len(),
            share: real(right) / real(missed.len()),
            range: wilson(right, missed.len(), LEVEL)?,
            missed: missed.iter().map(|missed| missed.missed).sum(),
            within_reach: within_reach(&chances?) / real(own.len().max(1)),
        })
    };
    let mut topics: Vec<_> = by_topic.into_iter().filter_map(share).collect();
    topics.sort_by(|one, other| {
        let by_reach = other.within_reach.total_cmp(&one.within_reach);
        let by_marks = || Reverse(&one.missed).cmp(&Reverse(&other.missed));
        by_reach
            .then_with(by_marks)
            .then(one.share.total_cmp(&other.share))
    });
    topics
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(count: usize, right: usize, gain: f64, (own, reach): (f64, f64)) -> Vec<Chances> {
        let question = |index| Chances {
            right: index < right,
            gain,
            own,
            reach,
        };
        (0..count).map(question).collect()
    }

    /// Five of ten right count by a half. Of easy ones 0.9 were to be expected: 10 (0.96 - 0.9 + 0.4 / 2); of hard
    /// ones 0.2: 10 (0.4 - 0.2 - 0.3 / 2); and with nine of those right nothing is left.
    #[test]
    fn the_same_share_has_more_within_reach_on_easy_questions() {
        let marks = |right, chances| within_reach(&asked(10, right, 1.0, chances));
        assert!((marks(5, (0.9, 0.96)) - 2.6).abs() < 1e-9);
        assert!((marks(5, (0.2, 0.4)) - 0.5).abs() < 1e-9);
        assert!(marks(9, (0.2, 0.4)).abs() < 1e-9);
        assert!(within_reach(&[]).abs() < 1e-9);
    }

    /// Nothing right where half was to be expected, twelve marks in all: twelve questions count by 12 / 22, one by
    /// 1 / 11.
    #[test]
    fn few_questions_are_taken_to_be_like_the_others() {
        let marks = |count, gain| within_reach(&asked(count, 0, gain, (0.5, 0.7)));
        assert!((marks(12, 1.0) - 12.0 * (0.2 + 0.5 * 12.0 / 22.0)).abs() < 1e-9);
        assert!((marks(1, 12.0) - 12.0 * (0.2 + 0.5 / 11.0)).abs() < 1e-9);
    }
}
