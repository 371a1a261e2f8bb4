//! Counts answers for calibration: who was given which questions, and how many of them were right.
//!
//! Everything the model uses is in three counts: people by set of questions given and number right, the right
//! answers to each question among them, and which question was ever right where another was wrong.

use std::collections::BTreeMap;

use crate::stats::tally::RowProblem;

/// The answers of a cohort, counted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answers {
    cells: BTreeMap<(Vec<usize>, usize), Cell>,
    ahead: Vec<Vec<bool>>,
}

/// The people who were given the same questions and had the same number right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Cell {
    /// The questions, by place from 0, in order.
    pub(super) items: Vec<usize>,
    /// How many of them each of these people had right.
    pub(super) score: usize,
    /// How many people.
    pub(super) people: usize,
    /// How many of them had each question right.
    pub(super) right: Vec<usize>,
}

impl Cell {
    /// Whether these people say anything about difficulties: some right, some not.
    pub(super) fn tells(&self) -> bool {
        self.score > 0 && self.score < self.items.len()
    }

    /// Where its questions stand among those kept.
    pub(super) fn places(&self, kept: &[usize]) -> Vec<usize> {
        self.items
            .iter()
            .filter_map(|item| kept.binary_search(item).ok())
            .collect()
    }

    /// The cell without one question that all of its people had right or all had not.
    pub(super) fn without(mut self, item: usize) -> Self {
        let Ok(place) = self.items.binary_search(&item) else {
            return self;
        };
        self.items.remove(place);
        if self.right.remove(place) == self.people && self.people > 0 {
            self.score = self.score.saturating_sub(1);
        }
        self
    }
}

impl Answers {
    /// No answers yet to this many questions.
    pub fn new(items: usize) -> Self {
        Self {
            cells: BTreeMap::new(),
            ahead: vec![vec![false; items]; items],
        }
    }

    /// Counts one person: for each question right, not right, or `None` where it was not given.
    ///
    /// Whether a blank is "not right" or "not given" is the caller's choice; for a timed paper the usual one
    /// is not right when omitted and not given when not reached (common practice, no source).
    pub fn add(&mut self, row: &[Option<bool>]) -> Result<(), RowProblem> {
        if row.len() != self.ahead.len() {
            return Err(RowProblem::Length {
                found: row.len(),
                wanted: self.ahead.len(),
            });
        }
        let is = |wanted: bool| {
            let every = row.iter().enumerate();
            every
                .filter(move |(_, answer)| **answer == Some(wanted))
                .map(|(item, _)| item)
        };
        for right in is(true) {
            for wrong in is(false) {
                if let Some(ahead) = self.ahead.get_mut(right).and_then(|row| row.get_mut(wrong)) {
                    *ahead = true;
                }
            }
        }
        let given = row
            .iter()
            .enumerate()
            .filter_map(|(item, answer)| answer.map(|_| item));
        let items: Vec<usize> = given.collect();
        let score = is(true).count();
        let cell = self
            .cells
            .entry((items, score))
            .or_insert_with_key(|(items, score)| Cell {
                right: vec![0; items.len()],
                people: 0,
                items: items.clone(),
                score: *score,
            });
        cell.people += 1;
        for (count, answer) in cell.right.iter_mut().zip(row.iter().flatten()) {
            *count += usize::from(*answer);
        }
        Ok(())
    }

    /// Answers by people who were all given every question: by number right, how many people, and how many of
    /// them had each question right.
    pub(super) fn of_complete_rows(
        ahead: Vec<Vec<bool>>,
        groups: impl Iterator<Item = (usize, usize, Vec<usize>)>,
    ) -> Self {
        let items: Vec<usize> = (0..ahead.len()).collect();
        let cells = groups.map(|(score, people, right)| {
            let cell = Cell {
                items: items.clone(),
                score,
                people,
                right,
            };
            ((items.clone(), score), cell)
        });
        Self {
            cells: cells.collect(),
            ahead,
        }
    }

    /// How many questions there are.
    pub fn items(&self) -> usize {
        self.ahead.len()
    }

    /// How many people have been counted.
    pub fn people(&self) -> usize {
        self.cells.values().map(|cell| cell.people).sum()
    }

    pub(super) fn cells(&self) -> Vec<Cell> {
        self.cells.values().cloned().collect()
    }

    /// For each question, the questions somebody had wrong who had this one right.
    pub(super) fn ahead(&self) -> &[Vec<bool>] {
        &self.ahead
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn people_with_the_same_questions_and_number_right_share_a_cell() {
        let mut answers = Answers::new(3);
        for row in [
            [Some(true), Some(false), None],
            [Some(false), Some(true), None],
        ] {
            answers.add(&row).unwrap();
        }
        answers.add(&[Some(true); 3]).unwrap();
        assert_eq!((answers.people(), answers.items()), (3, 3));
        let cells = answers.cells();
        assert_eq!(cells.len(), 2);
        assert_eq!(
            (cells[0].items.as_slice(), cells[0].right.as_slice()),
            ([0, 1].as_slice(), [1, 1].as_slice())
        );
        assert!(cells[0].tells() && !cells[1].tells());
        assert!(answers.ahead()[0][1] && !answers.ahead()[0][2]);
    }

    #[test]
    fn a_row_of_another_length_is_refused() {
        let problem = Answers::new(3).add(&[None]).unwrap_err();
        assert_eq!(
            problem,
            RowProblem::Length {
                found: 1,
                wanted: 3
            }
        );
    }

    #[test]
    fn a_question_that_all_had_right_leaves_with_its_mark() {
        let cell = Cell {
            items: vec![2, 5, 7],
            score: 2,
            people: 4,
            right: vec![4, 1, 3],
        };
        let left = cell.clone().without(2);
        assert_eq!(
            (left.items, left.score, left.right),
            (vec![5, 7], 1, vec![1, 3])
        );
        assert_eq!(cell.clone().without(4), cell);
    }
}
