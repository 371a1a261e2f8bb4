//! The session file: one sitting, append-only, one record a line, from the first second on.
//!
//! - [`line`](mod@line) one record and one line of text: pure; `usual_line` the events that most lines hold.
//! - [`recover`] bytes become records, torn end or damage: pure, never writes.
//! - `record` a file read: [`read`], [`read_up_to_damage`], [`list`], [`open_sittings`].
//! - `brief` a file as lists need it, from the cache where that has it: [`read_brief`].
//! - `beside` what stands against a sitting among others: [`Barred`], [`RivalSheets`].
//! - `place` names and folders: [`path_for`].
//! - `lock` one writer a sitting: [`Lock`]; `heartbeat` what it writes all along: [`Heartbeat`].
//! - `moved` sittings that were saved elsewhere: [`moved_from`].
//! - `repair` a spoilt file made sound again: [`repair()`].
//! - `batch` ended sittings put among the others all at once: [`put_all`].
//! - `chained` the lines of the files that are no session: `drills`, a pupil's drills: [`add_drill`], [`drills_of`];
//!   `practice`, a session of practice a file: [`PracticeFile`], [`practice_of`].
//! - `writer` the thread that saves, and [`Trouble`] when it cannot: [`Writer`].
//!
//! A format 2 file of a sitting that has ended is closed by a *sealed line*: how many lines come
//! before it, and their digest. One without it (format 1, or a kill at the very last moment) is as
//! much ended as one with it. A file goes on in the format it was begun in.
//!
//! Line ends are no part of a record: a file in which a tool has turned LF into CRLF reads as the
//! same sitting, and one that is open goes on with LF behind its CRLF lines, which keep every byte.
//!
//! Reading never writes, locks or repairs: a tutor's look at a file leaves it as it is. A new
//! sitting takes its path, then the lock, then makes the writer; one that was left is read, locked,
//! and its writer resumed.

pub mod line;
pub mod recover;

mod batch;
mod beside;
mod brief;
mod chained;
mod drills;
mod error;
mod format1;
mod heartbeat;
mod lock;
mod moved;
mod place;
mod practice;
mod practice_line;
mod record;
mod renamed;
mod repair;
mod trouble;
mod usual_line;
mod writer;

#[cfg(test)]
mod samples;

pub use batch::{NotPut, discard_unfinished, put_all};
pub use beside::{Barred, RivalSheets};
pub use brief::{Brief, read_brief};
pub use drills::{DrillNotSaved, add_drill, drills_of, who_tried};
pub use error::JournalError;
pub use heartbeat::Heartbeat;
pub use lock::{Lock, LockError, is_in_use};
pub use moved::moved_from;
pub(crate) use place::itself;
pub use place::{ENDING, path_for};
pub use practice::{
    PRACTICE_ENDING, PracticeFile, PracticeNotSaved, PracticeRead, PracticeUnread, practice_in,
    practice_of,
};
pub(in crate::storage) use record::read_as;
pub(crate) use record::read_found;
pub use record::{
    Copied, Decided, FoundDamage, Listing, Record, list, open_sittings, open_sittings_settled,
    read, read_up_to_damage, shared_with, withdrawn_in,
};
pub use recover::Torn;
pub use renamed::{Renamed, chained_anew, renamed};
pub use repair::{NotRepaired, Repaired, repair};
pub use trouble::Trouble;
pub use writer::{Lookout, Saved, SavedWatch, Wake, Writer};
