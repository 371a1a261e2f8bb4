//! What a marking rule makes of chance: the worth of a guess, luck, what a mark takes. Pure.

pub mod aim;
pub mod guess;
pub mod luck;
pub mod mark_distribution;
pub mod shortfall;
