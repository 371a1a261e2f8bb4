//! Counts answers quickly where everybody was given every question.
//!
//! A million sheets then cost next to nothing beside their tally, which has people by number right and the right answers
//! to each question among them: only, as bits, which question was ever right where another was wrong, until all are known.

use super::answers::Answers;
use crate::stats::tally::Tally;

/// Which questions people had right where they had others wrong, who were all given the same questions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CompleteRows {
    items: usize,
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
            ahead: vec![0; items * words],
            wrong: vec![0; words],
            lacking: items * items.saturating_sub(1),
        }
    }

    /// Whether another row may still tell something.
    pub const fn is_lacking(&self) -> bool {
        self.lacking > 0
    }

    /// Notes which questions the row has right where others are wrong.
    pub fn compare(&mut self, row: &[bool]) {
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

    /// All answers, ready to be calibrated, with the tally of the same rows.
    pub fn answers(&self, tally: &Tally) -> Answers {
        let words = self.wrong.len().max(1);
        let is_ahead = |bits: &[u64], item: usize| {
            let word = bits.get(item / 64).copied().unwrap_or(0);
            word >> (item % 64) & 1 == 1
        };
        let ahead = self.ahead.chunks_exact(words);
        let ahead = ahead.map(|bits| (0..self.items).map(|item| is_ahead(bits, item)).collect());
        let cells = tally.by_number_right().into_iter().enumerate();
        let cells = cells.filter(|(_, (people, _))| *people > 0);
        Answers::of_complete_rows(
            ahead.collect(),
            cells.map(|(score, (people, right))| (score, people, right)),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::tally::{Item, ItemMarks};
    use proptest::prelude::*;

    /// A question with two options, the first of which is right.
    fn question() -> Item {
        Item {
            options: 2,
            accepted: vec![1],
            marks: ItemMarks::NUMBER_RIGHT,
        }
    }

    proptest! {
        #[test]
        fn complete_rows_are_the_answers_counted_one_by_one(
            items in prop::sample::select(vec![1_usize, 3, 63, 64, 65, 130]),
            seeds in prop::collection::vec(any::<u64>(), 0..12),
        ) {
            let (mut whole, mut answers) = (CompleteRows::new(items), Answers::new(items));
            let mut tally = Tally::new(vec![question(); items], 0).unwrap();
            for seed in seeds {
                let row: Vec<bool> = (0..items).map(|item| seed.rotate_left(u32::try_from(item * 7 % 64).unwrap()) & 1 == 1).collect();
                whole.compare(&row);
                let codes: Vec<u8> = row.iter().map(|right| if *right { 1 } else { 2 }).collect();
                tally.add(&codes).unwrap();
                answers.add(&row.iter().map(|right| Some(*right)).collect::<Vec<_>>()).unwrap();
            }
            prop_assert_eq!(whole.answers(&tally), answers);
        }
    }
}
