//! One writer a sitting, and its beat.
//!
//! `NAME.lock` beside `NAME.session.ron` is locked for as long as the sitting goes on; the system
//! gives the lock back by itself when the program dies. Twice a second the holder writes into it
//! that the sitting goes on, so that after a kill or a power cut the moment of it is known.

use std::error::Error;
use std::fmt;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Read, Seek, Write};
use std::path::{Path, PathBuf};

use chrono::{DateTime, SecondsFormat, Utc};

use super::place;
use crate::domain::time::Elapsed;
use crate::storage::disk::{self, Size};

/// Every so many beats the disk is waited for: each ten seconds.
const SYNC_EVERY: u32 = 20;

/// A lock's file that is gone as soon as it is opened is a folder's way of counting, not a rival.
const MOST_TRIES: u32 = 10;

/// A word that a sitting was going on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Beat {
    /// The machine's boot, empty where it has no name.
    pub boot_id: String,
    /// The moment in the sitting.
    pub at: Elapsed,
    /// Wall time.
    pub utc: DateTime<Utc>,
}

impl Beat {
    /// The last beat of an open sitting, as far as its lock's file tells; only reads.
    pub fn last(session: &Path) -> Option<Self> {
        Self::parse(&disk::read_found(&place::sibling(session, "lock"), Size::PAPER).ok()?)
    }

    /// A line of fixed width, so that one beat covers the one before, with a checksum, so that half
    /// a beat is seen.
    fn line(&self) -> String {
        let id = match self.boot_id.as_str() {
            "" => "-",
            id => id,
        };
        let utc = self.utc.to_rfc3339_opts(SecondsFormat::Millis, true);
        let text = format!("{id:<60} {:>20} {utc}", self.at.as_millis());
        format!("{text} {:08x}\n", crc32fast::hash(text.as_bytes()))
    }

    fn parse(bytes: &[u8]) -> Option<Self> {
        let (line, _) = str::from_utf8(bytes).ok()?.split_once('\n')?;
        let (text, crc) = line.rsplit_once(' ')?;
        if crc != format!("{:08x}", crc32fast::hash(text.as_bytes())) {
            return None;
        }
        let mut words = text.split_whitespace();
        let boot_id = words.next().filter(|id| *id != "-").unwrap_or_default();
        Some(Self {
            boot_id: boot_id.to_owned(),
            at: Elapsed(words.next()?.parse().ok()?),
            utc: DateTime::parse_from_rfc3339(words.next()?).ok()?.to_utc(),
        })
    }
}

/// Why a sitting cannot be held.
#[derive(Debug)]
#[non_exhaustive]
pub enum HoldError {
    /// Another running program has it.
    Taken(PathBuf),
    /// The system would not do it.
    Io {
        /// The lock's file.
        path: PathBuf,
        /// The system's reason.
        source: io::Error,
    },
}

impl fmt::Display for HoldError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Taken(session) => write!(
                f,
                "{}: this sitting is going on in another window. Go on there, or close it there first",
                session.display()
            ),
            Self::Io { path, source } => write!(
                f,
                "{}: cannot be opened: {source}. Check your rights there, or name another folder with --sessions",
                path.display()
            ),
        }
    }
}

impl Error for HoldError {
    fn source(&self) -> Option<&(dyn Error + 'static)> {
        match self {
            Self::Taken(_) => None,
            Self::Io { source, .. } => Some(source),
        }
    }
}

/// The right to write a sitting's file. Dropped without [`Hold::release`], the last beat stays for
/// whoever takes the sitting up again.
#[derive(Debug)]
pub struct Hold {
    file: File,
    path: PathBuf,
    locked: bool,
    beats: u32,
}

impl Hold {
    /// Takes the sitting whose file is, or will be, `session`, and reads the last beat of whoever
    /// had it before. Makes the folder if there is none.
    ///
    /// On a network folder that knows no locks it goes on without: see [`Hold::is_locked`].
    ///
    /// # Errors
    /// Another program has it, or the lock's file cannot be opened.
    pub fn take(session: &Path) -> Result<(Self, Option<Beat>), HoldError> {
        let path = place::sibling(session, "lock");
        let io = |source| HoldError::Io {
            path: path.clone(),
            source,
        };
        disk::create_private_dir_all(disk::folder_of(session)).map_err(io)?;
        let mut tries = 0;
        loop {
            tries += 1;
            let mut options = OpenOptions::new();
            options.read(true).write(true).create(true).truncate(false);
            let mut file = disk::open_private(&mut options, &path).map_err(io)?;
            let locked = match file.try_lock() {
                Ok(()) => true,
                Err(TryLockError::WouldBlock) => {
                    return Err(HoldError::Taken(session.to_owned()));
                }
                Err(TryLockError::Error(error)) if knows_no_locks(&error) => false,
                Err(TryLockError::Error(error)) => return Err(io(error)),
            };
            // Between opening and locking its last holder may have removed it.
            if tries < MOST_TRIES && !place::is_at(&file, &path).map_err(io)? {
                continue;
            }
            let mut bytes = Vec::new();
            file.read_to_end(&mut bytes).map_err(io)?;
            let hold = Self {
                file,
                path,
                locked,
                beats: 0,
            };
            return Ok((hold, Beat::parse(&bytes)));
        }
    }

    /// Whether the system keeps others away; if not, it is up to people not to open a sitting twice.
    pub const fn is_locked(&self) -> bool {
        self.locked
    }

    /// Writes that the sitting goes on. Every twentieth time it waits for the disk, so whoever calls it
    /// is a thread that may wait. A beat that cannot be written is no harm to the sitting.
    ///
    /// # Errors
    /// What the system says.
    pub fn beat(&mut self, beat: &Beat) -> io::Result<()> {
        self.beats = self.beats.wrapping_add(1);
        self.file.rewind()?;
        self.file.write_all(beat.line().as_bytes())?;
        if self.beats % SYNC_EVERY == 1 {
            self.file.sync_data()?;
        }
        Ok(())
    }

    /// Gives up a sitting that has ended, and removes the lock's file.
    pub fn release(self) {
        let _a_lock_left_behind_does_no_harm = fs::remove_file(&self.path);
    }
}

/// Some network folders have no locks, or have run out of them for good.
fn knows_no_locks(error: &io::Error) -> bool {
    error.kind() == io::ErrorKind::Unsupported || is_out_of_locks(error)
}

#[cfg(unix)]
fn is_out_of_locks(error: &io::Error) -> bool {
    rustix::io::Errno::from_io_error(error) == Some(rustix::io::Errno::NOLCK)
}

#[cfg(not(unix))]
fn is_out_of_locks(_: &io::Error) -> bool {
    false
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::storage::journal::samples;

    fn beat(at: u64) -> Beat {
        Beat {
            boot_id: "0e1f2a3b-0000-4000-8000-000000000001".into(),
            at: Elapsed(at),
            utc: samples::header().started.to_utc(),
        }
    }

    #[test]
    fn a_beat_is_a_line_of_fixed_width_and_half_a_beat_is_none() {
        let line = beat(5).line();
        assert_eq!(line.len(), beat(u64::MAX).line().len());
        assert_eq!(Beat::parse(line.as_bytes()), Some(beat(5)));
        for cut in 0..line.len() {
            assert_eq!(Beat::parse(&line.as_bytes()[..cut]), None);
        }
        let later = beat(6_000_000).line();
        for cut in 1..line.len() {
            let half = [&later.as_bytes()[..cut], &line.as_bytes()[cut..]].concat();
            let read = Beat::parse(&half);
            assert!(read.is_none_or(|read| read == beat(5) || read == beat(6_000_000)));
        }
        let nameless = Beat {
            boot_id: String::new(),
            ..beat(7)
        };
        assert_eq!(Beat::parse(nameless.line().as_bytes()), Some(nameless));
    }

    #[test]
    fn the_last_beat_is_there_for_the_next_holder_and_gone_after_a_release() {
        let dir = tempfile::tempdir().unwrap();
        let session = dir.path().join("otter/a.session.ron");
        let (mut hold, before) = Hold::take(&session).unwrap();
        assert!(hold.is_locked() && before.is_none());
        for at in 0..25 {
            hold.beat(&beat(at * 1000)).unwrap();
        }
        let refused = Hold::take(&session).unwrap_err().to_string();
        assert!(refused.contains("another window"), "{refused}");
        drop(hold);
        let (again, before) = Hold::take(&session).unwrap();
        assert_eq!(before, Some(beat(24_000)));
        again.release();
        assert!(!dir.path().join("otter/a.lock").exists());
        assert_eq!(Hold::take(&session).unwrap().1, None);
    }

    #[cfg(unix)]
    #[test]
    fn a_lock_is_its_owners_alone_and_a_place_that_is_none_is_told() {
        use std::os::unix::fs::PermissionsExt;
        let dir = tempfile::tempdir().unwrap();
        let session = dir.path().join("otter/a.session.ron");
        let _hold = Hold::take(&session).unwrap();
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!(mode(&dir.path().join("otter/a.lock")), 0o600);
        assert_eq!(mode(&dir.path().join("otter")), 0o700);
        let blocked = dir.path().join("otter/a.lock/x/b.session.ron");
        let told = Hold::take(&blocked).unwrap_err().to_string();
        assert!(told.contains("cannot be opened"), "{told}");
    }
}
