//! The thread that keeps the time.

use std::sync::{Arc, Mutex, PoisonError, Weak};
use std::thread;
use std::time::Duration;

use super::{Held, Seat, Shared};
use crate::domain::time::Elapsed;
use crate::storage::disk::operations::Disk;
use crate::storage::journal::{Lock, Wake};

/// The longest it looks away: sleep and a changed clock are seen within this, and a kill gives no
/// more time. A tenth less than the second that is promised, since nobody is woken quite in time; what a waiting sitting
/// costs is nearly all for these looks.
const LOOK: Duration = Duration::from_millis(900);

/// Looks at the clock at least every nine tenths of a second, so that time up is recorded at its moment even while
/// the page waits for a terminal that does not read; and says at each look that the sitting goes on.
///
/// `wake` is called when time is up. The thread ends with the sitting, or when nobody else has the
/// seat any more.
pub fn keep_time(shared: &Shared, wake: impl Fn() + Send + 'static) {
    let keeper = TimeKeeper::of(shared, wake);
    thread::spawn(move || {
        while let Some(away) = keeper.look() {
            thread::sleep(away);
        }
    });
}

/// Keeps the time of a seat, without keeping the seat.
pub struct TimeKeeper {
    seat: Weak<Mutex<Seat>>,
    held: Weak<Mutex<Option<Held>>>,
    disk: Arc<dyn Disk>,
    wake: Wake,
}

impl TimeKeeper {
    /// One for this seat; `wake` is called when time is up.
    pub fn of(shared: &Shared, wake: impl Fn() + Send + 'static) -> Self {
        Self {
            seat: Arc::downgrade(&shared.seat),
            held: Arc::downgrade(&shared.held),
            disk: Arc::clone(&shared.disk),
            wake: Box::new(wake),
        }
    }

    /// One look at the clock and the file, with a heartbeat; gives how long to look away, or nothing when there is
    /// nothing left to look at.
    pub fn look(&self) -> Option<Duration> {
        let (heartbeat, path, lookout, away) = {
            let seat = self.seat.upgrade()?;
            let mut seat = seat.lock().unwrap_or_else(PoisonError::into_inner);
            let before = seat.sitting.phase();
            let now = seat.look();
            // Whoever draws first may be waiting for the terminal.
            seat.writer.hand_on();
            if seat.sitting.phase() != before {
                (self.wake)();
            }
            if seat.sitting.is_closed() {
                return None;
            }
            (
                seat.heartbeat(),
                seat.writer.path(),
                seat.writer.lookout(),
                until(seat.sitting.deadline(), now),
            )
        };
        // Before the beat, which may wait for the disk.
        lookout.look();
        drop(lookout);
        let held = self.held.upgrade()?;
        let mut held = held.lock().unwrap_or_else(PoisonError::into_inner);
        let keeping = held.as_mut()?;
        let moved = keeping.path != path;
        let mut before = None;
        if moved || !keeping.lock.is_in_place() {
            // The sitting is saved elsewhere now, or somebody has taken the lock's file away; where there can be
            // none it goes on with the old one.
            if let Ok((lock, _)) = Lock::take_on(&self.disk, &path) {
                let old = std::mem::replace(keeping, Held { lock, path });
                before = Some(old.lock).filter(|_| moved);
            }
        }
        // A heartbeat that cannot be written costs nothing but a second after a kill.
        let beaten = keeping.lock.beat(&heartbeat).is_ok();
        // Until there is a heartbeat in the new place, the one in the old place is the last.
        if let Some(before) = before.filter(|_| beaten) {
            before.release();
        }
        Some(away)
    }
}

/// How long to look away, so that the next look is no later than what happens by itself.
fn until(next: Option<Elapsed>, now: Elapsed) -> Duration {
    let ahead = next.map_or(LOOK, |next| {
        Duration::from_millis(next.since(now).as_millis())
    });
    ahead.clamp(Duration::from_millis(1), LOOK)
}
