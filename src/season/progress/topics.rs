//! Topics: the share right with its range, in the order in which practice can win most.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use serde::Serialize;

use super::line::Line;
use super::marks::MissedMark;
use crate::domain::mark::MarkTotal;
use crate::stats::interval::{Interval, wilson};
use crate::stats::real;

/// The level of the ranges.
pub const LEVEL: f64 = 0.95;

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
}

/// Every topic, the most marks missed first; on equal marks the lower share.
///
/// A question with several topics counts in each of them.
pub(super) fn topics(compared: &[&Line]) -> Vec<TopicShare> {
    let mut by_topic = BTreeMap::<&str, Vec<MissedMark>>::new();
    for (topic, missed) in compared.iter().flat_map(|line| &line.topics) {
        by_topic.entry(topic).or_default().push(*missed);
    }
    let share = |(topic, missed): (&str, Vec<MissedMark>)| {
        let right = missed.iter().filter(|missed| missed.right).count();
        Some(TopicShare {
            topic: topic.to_owned(),
            right,
            asked: missed.len(),
            share: real(right) / real(missed.len()),
            range: wilson(right, missed.len(), LEVEL)?,
            missed: missed.iter().map(|missed| missed.missed).sum(),
        })
    };
    let mut topics: Vec<_> = by_topic.into_iter().filter_map(share).collect();
    topics.sort_by(|one, other| {
        let by_marks = Reverse(&one.missed).cmp(&Reverse(&other.missed));
        by_marks.then(one.share.total_cmp(&other.share))
    });
    topics
}
