//! `hindsight`: past forecasts beside what came, and what becomes of forecasts that too often missed.
#![cfg(test)]

#[path = "plan/folder.rs"]
#[expect(dead_code, reason = "other tests need more of it")]
mod folder;
#[path = "hindsight/naive.rs"]
mod naive;
#[path = "hindsight/one_by_one.rs"]
mod one_by_one;
#[path = "common/sat.rs"]
mod sat;
#[path = "plan/season.rs"]
mod season;
#[path = "common/user.rs"]
mod user;
#[path = "hindsight/widened.rs"]
mod widened;
#[path = "common/written.rs"]
mod written;
