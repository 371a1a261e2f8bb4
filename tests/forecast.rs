//! `forecast`: whether its intervals hold what they promise, and what the command says.

#[path = "forecast/command.rs"]
mod command;
#[path = "forecast/coverage.rs"]
mod coverage;
#[path = "plan/season.rs"]
mod season;
