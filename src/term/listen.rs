//! The threads that only send.

use std::sync::mpsc::Sender;
use std::thread;
#[cfg(unix)]
use std::time::Duration;

#[cfg(not(unix))]
use crossterm::event::{self, Event, KeyEventKind};

#[cfg(not(unix))]
use super::burst::{self, Burst};
use super::inbox::Inbox;
#[cfg(unix)]
use super::typed::Typed;
use super::{LastWords, TermError, gate};

/// How long the loop has to end after a signal before the program ends without it: it may be
/// waiting for a terminal that does not read.
#[cfg(unix)]
const GRACE: Duration = Duration::from_millis(1500);

/// The threads, started.
pub struct Listener(());

/// Starts the threads that read keys, signals and the terminal's end.
///
/// `last_words` is what to write down if the loop does not end by itself after a signal.
pub fn listen(send: &Sender<Inbox>, last_words: LastWords) -> Result<Listener, TermError> {
    signals(send.clone(), last_words).map_err(TermError::Io)?;
    terminal_end(send.clone());
    keys(send.clone());
    Ok(Listener(()))
}

/// Reads what is typed, as it comes: whatever waits in the terminal is asked for again after each read.
#[cfg(unix)]
fn keys(send: Sender<Inbox>) {
    thread::spawn(move || {
        // The window may have another size since the first page was drawn.
        let _ = send.send(Inbox::Resized);
        let _ = read_keys(&send);
        let _ = send.send(Inbox::Lost);
    });
}

#[cfg(unix)]
fn read_keys(send: &Sender<Inbox>) -> rustix::io::Result<()> {
    use rustix::io::{Errno, ioctl_fionread, read};

    let stdin = std::io::stdin();
    let mut typed = Typed::default();
    let mut bytes = [0; 1024];
    loop {
        let mut came = Vec::new();
        match comes_within(&stdin, typed.patience()) {
            Ok(false) => typed.pause(&mut |message| came.push(message)),
            Ok(true) => {
                let there = ioctl_fionread(&stdin).unwrap_or_default();
                let there = usize::try_from(there).unwrap_or(usize::MAX);
                // What comes behind a key may be for another program.
                let most = if gate::is_one_by_one() && !typed.is_in_paste() {
                    1
                } else {
                    bytes.len()
                };
                let room = bytes.get_mut(..most).unwrap_or_default();
                match read(&stdin, room) {
                    Ok(0) => return Err(Errno::IO),
                    Ok(length) => {
                        let read = bytes.get(..length).unwrap_or_default();
                        typed.take(read, there, &mut |message| came.push(message));
                    }
                    Err(Errno::INTR | Errno::AGAIN) => {}
                    Err(error) => return Err(error),
                }
            }
            Err(Errno::INTR) => {}
            Err(error) => return Err(error),
        }
        for message in came {
            if gate::sent(send, message).is_err() {
                return Ok(());
            }
        }
    }
}

/// Whether something can be read within so many milliseconds; where none are given, it is waited for.
#[cfg(all(unix, not(target_os = "macos")))]
fn comes_within(stdin: &std::io::Stdin, millis: Option<u32>) -> rustix::io::Result<bool> {
    use rustix::event::{PollFd, PollFlags, Timespec, poll};

    let wait = millis.map(|millis| Timespec {
        tv_sec: 0,
        tv_nsec: i64::from(millis) * 1_000_000,
    });
    let mut watched = [PollFd::new(stdin, PollFlags::IN)];
    poll(&mut watched, wait.as_ref()).map(|ready| ready > 0)
}

/// The same by `select`: on macOS `poll` knows no terminals (`poll(2)`, "Bugs").
#[cfg(target_os = "macos")]
fn comes_within(stdin: &std::io::Stdin, millis: Option<u32>) -> rustix::io::Result<bool> {
    use filedescriptor::{Error, POLLIN, poll, pollfd};
    use rustix::io::Errno;
    use std::os::fd::AsRawFd;

    let wait = millis.map(|millis| Duration::from_millis(u64::from(millis)));
    let fd = stdin.as_raw_fd();
    let (events, revents) = (POLLIN, 0);
    match poll(
        &mut [pollfd {
            fd,
            events,
            revents,
        }],
        wait,
    ) {
        Ok(ready) => Ok(ready > 0),
        Err(Error::Io(error) | Error::Poll(error)) => {
            Err(Errno::from_io_error(&error).unwrap_or(Errno::IO))
        }
        Err(_) => Err(Errno::IO),
    }
}

#[cfg(not(unix))]
fn keys(send: Sender<Inbox>) {
    thread::spawn(move || {
        let _ = send.send(Inbox::Resized);
        if read_keys(&send).is_err() {
            let _ = send.send(Inbox::Lost);
        }
    });
}

/// Reads until nobody listens any more, or the console is gone.
#[cfg(not(unix))]
fn read_keys(send: &Sender<Inbox>) -> std::io::Result<()> {
    let mut burst = Burst::default();
    loop {
        let mut came = Vec::new();
        match event::read()? {
            // A release would make every key act twice.
            Event::Key(key) if key.kind != KeyEventKind::Release => burst.take(key),
            Event::Paste(_) => came.push(Inbox::Pasted),
            Event::Resize(..) => came.push(Inbox::Resized),
            Event::Key(_) | Event::FocusGained | Event::FocusLost | Event::Mouse(_) => {}
        }
        // What comes behind a key may be for another program.
        if gate::is_one_by_one() || !event::poll(burst::WITHIN)? {
            came.extend(burst.end());
        }
        for message in came {
            if gate::sent(send, message).is_err() {
                return Ok(());
            }
        }
    }
}

/// Starts the thread that waits for signals alone, for a program that reads lines.
pub fn listen_to_signals(
    send: &Sender<Inbox>,
    last_words: LastWords,
) -> Result<Listener, TermError> {
    signals(send.clone(), last_words).map_err(TermError::Io)?;
    Ok(Listener(()))
}

#[cfg(unix)]
fn signals(send: Sender<Inbox>, last_words: LastWords) -> std::io::Result<()> {
    use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGWINCH};
    use signal_hook::iterator::Signals;

    let mut signals = Signals::new([SIGCONT, SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGWINCH])?;
    thread::spawn(move || {
        for signal in signals.forever() {
            if signal == SIGWINCH {
                let _ = send.send(Inbox::Resized);
                continue;
            }
            if signal == SIGCONT {
                let _ = send.send(Inbox::Back);
                continue;
            }
            if signal == SIGINT && gate::another_reads() {
                continue;
            }
            let number = u8::try_from(signal).unwrap_or(u8::MAX);
            let message = if signal == SIGHUP {
                Inbox::Lost
            } else {
                Inbox::Stop(number)
            };
            let _ = send.send(message);
            thread::sleep(GRACE);
            end_without_the_loop(number, &last_words);
        }
    });
    Ok(())
}

#[cfg(not(unix))]
fn signals(_send: Sender<Inbox>, _last_words: LastWords) -> std::io::Result<()> {
    Ok(())
}

/// The loop hangs: write down what is to be written, try to give the terminal back, and end.
#[cfg(unix)]
#[expect(
    clippy::exit,
    reason = "the loop is blocked in a write that may never return"
)]
fn end_without_the_loop(signal: u8, last_words: &LastWords) {
    last_words();
    // Giving back may block on the same terminal, so it gets a thread and a moment.
    thread::spawn(super::give_back);
    thread::sleep(Duration::from_millis(300));
    std::process::exit(128 + i32::from(signal));
}

/// Waits, at no cost, until the terminal is gone: a window closed without a signal.
#[cfg(all(unix, not(target_os = "macos")))]
fn terminal_end(send: Sender<Inbox>) {
    thread::spawn(move || {
        let stdin = std::io::stdin();
        loop {
            let mut watched = [rustix::event::PollFd::new(
                &stdin,
                rustix::event::PollFlags::empty(),
            )];
            if rustix::event::poll(&mut watched, None) != Err(rustix::io::Errno::INTR) {
                let _ = send.send(Inbox::Lost);
                return;
            }
        }
    });
}

/// Whoever reads the keys notices it here: on macOS `poll` with no events waits for nothing, on Windows there is
/// nothing to wait for.
#[cfg(any(not(unix), target_os = "macos"))]
fn terminal_end(_send: Sender<Inbox>) {}
