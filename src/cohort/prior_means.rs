//! What is taken for granted where nothing is known: stated here once, and told with every estimate.
//!
//! No published source: the shape of a paper in rising difficulty that few finish, as tutors describe it
//! (common practice). Places go from 0, the paper's start, to 1, its end; logits as in Rasch's model.

use crate::stats::ability::Difficulty;

/// How many pupils a default counts for against those of the group.
pub const PUPILS_STRENGTH: f64 = 5.0;
/// How many questions of a topic a pupil's level on all topics counts for: topics whose shares lie about it with an SD
/// of 0.15 at a half (0.25 / 0.15^2 - 1; common practice, no source).
pub const TOPIC_STRENGTH: f64 = 10.0;
/// How far a single time is off the expected one: SD of its logarithm.
pub const TIME_SPREAD: f64 = 0.45;

/// How hard questions are by their place alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DifficultyByPlace {
    /// At the paper's start, in logits.
    pub first: f64,
    /// How much harder the end is.
    pub slope: f64,
    /// How far a single question may be off.
    pub sd: f64,
}

/// The default: nine in ten right at the start, two in ten at the end, for an average pupil.
pub const DIFFICULTY: DifficultyByPlace = DifficultyByPlace {
    first: -2.5,
    slope: 4.0,
    sd: 0.7,
};

impl DifficultyByPlace {
    /// How hard the question at a place is to get right, with how far it may be off.
    pub fn at(self, place: f64) -> Difficulty {
        Difficulty {
            mean: self.first + self.slope * place,
            sd: self.sd,
        }
    }
}

/// The default difficulty at a place.
pub fn difficulty(place: f64) -> Difficulty {
    DIFFICULTY.at(place)
}

/// The time at a place as a multiple of the even share: a fifth at the start, nine fifths at the end, so that
/// the whole is just the time allowed.
pub fn time_factor(place: f64) -> f64 {
    0.2 + 1.6 * place
}
