//! One writer a sitting.
//!
//! `NAME.lock` beside `NAME.session.ron` is locked for as long as the sitting goes on; the system
//! gives the lock back by itself when the program dies. Its holder's heartbeat is written into it. On Unix
//! the writer locks the session file as well, so that a second window is kept away even where somebody has
//! removed that file.

use std::fs::TryLockError;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use super::heartbeat::{Heartbeat, ROOM};
use super::place;
use crate::domain::character::ShownPath as _;
use crate::storage::disk::operations::{self, Disk, DiskFile, RealDisk};
use crate::storage::disk::{self, Unfit};

/// Every so many beats the disk is waited for: each ten seconds, of nine tenths for a beat.
const SYNC_EVERY: u32 = 11;

/// So long is listened for heartbeats where there are no locks: they come more than once a second, later on a busy
/// machine.
const LISTEN: Duration = Duration::from_secs(2);

/// A lock's file that is gone as soon as it is opened is a folder's way of counting, not a rival.
const MOST_TRIES: u32 = 10;

/// Why a sitting cannot be locked.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum LockError {
    /// Another running program has it.
    #[error(
        "{}: this sitting is open in another window. Carry on there, or close it there first",
        .0.shown()
    )]
    Taken(PathBuf),
    /// Something else lies where the lock's file belongs.
    #[error(
        "{}: a small file of Pacebell's belongs here, but this is a link, a folder or something larger. Move it away, then try again",
        .0.shown()
    )]
    NotALock(PathBuf),
    /// The system would not do it.
    #[error(
        "{}: it cannot be opened ({source}). Check who owns the folder, or name another with --sessions",
        path.shown()
    )]
    Io {
        /// The lock's file.
        path: PathBuf,
        /// The system's reason.
        source: io::Error,
    },
}

/// The right to write a sitting's file. Dropped without [`Lock::release`], the last heartbeat stays for
/// whoever takes the sitting up again.
#[derive(Debug)]
pub struct Lock {
    disk: Arc<dyn Disk>,
    file: Box<dyn DiskFile>,
    path: PathBuf,
    locked: bool,
    beats: u32,
    /// The next beat's room: not the last one's.
    room: usize,
}

impl Lock {
    /// Takes the sitting whose file is, or will be, `session`, and reads the last heartbeat of whoever
    /// had it before. Makes the folder if there is none.
    ///
    /// On a network folder that knows no locks it goes on without: see [`Lock::is_locked`].
    ///
    /// # Errors
    /// Another program has it, or the lock's file cannot be opened.
    pub fn take(session: &Path) -> Result<(Self, Option<Heartbeat>), LockError> {
        Self::take_on(&(Arc::new(RealDisk) as Arc<dyn Disk>), session)
    }

    /// The same on any disk.
    ///
    /// # Errors
    /// As [`Lock::take`].
    pub fn take_on(
        disk: &Arc<dyn Disk>,
        session: &Path,
    ) -> Result<(Self, Option<Heartbeat>), LockError> {
        let path = place::sibling(session, "lock");
        let io = |source: io::Error| match disk::unfit(&source) {
            Some(Unfit::NoLock) => LockError::NotALock(path.clone()),
            _ => LockError::Io {
                path: path.clone(),
                source,
            },
        };
        operations::make_folders(&**disk, disk::folder_of(session)).map_err(io)?;
        let mut tries = 0;
        loop {
            tries += 1;
            let mut file = disk.open_or_create(&path).map_err(io)?;
            let locked = match file.try_lock() {
                Ok(()) => true,
                Err(TryLockError::WouldBlock) => {
                    return Err(LockError::Taken(session.to_owned()));
                }
                Err(TryLockError::Error(error)) if knows_no_locks(&error) => false,
                Err(TryLockError::Error(error)) => return Err(io(error)),
            };
            // Between opening and locking its last holder may have removed it.
            if tries < MOST_TRIES && !file.is_at(&path).map_err(io)? {
                continue;
            }
            let bytes = file.read_to_end().map_err(io)?;
            if !locked && is_still_beating(&mut *file, &bytes).map_err(io)? {
                return Err(LockError::Taken(session.to_owned()));
            }
            let (last, heartbeat) = Heartbeat::find(&bytes).unzip();
            let lock = Self {
                disk: Arc::clone(disk),
                file,
                path,
                locked,
                beats: 0,
                room: last.map_or(0, other_room),
            };
            return Ok((lock, heartbeat));
        }
    }

    /// Whether the system keeps others away; if not, it is up to people not to open a sitting twice.
    pub const fn is_locked(&self) -> bool {
        self.locked
    }

    /// Writes that the sitting goes on. Every eleventh time it waits for the disk, so whoever calls it
    /// is a thread that may wait. A heartbeat that cannot be written is no harm to the sitting.
    ///
    /// # Errors
    /// What the system says.
    pub fn beat(&mut self, heartbeat: &Heartbeat) -> io::Result<()> {
        self.beats = self.beats.wrapping_add(1);
        let line = heartbeat.line();
        let from = (self.room * ROOM) as u64;
        self.file.write_over(from, line.as_bytes())?;
        self.room = other_room(self.room);
        if self.beats % SYNC_EVERY == 1 {
            self.file.sync()?;
        }
        Ok(())
    }

    /// Whether its file is still where it belongs: somebody may have removed or replaced it, and another program
    /// could then take the sitting.
    pub fn is_in_place(&self) -> bool {
        // What cannot be told now is told at the next beat.
        !matches!(self.file.is_at(&self.path), Ok(false))
    }

    /// Gives up a sitting that has ended or was left, and removes the lock's file.
    pub fn release(self) {
        let Self {
            disk, file, path, ..
        } = self;
        // Windows removes no file that is held. Elsewhere nobody is to take it between the two.
        let held = if cfg!(windows) {
            drop(file);
            None
        } else {
            Some(file)
        };
        let _a_lock_left_behind_does_no_harm = disk.remove(&path);
        drop(held);
    }
}

const fn other_room(room: usize) -> usize {
    1 - room
}

/// Whether a running program has the sitting of this file; nothing is changed.
pub fn is_in_use(session: &Path) -> bool {
    let session = place::itself(session);
    holds_the_file(&session) || holds_the_lock(&session)
}

fn holds_the_lock(session: &Path) -> bool {
    // Whoever sits has the lock's file open; the last heartbeat is for whoever carries on with the sitting.
    place::sibling(session, "lock").exists()
        && matches!(Lock::take(session), Err(LockError::Taken(_)))
}

#[cfg(unix)]
fn holds_the_file(session: &Path) -> bool {
    // A pipe under this name would have whoever opens it wait.
    std::fs::metadata(session).is_ok_and(|about| about.is_file())
        && matches!(
            std::fs::File::open(session).map(|file| file.try_lock()),
            Ok(Err(TryLockError::WouldBlock))
        )
}

#[cfg(not(unix))]
const fn holds_the_file(_: &Path) -> bool {
    false
}

/// Where there are no locks, whether another program writes heartbeats: what is read again after more than two of
/// them is another then. A file that nobody has written to is waited for by nobody.
fn is_still_beating(file: &mut dyn DiskFile, before: &[u8]) -> io::Result<bool> {
    if before.is_empty() {
        return Ok(false);
    }
    std::thread::sleep(LISTEN);
    file.rewind()?;
    Ok(file.read_to_end()? != before)
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
    use std::fs;

    use super::*;
    use crate::domain::event::Event;
    use crate::storage::journal::samples::{beat, stamped};

    #[test]
    fn the_last_beat_is_there_for_the_next_holder_and_gone_after_a_release() {
        let dir = tempfile::tempdir().unwrap();
        let session = dir.path().join("otter/a.session.ron");
        let (mut lock, before) = Lock::take(&session).unwrap();
        assert!(lock.is_locked() && before.is_none());
        for at in 0..25 {
            lock.beat(&beat(at * 1000)).unwrap();
        }
        let refused = Lock::take(&session).unwrap_err().to_string();
        assert!(refused.contains("another window"), "{refused}");
        drop(lock);
        let (again, before) = Lock::take(&session).unwrap();
        assert_eq!(before, Some(beat(24_000)));
        again.release();
        assert!(!dir.path().join("otter/a.lock").exists());
        assert_eq!(Lock::take(&session).unwrap().1, None);
    }

    /// Whatever becomes of the bytes of one beat, the one before is known; of any length, whoever has the lock.
    #[test]
    fn a_beat_that_is_written_by_half_leaves_the_one_before() {
        let dir = tempfile::tempdir().unwrap();
        let session = dir.path().join("otter/a.session.ron");
        let path = dir.path().join("otter/a.lock");
        let with = |at: u64, count: usize| Heartbeat {
            unsaved: vec![stamped(at - 500, Event::BreakStarted); count],
            ..beat(at)
        };
        let (mut lock, _) = Lock::take(&session).unwrap();
        lock.beat(&beat(1000)).unwrap();
        let mut before = beat(1000);
        for (at, count) in (2000..).step_by(1000).zip([0, 3, 0, 1, 7, 2, 100, 0, 0]) {
            let old = fs::read(&path).unwrap();
            let next = with(at, count);
            lock.beat(&next).unwrap();
            let new = fs::read(&path).unwrap();
            for cut in 0..new.len() {
                let rest = old.get(cut..).unwrap_or_default();
                let half = [&new[..cut], rest].concat();
                let read = Heartbeat::parse(&half).unwrap();
                assert!(read == before || read.at == next.at, "{at}: {cut}");
            }
            before = Heartbeat::parse(&new).unwrap();
            assert_eq!(before.at, next.at);
            if at % 3000 == 0 {
                drop(lock);
                lock = Lock::take(&session).unwrap().0;
            }
        }
    }

    /// A network folder without locks, and two machines on it.
    #[test]
    fn without_locks_heartbeats_tell_that_another_has_it() {
        let dir = tempfile::tempdir().unwrap();
        let [killed, alive] = ["a.lock", "b.lock"].map(|name| dir.path().join(name));
        let open = |path: &Path| RealDisk.open_or_create(path).unwrap();
        assert!(!is_still_beating(&mut *open(&killed), b"").unwrap());
        let [_, mut theirs] = [&killed, &alive].map(|path| {
            let mut file = open(path);
            file.write_all(beat(500).line().as_bytes()).unwrap();
            file
        });
        let beats = |path: &Path| {
            let before = fs::read(path).unwrap();
            is_still_beating(&mut *open(path), &before).unwrap()
        };
        std::thread::scope(|scope| {
            scope.spawn(|| {
                std::thread::sleep(LISTEN / 3);
                theirs.rewind().unwrap();
                theirs.write_all(beat(1000).line().as_bytes()).unwrap();
            });
            let killed = scope.spawn(|| beats(&killed));
            assert!(beats(&alive));
            assert!(!killed.join().unwrap(), "it was killed");
        });
    }

    #[cfg(unix)]
    #[test]
    fn a_lock_is_its_owners_alone_and_a_place_that_is_none_is_told() {
        use std::os::unix::fs::PermissionsExt;
        let dir = tempfile::tempdir().unwrap();
        let session = dir.path().join("otter/a.session.ron");
        let _lock = Lock::take(&session).unwrap();
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!(mode(&dir.path().join("otter/a.lock")), 0o600);
        assert_eq!(mode(&dir.path().join("otter")), 0o700);
        let blocked = dir.path().join("otter/a.lock/x/b.session.ron");
        let told = Lock::take(&blocked).unwrap_err().to_string();
        assert!(told.contains("cannot be opened"), "{told}");
    }
}
