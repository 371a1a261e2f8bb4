//! A tutor's folder for one test: the old files, and what lies beside them in a season.

use std::collections::BTreeMap;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;

use pacebell::storage::disk::canonical;

use crate::countdown;
use crate::old::paths::slashed;
use crate::old::{Answer, OldFiles};

/// A copy of the folder below, which takes a second to make.
pub(crate) fn lived_in() -> OldFiles {
    static ONCE: OnceLock<OldFiles> = OnceLock::new();
    let once = ONCE.get_or_init(made);
    let files = OldFiles::copied();
    let root = |files: &OldFiles| as_in_a_list(files.path());
    for (inside, bytes) in tree(once.path()) {
        let path = files.path().join(inside);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    let pages = files.path().join("sessions/pages.ron");
    let text = fs::read_to_string(&pages).unwrap();
    let (from, to) = (root(once), root(&files));
    assert!(text.contains(&from), "{text}");
    fs::write(pages, text.replace(&from, &to)).unwrap();
    files
}

/// A path as the list of pages has it: whole, and a backslash written twice.
pub(crate) fn as_in_a_list(path: &Path) -> String {
    let whole = canonical(path).unwrap();
    whole.to_str().unwrap().replace('\\', "\\\\")
}

/// A folder with sittings, notes, plans, a torn end, a lock, practice, a drill, a register, pages and what the
/// fallback folder has taken.
fn made() -> OldFiles {
    let files = OldFiles::copied();
    let root = files.path();
    let marten = root.join("sessions/marten");
    let session = files.sitting("marten", "a");
    let stem = session.strip_suffix(".session.ron").unwrap();
    let beside = |ending: &str, text: &str| {
        fs::write(root.join(format!("{stem}.{ending}")), text).unwrap();
    };
    beside("torn", "(n:44,at:12,utc:\"2026-");
    beside("lock", "");
    beside(
        "practice.ron",
        &chained(&["(n:0,pupil:\"marten\",format:1)", "(n:1,tried:3)"]),
    );
    fs::write(marten.join("keys.drill.ron"), "(pupil:\"marten\",at:5)\n").unwrap();
    fs::create_dir(marten.join("letters")).unwrap();
    fs::write(marten.join("letters/to-parents.txt"), "marten did well").unwrap();
    let register =
        "(format: 1, pupils: [(alias: \"marten\", extra_time: 25), (alias: \"teasel\")])";
    fs::write(root.join("sessions/register.ron"), register).unwrap();
    for words in [
        "set-aside @marten-a --because false-start",
        "set-aside @marten-a --back",
        "plan marten --paper saltmarsh-b",
        "plan marten --paper saltmarsh-b -o marten.plan.ron",
        "feedback @marten-a --key @a.key -o otherwise-named.html",
        "feedback sessions --key @a.key --key @b.key --key @old.key --group all",
        "progress marten --csv marten.csv",
    ] {
        let answer = files.run(words);
        assert_eq!(answer.code, Some(0), "{words}: {}", answer.err);
    }
    let fallback = root.join(".local/share/pacebell/sessions/marten");
    fs::create_dir_all(&fallback).unwrap();
    let taken = renewed(&fs::read_to_string(root.join(&session)).unwrap());
    fs::write(
        fallback.join("2026-10-01-0900-saltmarsh-a.session.ron"),
        taken,
    )
    .unwrap();
    let cache = root.join(".cache/pacebell");
    fs::create_dir_all(&cache).unwrap();
    fs::write(cache.join("seen"), "marten 3").unwrap();
    files
}

/// Opens the list of sittings once, so that it is remembered who is in it.
pub(crate) fn listed(files: &OldFiles) {
    let answer = run(files.path(), "review --plain", "", &[]);
    assert_eq!(answer.code, Some(0), "{}", answer.err);
    let cached = with_bytes(&files.path().join(".cache/pacebell/review"), "marten");
    assert_eq!(cached.len(), 1, "{cached:?}");
}

/// Records as chained lines.
pub(crate) fn chained(records: &[&str]) -> String {
    let mut crc = 0;
    let lines = records.iter().map(|record| {
        crc = crc32fast::hash(format!("{crc:08x}{record}").as_bytes());
        format!("{record} // {crc:08x}\n")
    });
    lines.collect()
}

/// The same log as another sitting, which a full disk had sent elsewhere.
pub(crate) fn renewed(text: &str) -> String {
    let records: Vec<_> = text
        .lines()
        .map(|line| line.rsplit_once(" // ").unwrap().0)
        .collect();
    let first = records[0].replacen("marten-2026", "marten-2025", 1);
    let mut records = records;
    records[0] = &first;
    chained(&records)
}

/// Runs the program with something typed at it.
pub(crate) fn typed(files: &OldFiles, words: &str, typed: &str) -> Answer {
    run(files.path(), words, typed, &[])
}

/// Runs the program with something typed, and variables set.
pub(crate) fn run(folder: &Path, words: &str, typed: &str, env: &[(&str, &str)]) -> Answer {
    let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
    program
        .args(words.split(' '))
        .current_dir(folder)
        .env_clear()
        .envs(crate::old::user::at_home(folder))
        .envs(["TMPDIR", "TMP"].map(|name| (name, folder.join("tmp"))))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    for (name, value) in env {
        program.env(name, value);
    }
    let mut child = program.spawn().unwrap();
    // One that is killed at once reads nothing.
    let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
    let output = child.wait_with_output().unwrap();
    Answer {
        code: output.status.code(),
        out: String::from_utf8_lossy(&output.stdout).into_owned(),
        err: slashed(&String::from_utf8_lossy(&output.stderr)),
    }
}

/// The same on a disk that kills the program before its change number `at` below `under`: it has no code then.
pub(crate) fn killed_at(folder: &Path, under: &Path, words: &str, typed: &str, at: u32) -> Answer {
    let under = fs::canonicalize(under).unwrap();
    let number = at.to_string();
    let env = [
        ("LD_PRELOAD", countdown::library().unwrap()),
        ("KILL_UNDER", under.to_str().unwrap()),
        ("KILL_AT", number.as_str()),
    ];
    run(folder, words, typed, &env)
}

/// Every file below a folder, hidden ones and all, with its bytes.
pub(crate) fn tree(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut all = BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let inside = path.strip_prefix(folder).unwrap().to_owned();
                all.insert(inside, fs::read(path).unwrap());
            }
        }
    }
    all
}

/// The files below a folder in whose names or bytes a text stands.
pub(crate) fn with_bytes(folder: &Path, text: &str) -> Vec<PathBuf> {
    let holds = |bytes: &[u8]| {
        bytes
            .windows(text.len())
            .any(|own| own.eq_ignore_ascii_case(text.as_bytes()))
    };
    let all = tree(folder).into_iter();
    let found =
        all.filter(|(path, bytes)| holds(path.to_string_lossy().as_bytes()) || holds(bytes));
    found.map(|(path, _)| path).collect()
}
