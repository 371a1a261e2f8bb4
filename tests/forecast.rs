//! `forecast`: whether its intervals hold what they promise, and what the command says.
#![expect(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test that cannot go on must stop"
)]

#[path = "forecast/command.rs"]
mod command;
#[path = "forecast/drawn.rs"]
mod drawn;
#[path = "plan/folder.rs"]
mod folder;
#[path = "common/papers.rs"]
mod papers;
#[path = "forecast/responses.rs"]
mod responses;
#[path = "forecast/said.rs"]
mod said;
#[path = "common/sat.rs"]
mod sat;
#[path = "plan/season.rs"]
#[expect(dead_code, reason = "the plans' tests use all of it")]
mod season;
#[path = "common/user.rs"]
mod user;
#[path = "forecast/worked.rs"]
mod worked;
#[path = "common/written.rs"]
mod written;
