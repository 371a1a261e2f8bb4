//! A disk that goes wrong on command, by a C library put before the system's own.

use std::fs;
use std::path::PathBuf;
use std::process::Command;
use std::sync::OnceLock;

use super::{Room, Start};

/// The library, built once; nothing where there is no C compiler.
fn library() -> Option<&'static PathBuf> {
    static LIBRARY: OnceLock<Option<PathBuf>> = OnceLock::new();
    LIBRARY.get_or_init(build).as_ref()
}

fn build() -> Option<PathBuf> {
    let library = PathBuf::from(env!("CARGO_TARGET_TMPDIR"))
        .join(format!("faulty_disk-{}.so", std::process::id()));
    let source = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/shim/faulty_disk.c");
    let mut cc = Command::new("cc");
    cc.args(["-shared", "-fPIC", "-O1", "-Wall", "-Werror", "-o"])
        .arg(&library)
        .args([source, "-ldl", "-lpthread"]);
    let built = match cc.output() {
        Ok(built) => built,
        Err(no_compiler) => {
            super::say(&format!(
                "skipped: no C compiler (`cc`) to build a faulty disk with: {no_compiler}"
            ));
            return None;
        }
    };
    assert!(
        built.status.success(),
        "{}",
        String::from_utf8_lossy(&built.stderr)
    );
    Some(library)
}

/// The faults of one room's disk.
pub(crate) struct Faults {
    word: PathBuf,
    under: PathBuf,
}

impl Faults {
    /// A disk that is well so far; nothing where it cannot be built.
    pub(crate) fn of(room: &Room) -> Option<Self> {
        library()?;
        let word = room.path().join("faults");
        fs::create_dir(&word).unwrap();
        Some(Self {
            word,
            under: fs::canonicalize(room.path()).unwrap().join("sessions"),
        })
    }

    /// Has the program run on this disk.
    pub(crate) fn on(&self, start: Start) -> Start {
        start
            .env("LD_PRELOAD", library().unwrap().to_str().unwrap())
            .env("FAULTY_UNDER", self.under.to_str().unwrap())
            .env("FAULTY_WORD", self.word.to_str().unwrap())
    }

    /// Lets something go wrong from now on.
    pub(crate) fn begin(&self, fault: &str, number: u64) {
        let (being_written, told) = (self.word.join("new"), self.word.join(fault));
        fs::write(&being_written, number.to_string()).unwrap();
        fs::rename(being_written, told).unwrap();
    }

    /// Lets it be well again.
    pub(crate) fn end(&self, fault: &str) {
        fs::remove_file(self.word.join(fault)).unwrap();
    }

    /// Whether a fault that happens once has happened.
    pub(crate) fn is_over(&self, fault: &str) -> bool {
        !self.word.join(fault).exists()
    }
}
