//! The program in a pseudo-terminal, and what a person would see there.
//!
//! No sleeps as proof: every step waits for its visible effect, up to [`PATIENCE`].

pub(crate) mod files;
pub(crate) mod process;
pub(crate) mod seat;
pub(crate) mod shim;

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use portable_pty::{CommandBuilder, PtySize, native_pty_system};

pub(crate) use seat::Seat;

/// How long a visible effect may take on a busy machine.
pub(crate) const PATIENCE: Duration = Duration::from_secs(30);

/// The built program.
pub(crate) const PROGRAM: &str = env!("CARGO_BIN_EXE_pacebell");

/// How to start the program.
pub(crate) struct Start {
    program: PathBuf,
    /// The folder it runs in; also its home.
    folder: PathBuf,
    words: Vec<String>,
    size: (u16, u16),
    env: Vec<(String, String)>,
}

impl Start {
    /// Starts in `folder` at 80x24.
    pub(crate) fn new(folder: &Path, words: &[&str]) -> Self {
        Self {
            program: PathBuf::from(PROGRAM),
            folder: folder.to_owned(),
            words: words.iter().map(|word| (*word).to_owned()).collect(),
            size: (80, 24),
            env: vec![],
        }
    }

    /// The same with another program.
    pub(crate) fn program(mut self, program: &str) -> Self {
        self.program = PathBuf::from(program);
        self
    }

    /// The same with a variable set.
    pub(crate) fn env(mut self, name: &str, value: impl Into<String>) -> Self {
        self.env.push((name.to_owned(), value.into()));
        self
    }

    /// The same by way of a shell: `script` finds the program and its words in `"$0" "$@"`.
    pub(crate) fn by(mut self, shell: &str, script: &str) -> Self {
        let program = std::mem::replace(&mut self.program, PathBuf::from(shell));
        let program = program.to_string_lossy().into_owned();
        let before = ["-c".to_owned(), script.to_owned(), program];
        self.words.splice(0..0, before);
        self
    }

    /// Runs it.
    pub(crate) fn run(self) -> Seat {
        let (cols, rows) = self.size;
        let size = PtySize {
            rows,
            cols,
            pixel_width: 0,
            pixel_height: 0,
        };
        let pair = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(&self.program);
        command.args(&self.words);
        command.cwd(&self.folder);
        command.env_clear();
        command.env("TERM", "xterm-256color");
        command.env("HOME", &self.folder);
        command.env("PATH", std::env::var_os("PATH").unwrap_or_default());
        for (name, value) in &self.env {
            command.env(name, value);
        }
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        Seat::new(child, pair.master, self.size)
    }
}

/// A pupil's folder for one test: sittings are kept in it, and the sample papers lie there.
pub(crate) struct Room(tempfile::TempDir);

impl Room {
    /// A folder with nothing sat yet.
    pub(crate) fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        std::fs::create_dir(dir.path().join("sessions")).unwrap();
        let papers = dir.path().join("sample-papers");
        std::fs::create_dir(&papers).unwrap();
        for name in ["saltmarsh-a.paper.ron", "saltmarsh-a.key.ron"] {
            let from = Path::new(env!("CARGO_MANIFEST_DIR"))
                .join("sample-papers")
                .join(name);
            std::fs::copy(from, papers.join(name)).unwrap();
        }
        Self(dir)
    }

    /// Where it lies.
    pub(crate) fn path(&self) -> &Path {
        self.0.path()
    }

    /// Words that sit the sample paper for so many minutes.
    pub(crate) fn sit(&self, minutes: &str) -> Start {
        Start::new(
            self.path(),
            &[
                "sit",
                "saltmarsh-a",
                "--pupil",
                "otter",
                "--minutes",
                minutes,
            ],
        )
    }

    /// Words that take the open sitting up again.
    pub(crate) fn go_on(&self) -> Start {
        Start::new(self.path(), &["sit", "--pupil", "otter"])
    }
}

/// A sitting whose clock has just been started, on its first question.
pub(crate) fn begin(start: Start) -> Seat {
    let mut seat = start.run();
    seat.sees("Read this out");
    seat.press("s");
    seat.sees("Enter starts the clock at once");
    seat.press("\r");
    seat.sees("Esc menu");
    seat
}

/// An open sitting carried on, with its sheet on the screen.
pub(crate) fn go_on(start: Start) -> Seat {
    let mut seat = start.run();
    seat.sees("> Carry on with it");
    seat.press("s");
    seat.sees("Any other key");
    seat.press("\r");
    // The foot comes last.
    seat.sees("Esc menu");
    seat
}

/// The moment on the test's own clock, for patience and for judging the program's clock from outside.
#[expect(
    clippy::disallowed_methods,
    reason = "a test measures with a clock of its own"
)]
pub(crate) fn now() -> Instant {
    Instant::now()
}

/// Tells whoever runs the tests.
pub(crate) fn say(line: &str) {
    let _nobody_may_be_listening = writeln!(std::io::stderr(), "{line}");
}

/// Looks every few milliseconds until there is something.
pub(crate) fn until<T>(what: &str, mut look: impl FnMut() -> Option<T>) -> T {
    let begun = now();
    loop {
        if let Some(found) = look() {
            return found;
        }
        assert!(begun.elapsed() < PATIENCE, "waited in vain for {what}");
        std::thread::sleep(Duration::from_millis(3));
    }
}
