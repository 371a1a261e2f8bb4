//! What lies on the disk: papers, keys, plans and notes, and the session files.

pub mod cache;
pub mod catalogue;
pub mod checkup;
pub mod cores;
pub mod disk;
pub mod files;
pub mod journal;
pub mod keeping;
