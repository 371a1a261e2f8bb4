//! A pupil over a season: trends, luck taken out, topics, causes, and what is not compared.
#![expect(clippy::unwrap_used, reason = "a test that cannot go on must stop")]

#[path = "progress/command.rs"]
mod command;
#[path = "progress/marks.rs"]
mod marks;
#[path = "common/papers.rs"]
mod papers;
#[path = "common/sat.rs"]
mod sat;
#[path = "pacing/script.rs"]
mod script;
#[path = "progress/season.rs"]
mod season;
#[path = "progress/simulated.rs"]
mod simulated;
#[path = "progress/topics.rs"]
mod topics;
#[path = "progress/trends.rs"]
mod trends;
#[path = "common/user.rs"]
mod user;
#[path = "common/written.rs"]
mod written;
