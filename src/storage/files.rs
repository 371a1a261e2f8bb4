//! Papers, keys, pace plans and folders on the disk, and everything that can be wrong with them.
//!
//! Whoever writes a file by hand hears of all its problems at once, each with its line, its column,
//! its field and the way out. Only where the text itself cannot be read on does reading stop there.

pub mod answers;
pub mod folders;
pub mod key;
pub mod locate;
pub mod marks;
pub mod notes;
pub mod outline_only;
pub mod paper;
pub mod past;
pub mod plan;
mod problem;
mod raw;
mod read;
pub mod register;
mod text;
pub mod thresholds;

pub use problem::{FileTrouble, Problem, Severity};
pub use read::Sound;
