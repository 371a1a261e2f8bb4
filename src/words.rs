//! What people read: sentences, lists, numbers, times. Pure.

pub mod absence;
pub mod count;
pub mod encouragement;
pub mod findings;
pub mod group;
pub mod guess;
pub mod how;
pub mod instructions;
pub mod luck;
pub mod marks;
pub mod notices;
pub mod numbers;
pub mod progress;
pub mod result;
pub mod rule;
pub mod shortfall;
pub mod sign;
pub mod sitting;
pub mod sources;
pub mod text;
pub mod thresholds;
pub mod time;
