//! The session file through the library's front door.
#![cfg(test)]

#[path = "journal/common.rs"]
mod common;
#[path = "journal/holding.rs"]
mod holding;
#[path = "journal/killing.rs"]
mod killing;
#[path = "journal/model.rs"]
mod model;
#[path = "common/papers.rs"]
mod papers;
#[path = "journal/reading.rs"]
mod reading;
#[path = "common/sat.rs"]
mod sat;
#[path = "journal/writing.rs"]
mod writing;
#[path = "common/written.rs"]
mod written;
