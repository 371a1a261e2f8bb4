//! Some of a paper's questions, written as people write them: `1-10,13`.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::rule::QuestionNo;

/// Some questions, at least one, in the order of the paper.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct QuestionList {
    /// First and last of each run: ascending, and no run touches the next.
    runs: Vec<(QuestionNo, QuestionNo)>,
}

/// A text that names no questions.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "{0:?} isn't a list of questions: write numbers and ranges with commas between, such as 1-10,13"
)]
pub struct NoQuestions(String);

impl QuestionList {
    /// The questions from `first` to `last`; nothing where that is none.
    pub fn range(first: QuestionNo, last: QuestionNo) -> Option<Self> {
        Self::of_runs(vec![(first, last)])
    }

    /// These questions, in whatever order they come; nothing of none.
    pub fn of(questions: impl IntoIterator<Item = QuestionNo>) -> Option<Self> {
        Self::of_runs(questions.into_iter().map(|one| (one, one)).collect())
    }

    /// Reads `1-10,13`; blanks beside a number are passed over, and no order is asked for.
    ///
    /// # Errors
    /// Anything but numbers from 1 and ranges of them.
    pub fn read(text: &str) -> Result<Self, NoQuestions> {
        let number = |text: &str| text.trim().parse().ok().map(QuestionNo);
        let run = |part: &str| match part.split_once('-') {
            Some((first, last)) => number(first).zip(number(last)),
            None => number(part).map(|only| (only, only)),
        };
        let runs: Option<Vec<_>> = text.split(',').map(run).collect();
        runs.and_then(Self::of_runs)
            .ok_or_else(|| NoQuestions(text.trim().to_owned()))
    }

    fn of_runs(mut found: Vec<(QuestionNo, QuestionNo)>) -> Option<Self> {
        let sound = |(first, last): &(QuestionNo, QuestionNo)| first.0 >= 1 && first <= last;
        if found.is_empty() || !found.iter().all(sound) {
            return None;
        }
        found.sort_unstable();
        let mut runs: Vec<(QuestionNo, QuestionNo)> = Vec::new();
        for (first, last) in found {
            match runs.last_mut() {
                Some((_, end)) if first.0 <= end.0.saturating_add(1) => *end = last.max(*end),
                _ => runs.push((first, last)),
            }
        }
        Some(Self { runs })
    }

    /// First and last of each run of neighbours, in order.
    pub fn runs(&self) -> &[(QuestionNo, QuestionNo)] {
        &self.runs
    }

    /// First and last, where the questions are neighbours.
    pub fn as_range(&self) -> Option<(QuestionNo, QuestionNo)> {
        match *self.runs.as_slice() {
            [range] => Some(range),
            _ => None,
        }
    }

    /// Whether `question` is one of them.
    pub fn holds(&self, question: QuestionNo) -> bool {
        let mut runs = self.runs.iter();
        runs.any(|(first, last)| (*first..=*last).contains(&question))
    }

    /// The first of them.
    pub fn first(&self) -> QuestionNo {
        self.runs.first().map_or(QuestionNo(1), |(first, _)| *first)
    }

    /// The last of them.
    pub fn last(&self) -> QuestionNo {
        self.runs.last().map_or(QuestionNo(1), |(_, last)| *last)
    }

    /// Each of them, in order.
    pub fn iter(&self) -> impl Iterator<Item = QuestionNo> + '_ {
        let numbers = |(first, last): &(QuestionNo, QuestionNo)| (first.0..=last.0).map(QuestionNo);
        self.runs.iter().flat_map(numbers)
    }

    /// These questions, or nothing where they are all that a paper of so many questions has.
    pub fn unless_all(self, questions: u16) -> Option<Self> {
        let all = (QuestionNo(1), QuestionNo(questions));
        (self.as_range() != Some(all)).then_some(self)
    }
}

impl fmt::Display for QuestionList {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, (first, last)) in self.runs.iter().enumerate() {
            let comma = if index == 0 { "" } else { "," };
            if first == last {
                write!(f, "{comma}{first}")?;
            } else {
                write!(f, "{comma}{first}-{last}")?;
            }
        }
        Ok(())
    }
}

impl TryFrom<String> for QuestionList {
    type Error = NoQuestions;
    fn try_from(text: String) -> Result<Self, NoQuestions> {
        Self::read(&text)
    }
}

impl From<QuestionList> for String {
    fn from(list: QuestionList) -> Self {
        list.to_string()
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_list_is_written_as_it_is_said() {
        for (text, said) in [
            ("1-10,13", "1-10,13"),
            (" 13 , 1 - 10", "1-10,13"),
            ("7", "7"),
            ("3,4,5", "3-5"),
            ("1-4,3-6,6", "1-6"),
            ("65535", "65535"),
        ] {
            assert_eq!(
                QuestionList::read(text).unwrap().to_string(),
                said,
                "{text}"
            );
        }
        let list = QuestionList::read("1-3,7").unwrap();
        assert_eq!(list.iter().map(|q| q.0).collect::<Vec<_>>(), [1, 2, 3, 7]);
        assert_eq!((list.first(), list.last()), (QuestionNo(1), QuestionNo(7)));
        assert!(list.holds(QuestionNo(2)) && !list.holds(QuestionNo(4)));
        assert_eq!(
            (list.as_range(), list.clone().unless_all(7)),
            (None, Some(list))
        );
        let all = QuestionList::range(QuestionNo(1), QuestionNo(7)).unwrap();
        assert_eq!(all.unless_all(7), None);
    }

    #[test]
    fn what_names_no_questions_is_told() {
        for text in [
            "", ",", "1,", "0", "0-3", "5-3", "a", "1-2-3", "-4", "65536", "1 2",
        ] {
            let said = QuestionList::read(text).unwrap_err().to_string();
            assert!(said.contains("isn't a list of questions"), "{said}");
        }
        assert_eq!(QuestionList::of([]), None);
    }

    proptest! {
        #[test]
        fn any_questions_come_back_from_their_text(numbers in prop::collection::btree_set(1_u16..300, 1..60)) {
            let list = QuestionList::of(numbers.iter().rev().map(|n| QuestionNo(*n))).unwrap();
            prop_assert!(list.iter().map(|q| q.0).eq(numbers.iter().copied()));
            prop_assert_eq!(QuestionList::read(&list.to_string()), Ok(list));
        }
    }
}
