//! The session file through the library's front door.

#[path = "journal/common.rs"]
mod common;
#[path = "journal/killing.rs"]
mod killing;
#[path = "journal/model.rs"]
mod model;
#[path = "journal/reading.rs"]
mod reading;
#[path = "journal/writing.rs"]
mod writing;
