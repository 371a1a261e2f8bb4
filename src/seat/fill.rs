//! Blanks filled at random.

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Sitting;

/// Draws an option for every blank, each as likely as the next; the same seed draws the same.
pub fn draw(sitting: &Sitting, seed: u64) -> Vec<(QuestionNo, Label)> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let paper = &sitting.header().paper;
    sitting
        .blanks()
        .filter_map(|question| {
            let labels = paper.labels(question);
            let index = random.random_range(0..labels.len());
            labels.iter().nth(index).map(|label| (question, label))
        })
        .collect()
}
