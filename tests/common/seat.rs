//! A person's terminal with the program running in it.

use std::io::{Read, Write};
use std::sync::{Arc, Condvar, Mutex, MutexGuard};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use portable_pty::{Child, MasterPty, PtySize};

use super::{PATIENCE, now, until};

/// What the terminal does with what the program sends.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Reading {
    /// It shows it.
    On,
    /// It hangs: nothing is taken from the program any more.
    Held,
    /// It is being closed.
    Closing,
}

struct Shown {
    parser: vt100::Parser,
    bytes: Vec<u8>,
    reading: Reading,
    ended: bool,
    /// When the first byte came since this was last emptied.
    first: Option<Instant>,
}

/// A terminal and the program in it.
pub(crate) struct Seat {
    child: Box<dyn Child + Send + Sync>,
    master: Option<Box<dyn MasterPty + Send>>,
    keys: Option<Box<dyn Write + Send>>,
    reader: Option<JoinHandle<()>>,
    shown: Arc<(Mutex<Shown>, Condvar)>,
}

impl Seat {
    /// Begins to show what `child` sends.
    pub(crate) fn new(
        child: Box<dyn Child + Send + Sync>,
        master: Box<dyn MasterPty + Send>,
        (columns, rows): (u16, u16),
    ) -> Self {
        let mut output = master.try_clone_reader().unwrap();
        let keys = master.take_writer().unwrap();
        let parser = vt100::Parser::new(rows.try_into().unwrap(), columns.try_into().unwrap(), 0);
        let shown = Shown {
            parser,
            bytes: vec![],
            reading: Reading::On,
            ended: false,
            first: None,
        };
        let shown = Arc::new((Mutex::new(shown), Condvar::new()));
        let theirs = Arc::clone(&shown);
        let reader = std::thread::spawn(move || read(&mut *output, &theirs));
        Self {
            child,
            master: Some(master),
            keys: Some(keys),
            reader: Some(reader),
            shown,
        }
    }

    fn shown(&self) -> MutexGuard<'_, Shown> {
        self.shown.0.lock().unwrap()
    }

    /// Presses keys, as bytes.
    pub(crate) fn press(&mut self, keys: impl AsRef<[u8]>) {
        let writer = self.keys.as_mut().unwrap();
        writer.write_all(keys.as_ref()).unwrap();
        writer.flush().unwrap();
    }

    /// Presses a key that may have been the last one too: apart, so that it is not taken for held.
    pub(crate) fn tap(&mut self, key: &str) {
        std::thread::sleep(Duration::from_millis(150));
        self.press(key);
    }

    /// Presses keys, and gives how long it took until the first byte came back.
    pub(crate) fn press_timed(&mut self, keys: &str) -> Duration {
        self.shown().first = None;
        let pressed = now();
        self.press(keys);
        let begun = now();
        let mut shown = self.shown();
        loop {
            if let Some(first) = shown.first {
                return first.saturating_duration_since(pressed);
            }
            let left = PATIENCE.saturating_sub(begun.elapsed());
            assert!(!left.is_zero() && !shown.ended, "no answer to {keys}");
            shown = self.shown.1.wait_timeout(shown, left).unwrap().0;
        }
    }

    /// The text on the screen.
    pub(crate) fn text(&self) -> String {
        self.shown().parser.screen().contents()
    }

    /// Everything that the program has sent.
    pub(crate) fn bytes(&self) -> Vec<u8> {
        self.shown().bytes.clone()
    }

    /// Looks at the screen's cells.
    pub(crate) fn screen<T>(&self, look: impl FnOnce(&vt100::Screen) -> T) -> T {
        look(self.shown().parser.screen())
    }

    /// Waits until the screen satisfies `seen`; shows the screen when it never does.
    pub(crate) fn wait(&self, what: &str, seen: impl Fn(&str) -> bool) -> String {
        let begun = now();
        let mut shown = self.shown();
        loop {
            let text = shown.parser.screen().contents();
            if seen(&text) {
                return text;
            }
            let left = PATIENCE.saturating_sub(begun.elapsed());
            if left.is_zero() || shown.ended {
                let how = if shown.ended {
                    "the program ended"
                } else {
                    "time ran out"
                };
                panic!("waiting for {what}: {how}; the screen shows:\n{text}");
            }
            shown = self.shown.1.wait_timeout(shown, left).unwrap().0;
        }
    }

    /// Waits until the screen shows `words`.
    pub(crate) fn sees(&self, words: &str) -> String {
        self.wait(&format!("`{words}`"), |text| text.contains(words))
    }

    /// Waits until everything is told as saved, no answer with the sign that it is not.
    pub(crate) fn sees_saved(&self) -> String {
        // Of the sheet alone: sentences have apostrophes.
        let unsaved = |line: &str| {
            let row = line.split_once('│');
            row.is_some_and(|(row, _)| row.contains('\''))
        };
        let saved = |text: &str| text.lines().next().unwrap_or_default().ends_with("  saved");
        self.wait("`saved`", |text| saved(text) && !text.lines().any(unsaved))
    }

    /// The text on the screen, no frame being half drawn: nothing has come for some milliseconds.
    pub(crate) fn settled(&self) -> String {
        loop {
            let before = self.shown().bytes.len();
            std::thread::sleep(Duration::from_millis(6));
            let shown = self.shown();
            if shown.bytes.len() == before {
                return shown.parser.screen().contents();
            }
        }
    }

    /// Changes the window's size.
    pub(crate) fn resize(&self, cols: u16, rows: u16) {
        let size = PtySize {
            rows,
            cols,
            pixel_width: 0,
            pixel_height: 0,
        };
        let mut shown = self.shown();
        shown
            .parser
            .screen_mut()
            .set_size(rows.try_into().unwrap(), cols.try_into().unwrap());
        self.master.as_ref().unwrap().resize(size).unwrap();
    }

    /// The program's process.
    pub(crate) fn pid(&self) -> u32 {
        self.child.process_id().unwrap()
    }

    /// Sends a signal by name, such as `KILL`.
    pub(crate) fn signal(&self, name: &str) {
        super::process::signal(self.pid(), name);
    }

    /// Takes nothing more from the program: a terminal that hangs.
    pub(crate) fn hang(&self) {
        self.shown().reading = Reading::Held;
    }

    /// Closes the window: the terminal is gone for the program.
    pub(crate) fn close_window(&mut self) {
        self.shown().reading = Reading::Closing;
        self.shown.1.notify_all();
        // The reader has an end of the terminal too; it lets go at the next byte that comes.
        let size = PtySize {
            rows: 23,
            cols: 79,
            pixel_width: 0,
            pixel_height: 0,
        };
        self.master.as_ref().unwrap().resize(size).unwrap();
        let reader = self.reader.take().unwrap();
        until("the terminal's own end", || {
            reader.is_finished().then_some(())
        });
        self.keys = None;
        self.master = None;
    }

    /// Waits for the program's end and gives its exit code.
    pub(crate) fn end(&mut self) -> u32 {
        let begun = now();
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                assert_eq!(status.signal(), None, "ended by a signal");
                self.everything_shown();
                return status.exit_code();
            }
            let waited = begun.elapsed();
            assert!(
                waited < PATIENCE,
                "the program does not end; the screen shows:\n{}",
                self.text()
            );
            std::thread::sleep(Duration::from_millis(3));
        }
    }

    /// Kills it and waits for its end.
    pub(crate) fn kill(&mut self) {
        // Not by the terminal's library, which would hang up first.
        self.signal("KILL");
        let status = self.child.wait().unwrap();
        assert_eq!(
            status.signal().map(str::to_owned),
            Some("Killed".to_owned()),
            "{status:?}"
        );
    }

    fn everything_shown(&self) {
        if self.master.is_some() && self.shown().reading == Reading::On {
            until("the last of the program's output", || {
                self.shown().ended.then_some(())
            });
        }
    }

    /// Checks that the terminal is as it was: the shell's screen, its cursor, keys line by line.
    pub(crate) fn assert_given_back(&self) {
        self.screen(|screen| {
            assert!(!screen.alternate_screen(), "the other screen is still on");
            assert!(!screen.hide_cursor(), "the cursor is hidden");
            assert!(!screen.bracketed_paste(), "pastes are still bracketed");
        });
        assert!(!self.is_raw(), "the terminal is still raw");
    }

    /// Whether keys come one by one, without an echo.
    pub(crate) fn is_raw(&self) -> bool {
        let name = self.master.as_ref().unwrap().tty_name().unwrap();
        let told = std::process::Command::new("stty")
            .arg("-a")
            .arg("-F")
            .arg(name)
            .output()
            .unwrap();
        let told = String::from_utf8(told.stdout).unwrap();
        let raw = told.contains("-icanon") && told.contains("-echo ");
        assert!(
            raw || (told.contains(" icanon") && told.contains(" echo ")),
            "half raw: {told}"
        );
        raw
    }
}

fn read(output: &mut dyn Read, shown: &(Mutex<Shown>, Condvar)) {
    let (shown, changed) = shown;
    let mut bytes = [0; 8192];
    loop {
        let held = |shown: &mut Shown| shown.reading == Reading::Held;
        // A test that panicked with the lock needs no reader any more.
        let Ok(guard) = shown.lock() else { return };
        drop(changed.wait_while(guard, held));
        let count = output.read(&mut bytes).unwrap_or(0);
        let came = now();
        let Ok(mut shown) = shown.lock() else { return };
        shown.first.get_or_insert(came);
        let bytes = bytes.get(..count).unwrap_or_default();
        shown.parser.process(bytes);
        shown.bytes.extend_from_slice(bytes);
        shown.ended = count == 0;
        changed.notify_all();
        if count == 0 || shown.reading == Reading::Closing {
            return;
        }
    }
}

impl Drop for Seat {
    fn drop(&mut self) {
        if matches!(self.child.try_wait(), Ok(None)) {
            let _ = self.child.kill();
        }
        // A reader that was held would keep its end of the terminal for ever.
        if let Ok(mut shown) = self.shown.0.lock() {
            shown.reading = Reading::Closing;
        }
        self.shown.1.notify_all();
    }
}
