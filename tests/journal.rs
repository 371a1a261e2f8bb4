//! The session file through the library's front door.

#[path = "journal/common.rs"]
mod common;
#[path = "journal/reading.rs"]
mod reading;
