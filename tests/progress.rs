//! A pupil over a season: trends, luck taken out, topics, causes, and what is not compared.
#![expect(clippy::unwrap_used, reason = "a test that cannot go on must stop")]

#[path = "progress/command.rs"]
mod command;
#[path = "progress/marks.rs"]
mod marks;
#[path = "pacing/script.rs"]
mod script;
#[path = "progress/season.rs"]
mod season;
#[path = "progress/simulated.rs"]
mod simulated;
#[path = "progress/trends.rs"]
mod trends;
