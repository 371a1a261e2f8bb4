//! Chance from a seed: the same seed and purpose draw the same, whatever else is drawn.

use std::time::Duration;

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::domain::time::Elapsed;

/// A stream of chance.
pub(super) struct Dice(ChaCha8Rng);

impl Dice {
    /// A stream of its own for each purpose, so that one pupil more changes nobody else.
    pub(super) fn new(seed: u64, purpose: &str) -> Self {
        let mut generator = ChaCha8Rng::seed_from_u64(seed);
        generator.set_stream(folded(purpose));
        Self(generator)
    }

    /// Any number.
    pub(super) fn number(&mut self) -> u64 {
        self.0.random()
    }

    /// From 0 up to, not with, 1.
    pub(super) fn unit(&mut self) -> f64 {
        self.0.random()
    }

    /// Evenly between two numbers.
    pub(super) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Evenly between so many seconds.
    pub(super) fn seconds(&mut self, low: f64, high: f64) -> Elapsed {
        span(self.between(low, high))
    }

    /// Whether something of this chance happens.
    pub(super) fn happens(&mut self, chance: f64) -> bool {
        self.unit() < chance
    }

    /// About normal, with mean 0 and spread 1: twelve even draws less six, which needs no function
    /// that could differ from one machine to the next.
    pub(super) fn bell(&mut self) -> f64 {
        (0..12).map(|_| self.unit()).sum::<f64>() - 6.0
    }

    /// A factor about 1, as often halved as doubled.
    pub(super) fn factor(&mut self, spread: f64) -> f64 {
        (spread * self.bell()).exp()
    }

    /// One of them, by weight; nothing of nothing.
    pub(super) fn pick<T: Copy>(&mut self, weighted: &[(T, f64)]) -> Option<T> {
        let total: f64 = weighted.iter().map(|(_, weight)| weight).sum();
        let mut left = self.unit() * total;
        for (one, weight) in weighted {
            left -= weight;
            if left < 0.0 {
                return Some(*one);
            }
        }
        weighted.last().map(|(one, _)| *one)
    }

    /// The order of so many things, each as likely as the next.
    pub(super) fn shuffled<T>(&mut self, things: impl IntoIterator<Item = T>) -> Vec<T> {
        let mut drawn: Vec<_> = things.into_iter().map(|one| (self.number(), one)).collect();
        drawn.sort_by_key(|(number, _)| *number);
        drawn.into_iter().map(|(_, one)| one).collect()
    }
}

/// So many seconds; nothing of what is no length of time.
pub(super) fn span(seconds: f64) -> Elapsed {
    let millis = Duration::try_from_secs_f64(seconds).map_or(0, |span| span.as_millis());
    Elapsed(u64::try_from(millis).unwrap_or(u64::MAX))
}

/// The logistic curve: the chance of a question that is so much easier than the pupil is strong.
pub(super) fn logistic(ahead: f64) -> f64 {
    1.0 / (1.0 + (-ahead).exp())
}

/// A text as a number (FNV-1a, 64 bits; its two constants from memory). Only has to differ.
fn folded(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}
