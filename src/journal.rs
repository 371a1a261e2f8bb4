//! The session file: one sitting, append-only, one record a line, from the first second on.
//!
//! - [`line`] one record and one line of text: pure.
//! - [`recover`] bytes become records, torn end or damage: pure, never writes.
//! - `record` a file read: [`read`], [`read_up_to_damage`], [`list`], [`open_sittings`].
//! - `place` names and folders.
//!
//! Reading never writes, locks or repairs: a tutor's look at a file leaves it as it is.

pub mod line;
pub mod recover;

mod error;
mod place;
mod record;

#[cfg(test)]
mod samples;

pub use error::JournalError;
pub use place::{ENDING, path_for};
pub use record::{Listing, Record, list, open_sittings, read, read_up_to_damage};
pub use recover::Torn;
