//! The forecast held against worlds that know nothing of it: pupils of a simulator of its own sit papers, their
//! sittings are read as any other, and what was forecast is held beside what came.
#![cfg(test)]

#[path = "worlds/campaign.rs"]
mod campaign;
#[path = "worlds/cells.rs"]
mod cells;
#[path = "worlds/demo.rs"]
mod demo;
#[path = "worlds/foreign.rs"]
mod foreign;
#[path = "worlds/imports.rs"]
mod imports;
#[path = "worlds/log.rs"]
mod log;
#[path = "common/papers.rs"]
mod papers;
#[path = "worlds/plans.rs"]
mod plans;
#[path = "common/sat.rs"]
mod sat;
#[path = "worlds/simulator.rs"]
mod simulator;
#[path = "worlds/small.rs"]
mod small;
#[path = "common/user.rs"]
mod user;
#[path = "common/written.rs"]
mod written;
