//! The program in a pseudo-terminal, and what a person would see there.
//!
//! No sleeps: every step waits for its visible effect, up to [`PATIENCE`].
#![expect(clippy::unwrap_used, clippy::panic, reason = "a test that cannot go on must stop and show its screen")]

use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Condvar, Mutex};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, ExitStatus, MasterPty, PtySize, native_pty_system};

/// How long a visible effect may take on a busy machine.
pub(crate) const PATIENCE: Duration = Duration::from_secs(20);

/// The built program.
pub(crate) const PROGRAM: &str = env!("CARGO_BIN_EXE_pacebell");

struct Shown {
    parser: vt100::Parser,
    ended: bool,
    /// Bytes received so far.
    received: usize,
}

/// A person's terminal with the program running in it.
pub(crate) struct Seat {
    child: Box<dyn Child + Send + Sync>,
    master: Option<Box<dyn MasterPty + Send>>,
    keys: Option<Box<dyn Write + Send>>,
    shown: Arc<(Mutex<Shown>, Condvar)>,
}

/// How to start the program.
pub(crate) struct Start<'a> {
    /// The folder it runs in; also its home.
    pub(crate) folder: &'a Path,
    /// The words after the program's name.
    pub(crate) words: Vec<String>,
    /// Columns and rows.
    pub(crate) size: (u16, u16),
    /// Further environment.
    pub(crate) env: Vec<(String, String)>,
}

impl<'a> Start<'a> {
    /// Starts in `folder` at 80x24.
    pub(crate) fn new(folder: &'a Path, words: &[&str]) -> Self {
        Self { folder, words: words.iter().map(|word| (*word).to_owned()).collect(), size: (80, 24), env: vec![] }
    }

    /// The same at another size.
    pub(crate) fn size(mut self, columns: u16, rows: u16) -> Self {
        self.size = (columns, rows);
        self
    }

    /// The same with a variable set.
    pub(crate) fn env(mut self, name: &str, value: &str) -> Self {
        self.env.push((name.to_owned(), value.to_owned()));
        self
    }

    /// Runs it.
    pub(crate) fn run(self) -> Seat {
        let (cols, rows) = self.size;
        let size = PtySize { rows, cols, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(PROGRAM);
        command.args(&self.words);
        command.cwd(self.folder);
        command.env_clear();
        command.env("TERM", "xterm-256color");
        command.env("HOME", self.folder);
        command.env("PATH", std::env::var_os("PATH").unwrap_or_default());
        for (name, value) in &self.env {
            command.env(name, value);
        }
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let mut output = pair.master.try_clone_reader().unwrap();
        let keys = pair.master.take_writer().unwrap();
        let parser = vt100::Parser::new(rows.try_into().unwrap(), cols.try_into().unwrap(), 0);
        let shown = Arc::new((Mutex::new(Shown { parser, ended: false, received: 0 }), Condvar::new()));
        let reader = Arc::clone(&shown);
        std::thread::spawn(move || {
            let mut bytes = [0; 8192];
            loop {
                let count = output.read(&mut bytes).unwrap_or(0);
                let mut shown = reader.0.lock().unwrap();
                shown.parser.process(bytes.get(..count).unwrap_or_default());
                shown.received += count;
                shown.ended = count == 0;
                reader.1.notify_all();
                if count == 0 {
                    return;
                }
            }
        });
        Seat { child, master: Some(pair.master), keys: Some(keys), shown }
    }
}

impl Seat {
    /// Presses keys, as bytes.
    pub(crate) fn press(&mut self, keys: &str) {
        let writer = self.keys.as_mut().unwrap();
        writer.write_all(keys.as_bytes()).unwrap();
        writer.flush().unwrap();
    }

    /// The text on the screen.
    pub(crate) fn text(&self) -> String {
        self.shown.0.lock().unwrap().parser.screen().contents()
    }

    /// Bytes received so far.
    pub(crate) fn received(&self) -> usize {
        self.shown.0.lock().unwrap().received
    }

    /// Whether the cursor is hidden and whether the other screen is on.
    pub(crate) fn taken(&self) -> (bool, bool) {
        let shown = self.shown.0.lock().unwrap();
        (shown.parser.screen().hide_cursor(), shown.parser.screen().alternate_screen())
    }

    /// Waits until the screen satisfies `seen`; shows the screen when it never does.
    pub(crate) fn wait(&self, what: &str, seen: impl Fn(&str) -> bool) -> String {
        let (lock, changed) = &*self.shown;
        let begun = now();
        let mut shown = lock.lock().unwrap();
        loop {
            let text = shown.parser.screen().contents();
            if seen(&text) {
                return text;
            }
            let left = PATIENCE.saturating_sub(begun.elapsed());
            if left.is_zero() || shown.ended {
                let how = if shown.ended { "the program ended" } else { "time ran out" };
                panic!("waiting for {what}: {how}; the screen shows:\n{text}");
            }
            shown = changed.wait_timeout(shown, left).unwrap().0;
        }
    }

    /// Waits until the screen shows `words`.
    pub(crate) fn sees(&self, words: &str) -> String {
        self.wait(&format!("`{words}`"), |text| text.contains(words))
    }

    /// Changes the window's size.
    pub(crate) fn resize(&self, cols: u16, rows: u16) {
        let size = PtySize { rows, cols, pixel_width: 0, pixel_height: 0 };
        self.master.as_ref().unwrap().resize(size).unwrap();
        let mut shown = self.shown.0.lock().unwrap();
        shown.parser.screen_mut().set_size(rows.max(1).try_into().unwrap(), cols.max(1).try_into().unwrap());
    }

    /// The program's process.
    pub(crate) fn pid(&self) -> i32 {
        i32::try_from(self.child.process_id().unwrap()).unwrap()
    }

    /// Sends a signal by name, such as `KILL`.
    pub(crate) fn signal(&self, name: &str) {
        let sent = std::process::Command::new("kill").args(["-s", name, &self.pid().to_string()]).status();
        assert!(sent.unwrap().success());
    }

    /// Closes the window: the terminal is gone for the program.
    pub(crate) fn close_window(&mut self) {
        self.keys = None;
        self.master = None;
    }

    /// Waits for the program's end.
    pub(crate) fn end(&mut self) -> ExitStatus {
        let begun = now();
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status;
            }
            if begun.elapsed() >= PATIENCE {
                let _ = self.child.kill();
                panic!("the program does not end; the screen shows:\n{}", self.text());
            }
            std::thread::sleep(Duration::from_millis(5));
        }
    }
}

impl Drop for Seat {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The moment, for patience only: nothing is judged by it.
#[expect(clippy::disallowed_methods, reason = "a test's patience is no exam clock")]
pub(crate) fn now() -> Instant {
    Instant::now()
}

/// The one session file below `folder`.
pub(crate) fn session_file(folder: &Path) -> PathBuf {
    let mut found = session_files(folder);
    assert_eq!(found.len(), 1, "{found:?}");
    found.remove(0)
}

/// Every session file below `folder`, sorted.
pub(crate) fn session_files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
            let path = entry.path();
            if path.is_dir() {
                folders.push(path);
            } else if path.to_string_lossy().ends_with(".session.ron") {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// A sample paper by its name.
pub(crate) fn sample(name: &str) -> String {
    format!("{}/sample-papers/{name}", env!("CARGO_MANIFEST_DIR"))
}
