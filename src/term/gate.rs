//! Lets another program read the terminal for a while: the thread that reads keys then waits.
//!
//! A read that has begun cannot be called off, and would take the other program's first key. So where
//! another may come to read, each key is read only once the loop has come back for it: what a key
//! leads to happens before that.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, RecvError, RecvTimeoutError, SendError, Sender};
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use super::inbox::Inbox;

struct KeysRead {
    /// Whether keys are read one by one.
    one_by_one: bool,
    /// How many messages the reading thread has sent.
    sent: u64,
    /// How many of them the loop has had, and up to which it is done with them.
    had: u64,
    done: u64,
}

static TURN: Mutex<KeysRead> = Mutex::new(KeysRead {
    one_by_one: false,
    sent: 0,
    had: 0,
    done: 0,
});
static CHANGED: Condvar = Condvar::new();

/// Whether another program reads the terminal now.
static ANOTHER: AtomicBool = AtomicBool::new(false);

fn turn() -> MutexGuard<'static, KeysRead> {
    TURN.lock().unwrap_or_else(PoisonError::into_inner)
}

const fn is_read(message: &Inbox) -> bool {
    matches!(message, Inbox::Key(_) | Inbox::Pasted)
}

/// Has each key read only once [`next`] comes back for it. What waits in the inbox stays there.
pub fn read_one_by_one(inbox: &Receiver<Inbox>, send: &Sender<Inbox>) {
    let mut own = turn();
    let mut waiting = 0;
    for message in inbox.try_iter().collect::<Vec<_>>() {
        waiting += u64::from(is_read(&message));
        // The inbox is there: it is what was just read.
        let _sent = send.send(message);
    }
    own.had = own.sent - waiting;
    own.done = own.had;
    own.one_by_one = true;
}

/// Has keys read as they come.
pub fn read_as_they_come() {
    turn().one_by_one = false;
    CHANGED.notify_all();
}

/// Whether keys are read one by one now.
pub(super) fn is_one_by_one() -> bool {
    turn().one_by_one
}

/// Whether a key waits in the inbox, so that a page drawn now is out of date at once.
pub(super) fn a_key_waits() -> bool {
    let own = turn();
    own.sent > own.had
}

fn come_back() {
    let mut own = turn();
    own.done = own.had;
    let one_by_one = own.one_by_one;
    drop(own);
    // Nobody waits otherwise, and telling asks the system each time.
    if one_by_one {
        CHANGED.notify_all();
    }
}

/// Waits for what the loop is to do next.
///
/// # Errors
/// Nothing sends any more.
pub fn next(inbox: &Receiver<Inbox>) -> Result<Inbox, RecvError> {
    come_back();
    let message = inbox.recv()?;
    turn().had += u64::from(is_read(&message));
    Ok(message)
}

/// The same, for so long at most.
///
/// # Errors
/// Nothing came in that time, or nothing sends any more.
pub fn next_within(inbox: &Receiver<Inbox>, most: Duration) -> Result<Inbox, RecvTimeoutError> {
    come_back();
    let message = inbox.recv_timeout(most)?;
    turn().had += u64::from(is_read(&message));
    Ok(message)
}

/// Sends what was read, and waits where the next is not to be read yet.
pub(super) fn sent(send: &Sender<Inbox>, message: Inbox) -> Result<(), SendError<Inbox>> {
    let mut own = turn();
    own.sent += u64::from(is_read(&message));
    send.send(message)?;
    while own.one_by_one && own.done < own.sent {
        own = CHANGED.wait(own).unwrap_or_else(PoisonError::into_inner);
    }
    Ok(())
}

/// Whether another program reads the terminal now, so that what interrupts it is meant for it alone.
#[cfg(unix)]
pub(super) fn another_reads() -> bool {
    ANOTHER.load(Ordering::SeqCst)
}

/// Does what has another program read the terminal.
pub fn while_another_reads<T>(other: impl FnOnce() -> T) -> T {
    ANOTHER.store(true, Ordering::SeqCst);
    let done = other();
    ANOTHER.store(false, Ordering::SeqCst);
    done
}
