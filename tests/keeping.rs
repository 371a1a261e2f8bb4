//! The tutor's files: what is set aside counts nowhere.
#![cfg(test)]

#[path = "common/old.rs"]
mod old;
#[path = "keeping/set_aside.rs"]
mod set_aside;
