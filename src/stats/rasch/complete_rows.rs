//! Counts answers quickly where everybody was given every question.
//!
//! A million sheets then cost a few sums each: people by number right, the right answers to each question
//! among them, and, as bits, which question was ever right where another was wrong.

use super::answers::Answers;
use crate::stats::tally::RowProblem;

/// The answers of people who were all given the same questions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CompleteRows {
    items: usize,
    /// By number right: how many people.
    people: Vec<usize>,
    /// By number right, then by question: how many of them had it right.
    right: Vec<usize>,
    /// By question, in words of 64 bits: the questions somebody had wrong who had this one right.
    ahead: Vec<u64>,
    /// The questions that the row at hand has wrong.
    wrong: Vec<u64>,
    /// How many pairs of questions `ahead` still lacks; at none there is nothing more to learn for it.
    lacking: usize,
}

impl CompleteRows {
    /// No answers yet to this many questions.
    pub fn new(items: usize) -> Self {
        let words = items.div_ceil(64);
        Self {
            items,
            people: vec![0; items + 1],
            right: vec![0; (items + 1) * items],
            ahead: vec![0; items * words],
            wrong: vec![0; words],
            lacking: items * items.saturating_sub(1),
        }
    }

    /// Counts one person: for each question right or not.
    pub fn add(&mut self, row: &[bool]) -> Result<(), RowProblem> {
        if row.len() != self.items {
            return Err(RowProblem::Length {
                found: row.len(),
                wanted: self.items,
            });
        }
        let score = row.iter().filter(|right| **right).count();
        if let Some(people) = self.people.get_mut(score) {
            *people += 1;
        }
        let first = score * self.items;
        if let Some(counts) = self.right.get_mut(first..first + self.items) {
            for (count, right) in counts.iter_mut().zip(row) {
                *count += usize::from(*right);
            }
        }
        if self.lacking > 0 {
            self.compare(row);
        }
        Ok(())
    }

    /// Notes which questions the row has right where others are wrong.
    fn compare(&mut self, row: &[bool]) {
        for (word, part) in self.wrong.iter_mut().zip(row.chunks(64)) {
            let bits = part.iter().zip(0..);
            *word = bits.fold(0, |word, (right, bit)| word | (u64::from(!right) << bit));
        }
        let words = self.wrong.len().max(1);
        for (ahead, _) in self
            .ahead
            .chunks_exact_mut(words)
            .zip(row)
            .filter(|(_, right)| **right)
        {
            for (ahead, wrong) in ahead.iter_mut().zip(&self.wrong) {
                let new = wrong & !*ahead;
                *ahead |= new;
                let count = usize::try_from(new.count_ones()).unwrap_or(0);
                self.lacking = self.lacking.saturating_sub(count);
            }
        }
    }

    /// The same answers, ready to be calibrated.
    pub fn answers(&self) -> Answers {
        let words = self.wrong.len().max(1);
        let is_ahead = |bits: &[u64], item: usize| {
            let word = bits.get(item / 64).copied().unwrap_or(0);
            word >> (item % 64) & 1 == 1
        };
        let ahead = self.ahead.chunks_exact(words);
        let ahead = ahead.map(|bits| (0..self.items).map(|item| is_ahead(bits, item)).collect());
        let cells = self
            .people
            .iter()
            .enumerate()
            .filter(|(_, people)| **people > 0);
        Answers::of_complete_rows(
            ahead.collect(),
            cells.map(|(score, people)| {
                let first = score * self.items;
                let right = self.right.get(first..first + self.items);
                (score, *people, right.unwrap_or_default().to_vec())
            }),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_row_of_another_length_is_refused() {
        let problem = CompleteRows::new(3).add(&[true]).unwrap_err();
        assert_eq!(
            problem,
            RowProblem::Length {
                found: 1,
                wanted: 3
            }
        );
    }

    proptest! {
        #[test]
        fn complete_rows_are_the_answers_counted_one_by_one(
            items in prop::sample::select(vec![1_usize, 3, 63, 64, 65, 130]),
            seeds in prop::collection::vec(any::<u64>(), 0..12),
        ) {
            let (mut whole, mut answers) = (CompleteRows::new(items), Answers::new(items));
            for seed in seeds {
                let row: Vec<bool> = (0..items).map(|item| seed.rotate_left(u32::try_from(item * 7 % 64).unwrap()) & 1 == 1).collect();
                whole.add(&row).unwrap();
                answers.add(&row.iter().map(|right| Some(*right)).collect::<Vec<_>>()).unwrap();
            }
            prop_assert_eq!(whole.answers(), answers);
        }
    }
}
