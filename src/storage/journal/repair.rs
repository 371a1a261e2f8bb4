//! A session file whose end or middle is spoilt, made sound again: what can be read stays, and the file as it was is
//! kept beside it.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::error::JournalError;
use super::lock::{Lock, LockError};
use super::place;
use super::record::{Record, read, read_up_to_damage, text_of};
use super::trouble::Trouble;
use super::writer::Writer;
use crate::domain::character::ShownPath as _;
use crate::storage::disk::operations::{Disk, RealDisk};
use crate::storage::disk::{self, Size};

/// What was made of a file.
#[derive(Debug)]
pub struct Repaired {
    /// The sitting as its file has it now.
    pub record: Record,
    /// Where what was there is kept: the whole file as it was, or a torn end.
    pub kept: PathBuf,
    /// Whether the sitting had ended, as the lines behind the damage told, though the sound part has no end any more.
    pub had_ended: bool,
}

/// Why a file is not repaired.
#[derive(Debug, thiserror::Error)]
pub enum NotRepaired {
    /// There is nothing wrong with it.
    #[error("{}: this file is whole, so there's nothing to repair", .0.shown())]
    Sound(PathBuf),
    /// Somebody has it, or it cannot be locked.
    #[error(transparent)]
    Lock(#[from] LockError),
    /// Nothing of it can be read, or it cannot be written.
    #[error(transparent)]
    Journal(#[from] JournalError),
    /// The disk does not take it.
    #[error("{0}")]
    Trouble(Trouble),
}

/// Leaves of a session file the records before the damage or the torn end; what was there is kept beside it first.
///
/// # Errors
/// Nothing wrong with it, or [`NotRepaired`] with the reason; the file is then as it was.
pub fn repair(session: &Path) -> Result<Repaired, NotRepaired> {
    let session = &*place::itself(session);
    let (before, damage) = read_up_to_damage(session)?;
    if damage.is_none() && before.torn.is_none() {
        return Err(NotRepaired::Sound(session.to_owned()));
    }
    let (mut lock, beat) = Lock::take(session)?;
    // Whoever had it may have written to it until now.
    let (before, damage) = read_up_to_damage(session)?;
    if damage.is_none() && before.torn.is_none() {
        return Err(NotRepaired::Sound(session.to_owned()));
    }
    let ending = if damage.is_some() { "damaged" } else { "torn" };
    let io = |doing| JournalError::io(session, doing);
    let bytes = disk::read(session, Size::SESSION).map_err(io("read the file"))?;
    let from = if damage.is_some() {
        0
    } else {
        before.good_bytes()
    };
    let bytes = bytes.get(from..).unwrap_or_default();
    let aside = place::set_aside(&RealDisk, session, ending, bytes);
    let kept = aside.map_err(io("keep what was there beside the file"))?;
    if before.is_closed() {
        let whole =
            text_of(&before.header, &before.events).map_err(|error| JournalError::Unwritable {
                path: session.to_owned(),
                reason: error.to_string(),
            })?;
        disk::put(session, whole.text.as_bytes()).map_err(io("write the file"))?;
        lock.release();
    } else {
        // Whoever carries on gains no time by what is cut off.
        lock.beat(&before.last_beat(beat.as_ref()))
            .map_err(io("write the file beside it"))?;
        let disk: Arc<dyn Disk> = Arc::new(RealDisk);
        let mut writer = Writer::resume(disk, &before, Box::new(|| {}))?;
        writer.finish().map_err(NotRepaired::Trouble)?;
    }
    let had_ended = !before.is_closed() && before.damage.is_some_and(|own| own.behind.ended);
    Ok(Repaired {
        record: read(session)?,
        kept,
        had_ended,
    })
}
