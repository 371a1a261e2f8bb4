//! Blanks filled at random.

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Sitting;

/// Draws an option for each of these blanks, each that is not crossed out as likely as the next; the
/// same seed draws the same.
pub fn draw(sitting: &Sitting, blanks: &[QuestionNo], seed: u64) -> Vec<(QuestionNo, Label)> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let drawn = blanks.iter().filter_map(|blank| {
        let left = sitting.labels_left(*blank);
        let index = random.random_range(0..left.len().max(1));
        left.get(index).map(|label| (*blank, *label))
    });
    drawn.collect()
}
