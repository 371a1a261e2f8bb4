//! Invented data: a season of pupils whom nobody knows, lived wish by wish through the core.
//!
//! Nobody writes a mark, a time or an answer here: invented pupils work through the sample papers
//! against a made-up clock, and what they wish goes through the same core as a real sitting's. The
//! same seed makes the same files.

mod chance;
mod hour;
mod mind;
pub mod papers;
mod pupil;
mod question;
mod season;

pub use season::{MOST_PUPILS, MOST_SITTINGS, Made, SittingWanted, season};
