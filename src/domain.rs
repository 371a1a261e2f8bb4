//! Papers, keys, marks, the sitting and its marking.
//!
//! The rule of this layer: no clock, file, screen or random number. Whatever happens comes in as
//! an argument, so that live play, resume, review and replay are one and the same code.
#![warn(clippy::wildcard_enum_match_arm)]

pub mod abridged;
pub mod character;
pub mod drill;
pub mod event;
pub mod generator;
pub mod header;
pub mod key;
pub mod labels;
pub mod mark;
pub mod marking;
pub mod notes;
pub mod paper;
pub mod practice;
pub mod questions;
pub mod register;
pub mod rule;
pub mod sheet;
pub mod sitting;
pub mod spans;
pub mod standing;
pub mod step;
pub mod thresholds;
pub mod time;
