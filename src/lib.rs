//! Pacebell: sits a pupil at a timed multiple-choice paper, logs everything, marks it.
//!
//! The map, lowest layer first; imports go down only, and `tests/architecture.rs` says so.
//!
//! - [`domain`] papers, keys, marks, the sitting and its marking: pure.
//! - [`stats`] free functions over numbers; knows no paper: pure.

pub mod domain;
pub mod stats;
