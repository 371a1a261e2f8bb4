//! The built program, line by line, ended at its n-th change to the disk or refused its n-th operation.
//!
//! No test that holds locks itself runs in this process: what a program is started from has its locks in common with it
//! until the program's own code is loaded.
#![cfg(test)]
#![cfg(target_os = "linux")]

#[path = "common/campaign.rs"]
mod campaign;
#[path = "common/countdown.rs"]
mod countdown;
#[path = "common/memory.rs"]
mod memory;

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread;
use std::time::Duration;

use pacebell::clock::{Clock as _, SystemClock};
use pacebell::domain::event::Stamped;
use pacebell::domain::header::Alias;
use pacebell::storage::journal::{self, JournalError, recover};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use campaign::{say, since};

/// A sitting is ended this often before it is let to its end.
const MOST_LIVES: u32 = 6;
/// So many programs wait side by side.
const SIDE_BY_SIDE: usize = 4;
/// A life changes the disk no more often than this.
const MOST_CHANGES: u32 = 30;

struct Room {
    dir: tempfile::TempDir,
}

/// What a run of the program said.
struct Told {
    code: Option<i32>,
    err: String,
}

impl Room {
    fn new() -> Self {
        let dir = memory::folder();
        fs::create_dir(dir.path().join("sessions")).unwrap();
        fs::create_dir(dir.path().join("sample-papers")).unwrap();
        let home = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-papers");
        for name in ["saltmarsh-a.paper.ron", "saltmarsh-a.key.ron"] {
            let to = dir.path().join("sample-papers").join(name);
            fs::copy(home.join(name), to).unwrap();
        }
        Self { dir }
    }

    fn sessions(&self) -> PathBuf {
        self.dir.path().join("sessions")
    }

    fn is_open(&self) -> bool {
        let found = journal::open_sittings(&self.sessions(), Some(&Alias::new("otter").unwrap()));
        !found.unwrap().records.is_empty()
    }

    /// Begins the sitting or goes on with it, and types lines one after another, with pauses as `pause` says.
    fn sit(&self, lines: &[&str], mut pause: impl FnMut() -> u64, env: &[(&str, String)]) -> Told {
        let words = if self.is_open() {
            "sit --pupil otter --plain"
        } else {
            "sit saltmarsh-a --pupil otter --plain"
        };
        let root = self.dir.path();
        let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
        program.args(words.split(' ')).current_dir(root).env_clear();
        program.env("HOME", root).stdin(Stdio::piped());
        program.stdout(Stdio::null()).stderr(Stdio::piped());
        program.env("LD_PRELOAD", countdown::library().unwrap());
        let under = fs::canonicalize(self.sessions()).unwrap();
        program
            .env("KILL_UNDER", under)
            .env("SYNCED_TO", root.join("synced"));
        program.env("FAILED_TO", root.join("refused"));
        for (name, value) in env {
            program.env(name, value);
        }
        let mut child = program.spawn().unwrap();
        let mut stdin = child.stdin.take().unwrap();
        for line in lines {
            // Whoever was ended reads nothing.
            if stdin.write_all(format!("{line}\n").as_bytes()).is_err() {
                break;
            }
            thread::sleep(Duration::from_micros(pause()));
        }
        drop(stdin);
        let output = child.wait_with_output().unwrap();
        Told {
            code: output.status.code(),
            err: String::from_utf8_lossy(&output.stderr).into_owned(),
        }
    }

    /// The events that were on the disk when a file was synced last, in this run: what a page shows as saved.
    fn synced(&self) -> Option<Vec<Stamped>> {
        let told = self.dir.path().join("synced");
        let text = fs::read_to_string(&told).unwrap_or_default();
        let _each_run_tells_its_own = fs::remove_file(told);
        let mut sessions = text.lines().filter(|line| line.ends_with(".session.ron"));
        let (length, path) = sessions.next_back()?.split_once(' ')?;
        let Ok(bytes) = fs::read(path) else {
            // A sitting whose clock could not be started leaves no file.
            assert!(journal::list(&self.sessions()).unwrap().records.is_empty());
            return None;
        };
        let bytes = &bytes[..length.parse().unwrap()];
        let scan = recover::scan(bytes).expect("what was synced can be read");
        assert!(scan.damage.is_none() && scan.torn.is_none(), "{scan:?}");
        Some(scan.events)
    }

    /// Says whether anything was refused in the last run.
    fn was_refused(&self) -> bool {
        fs::remove_file(self.dir.path().join("refused")).is_ok()
    }

    /// The next start on a sound disk: the sitting goes on to its end, with every event that was synced before.
    fn ends_well(&self, promised: &[Stamped], what: &str) {
        let was_open = self.is_open();
        let told = self.sit(&["start", "a", "", "b", "finish", "y"], || 0, &[]);
        assert_eq!(told.code, Some(0), "{what}: {}", told.err);
        let found = journal::list(&self.sessions()).unwrap();
        for (path, why) in &found.unreadable {
            let begun = !matches!(**why, JournalError::NoHeader(_));
            assert!(!begun, "{what}: {}: {why}", path.display());
        }
        // One that was ended between its last event and its seal has none.
        let ended = found.records.iter().filter(|record| record.is_closed());
        let held = ended
            .clone()
            .any(|record| record.events.starts_with(promised));
        assert!(held, "{what}: {promised:?} are not in {:?}", found.records);
        assert_eq!(found.records.len(), ended.count(), "{what}");
        assert!(
            was_open || promised.is_empty() || found.records.len() > 1,
            "{what}"
        );
    }
}

/// What is typed: answers, a mind changed, a flag, and the end.
const LINES: [&str; 13] = [
    "start", "a", "b", "", "c", "flag", "", "d", "e", "", "a", "finish", "y",
];

/// Ends the program so many times; gives in how many sittings.
fn ends(wanted: u32, seed: u64) -> u32 {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let (mut ends, mut sittings) = (0, 0);
    while ends < wanted {
        sittings += 1;
        let room = Room::new();
        let mut promised: Vec<Stamped> = Vec::new();
        for life in 0..MOST_LIVES {
            if !promised.is_empty() && !room.is_open() {
                // It was ended when the sitting was over.
                break;
            }
            let at = random.random_range(1..=MOST_CHANGES);
            let what = format!("seed {seed}, sitting {sittings}, life {life}, at {at}");
            let slow = random.random_range(0..4000);
            let env = [("KILL_AT", at.to_string())];
            let told = room.sit(&LINES, || random.random_range(0..=slow), &env);
            if let Some(synced) = room.synced() {
                assert!(
                    synced.starts_with(&promised),
                    "{what}: {promised:?}, now {synced:?}"
                );
                promised = synced;
            }
            match told.code {
                None => {
                    ends += 1;
                    if ends % 500 == 0 {
                        say(&format!("{ends} ends, {sittings} sittings, 0 failures"));
                    }
                }
                Some(0) => break,
                Some(_) => panic!("{what}: {}", told.err),
            }
        }
        room.ends_well(&promised, &format!("seed {seed}, sitting {sittings}"));
    }
    sittings
}

#[test]
fn ended_at_any_change_to_the_disk_the_sitting_goes_on_with_all_that_was_saved() {
    if countdown::library().is_none() {
        return;
    }
    // Most of it is waiting, so several wait side by side.
    thread::scope(|scope| {
        for seed in 0..10 {
            scope.spawn(move || ends(3, 20_261_125 + seed));
        }
    });
}

/// `PACEBELL_ENDS` and `PACEBELL_SEED` choose how many and which.
#[test]
#[ignore = "many minutes long: the program ended ten thousand times"]
fn ended_ten_thousand_times_the_sitting_goes_on_with_all_that_was_saved() {
    if countdown::library().is_none() {
        return;
    }
    let start = SystemClock.read().mono_ms;
    let number = |name: &str| std::env::var(name).ok()?.parse().ok();
    let wanted = number("PACEBELL_ENDS").unwrap_or(10_000);
    let seed = number("PACEBELL_SEED").unwrap_or_else(rand::random::<u32>);
    say(&format!("seed {seed}"));
    let sittings = ends(wanted, u64::from(seed));
    say(&format!(
        "{wanted} ends in {sittings} sittings, seed {seed}, 0 failures, {:.0} s",
        since(start).as_secs_f64()
    ));
}

/// Refuses operations of a sitting, the next one `step` says further on; gives how many runs there were.
fn refuse(step: impl Fn(u32) -> u32, errors: &[i32]) -> u32 {
    let mut runs = 0;
    for name in ["FAIL_AT", "FAIL_FOR_EVER"] {
        for error in errors {
            let mut at = 1;
            loop {
                // Most of it is waiting, so several wait side by side.
                let next = std::iter::successors(Some(at), |at| Some(step(*at)));
                let next: Vec<_> = next.take(SIDE_BY_SIDE + 1).collect();
                let (side_by_side, after) = next.split_at(SIDE_BY_SIDE);
                let all_refused = thread::scope(|scope| {
                    let refused = |at| move || is_refused(name, at, *error);
                    let each = side_by_side.iter().map(|at| scope.spawn(refused(*at)));
                    let each: Vec<_> = each.collect();
                    each.into_iter().all(|run| run.join().unwrap())
                });
                runs += u32::try_from(side_by_side.len()).unwrap();
                if !all_refused {
                    break;
                }
                at = after[0];
            }
        }
    }
    runs
}

/// A sitting whose operation of this number is refused; says whether it came to that one.
fn is_refused(name: &str, at: u32, error: i32) -> bool {
    let what = format!("{name} {at}, error {error}");
    let room = Room::new();
    let env = [(name, at.to_string()), ("FAIL_WITH", error.to_string())];
    let told = room.sit(&LINES, || 0, &env);
    let promised = room.synced().unwrap_or_default();
    if !room.was_refused() {
        assert_eq!(told.code, Some(0), "{what}: {}", told.err);
        return false;
    }
    match told.code {
        Some(0) => assert!(!room.is_open(), "{what}"),
        Some(1) => assert!(told.err.starts_with("pacebell: "), "{what}: {}", told.err),
        other => panic!("{what}: {other:?} {}", told.err),
    }
    room.ends_well(&promised, &what);
    true
}

#[test]
fn refused_an_operation_the_sitting_goes_on_or_says_why_not() {
    if countdown::library().is_some() {
        refuse(|at| at + 1 + at / 4, &[5]);
    }
}

#[test]
#[ignore = "a minute long: every operation of a sitting refused, with five errors"]
fn refused_any_operation_the_sitting_goes_on_or_says_why_not() {
    if countdown::library().is_some() {
        let start = SystemClock.read().mono_ms;
        let runs = refuse(|at| at + 1, &[2, 5, 13, 28, 30]);
        say(&format!(
            "{runs} runs, 0 failures, {:.0} s",
            since(start).as_secs_f64()
        ));
    }
}
