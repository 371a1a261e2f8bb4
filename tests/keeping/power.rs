//! The power cut while a pupil is renamed or folders are gathered, after a run that was killed or refused an operation:
//! a new file is on the disk before an old one goes.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use pacebell::domain::event::Stamped;
use pacebell::storage::journal;

use crate::countdown;
use crate::gather::{id_of, say};
use crate::old::{OldFiles, memory};
use crate::room::{run, with_bytes};

/// A change of names that is not on the disk for certain.
#[derive(Clone, Debug)]
enum Change {
    Put(PathBuf, u64),
    Moved(PathBuf, PathBuf),
    Gone(PathBuf),
}

impl Change {
    fn folder(&self) -> Option<&Path> {
        match self {
            Self::Put(path, _) | Self::Gone(path) | Self::Moved(_, path) => path.parent(),
        }
    }

    fn apply(&self, names: &mut Names) {
        match self {
            Self::Put(path, number) => drop(names.insert(path.clone(), *number)),
            Self::Gone(path) => drop(names.remove(path)),
            Self::Moved(from, to) => {
                if let Some(number) = names.remove(from) {
                    names.insert(to.clone(), number);
                }
            }
        }
    }
}

/// What lies under a name: a file by its number, or a folder.
type Names = BTreeMap<PathBuf, u64>;
const FOLDER: u64 = 0;

/// What is on the disk for certain, by the lines that `TRACED_TO` has (`tests/shim/killing_disk.c`).
struct Traced {
    names: Names,
    safe: Names,
    waiting: Vec<Change>,
    bytes: BTreeMap<u64, Vec<u8>>,
    /// Files of which a sync was refused: no later one says anything about them.
    lost: BTreeSet<u64>,
}

impl Traced {
    fn of(root: &Path) -> Self {
        use std::os::unix::fs::MetadataExt as _;
        let (mut names, mut bytes) = (Names::new(), BTreeMap::new());
        let mut folders = vec![root.to_owned()];
        while let Some(folder) = folders.pop() {
            names.insert(folder.clone(), FOLDER);
            for entry in fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    folders.push(path);
                } else {
                    let number = fs::metadata(&path).unwrap().ino();
                    bytes.insert(number, fs::read(&path).unwrap());
                    names.insert(path, number);
                }
            }
        }
        Self {
            safe: names.clone(),
            names,
            waiting: Vec::new(),
            bytes,
            lost: BTreeSet::new(),
        }
    }

    /// Takes a line; says whether something has gone by it, for certain or not.
    fn take(&mut self, line: &str) -> bool {
        let parts: Vec<_> = line.split('\t').collect();
        let change = match parts[..] {
            ["C", number, path] => {
                let number = number.parse().unwrap();
                // A number is given again once its file has gone.
                self.bytes.remove(&number);
                self.lost.remove(&number);
                Change::Put(path.into(), number)
            }
            ["D", path] => Change::Put(path.into(), FOLDER),
            ["H", from, to] => Change::Put(to.into(), self.names[Path::new(from)]),
            ["R", from, to] => Change::Moved(from.into(), to.into()),
            ["U" | "X", path] => Change::Gone(path.into()),
            ["S", number, hex] => {
                let number = number.parse().unwrap();
                if !self.lost.contains(&number) {
                    let digit = |byte: &u8| char::from(*byte).to_digit(16).unwrap();
                    let byte = |two: &[u8]| two.iter().fold(0, |high, low| high * 16 + digit(low));
                    let bytes = hex.as_bytes().chunks(2).map(byte);
                    let bytes = bytes.map(|byte| u8::try_from(byte).unwrap());
                    self.bytes.insert(number, bytes.collect());
                }
                return false;
            }
            ["L", number, ..] => {
                self.lost.insert(number.parse().unwrap());
                return false;
            }
            ["F", path] => {
                for change in std::mem::take(&mut self.waiting) {
                    if change.folder() == Some(Path::new(path)) {
                        change.apply(&mut self.safe);
                    } else {
                        self.waiting.push(change);
                    }
                }
                return true;
            }
            _ => panic!("{line}"),
        };
        change.apply(&mut self.names);
        let goes = matches!(change, Change::Gone(_));
        self.waiting.push(change);
        goes
    }

    /// What a power cut may leave of the names: nothing that is not for certain, all of it, or one folder's alone.
    fn images(&self) -> Vec<Names> {
        let folders: BTreeSet<_> = self.waiting.iter().map(Change::folder).collect();
        let apply = |wanted: &dyn Fn(&Change) -> bool| {
            let mut names = self.safe.clone();
            for change in self.waiting.iter().filter(|change| wanted(change)) {
                change.apply(&mut names);
            }
            names
        };
        let mut images = vec![apply(&|_| false), apply(&|_| true)];
        for folder in folders {
            images.push(apply(&|change| change.folder() == folder));
        }
        images
    }

    fn make(&self, names: &Names, root: &Path, into: &Path) {
        for (path, number) in names {
            let reached = path
                .ancestors()
                .skip(1)
                .take_while(|one| one.starts_with(root));
            if !reached
                .into_iter()
                .all(|one| names.get(one) == Some(&FOLDER))
            {
                continue;
            }
            let to = into.join(path.strip_prefix(root).unwrap());
            if *number == FOLDER {
                fs::create_dir_all(to).unwrap();
            } else {
                let bytes = self.bytes.get(number).map_or(&[][..], Vec::as_slice);
                fs::write(to, bytes).unwrap();
            }
        }
    }
}

/// The sittings in a folder: when each was started, and its events.
fn sittings(folder: &Path) -> BTreeMap<String, Vec<Vec<Stamped>>> {
    let listing = journal::list(folder).unwrap();
    let mut all = BTreeMap::<_, Vec<_>>::new();
    for record in listing.records {
        let started = record.header.started.to_rfc3339();
        all.entry(started).or_default().push(record.events.clone());
    }
    all
}

/// Runs words on a disk that goes wrong as `wrong` says, and again on a sound one; the power is cut wherever something
/// has gone. Says whether anything went wrong.
fn cut(files: &OldFiles, words: &str, wrong: (&str, u32)) -> bool {
    let root = fs::canonicalize(files.path().join("sessions")).unwrap();
    let before = sittings(&root);
    assert!(!before.is_empty());
    let mut traced = Traced::of(&root);
    let trace = tempfile::tempdir().unwrap();
    let to = trace.path().join("trace");
    let (number, failed) = (wrong.1.to_string(), trace.path().join("failed"));
    let env = [
        ("LD_PRELOAD", countdown::library().unwrap()),
        ("KILL_UNDER", root.to_str().unwrap()),
        ("TRACED_TO", to.to_str().unwrap()),
        ("FAIL_WITH", "5"),
        ("FAILED_TO", failed.to_str().unwrap()),
    ];
    let first = [&env[..], &[(wrong.0, number.as_str())]].concat();
    let answer = run(files.path(), words, "", &first);
    let met = answer.code.is_none() || failed.exists();
    if answer.code != Some(0) {
        let again = run(files.path(), words, "", &env);
        let nothing = again.err.contains("nothing is kept");
        assert!(again.code == Some(0) || nothing, "{wrong:?}: {again:?}");
    }
    let mut seen = BTreeSet::new();
    let mut goes = 0;
    for (at, line) in fs::read_to_string(&to).unwrap().lines().enumerate() {
        if !traced.take(line) {
            continue;
        }
        goes += 1;
        for names in traced.images() {
            if !seen.insert(names.clone()) {
                continue;
            }
            let image = memory::folder();
            traced.make(&names, &root, image.path());
            let there = sittings(image.path());
            let noted = with_bytes(image.path(), SAID);
            assert!(
                !noted.is_empty(),
                "{wrong:?}, power cut after line {at} {line}: notes are gone"
            );
            for (started, own) in &before {
                let found = there.get(started);
                for events in own {
                    let held =
                        found.is_some_and(|all| all.iter().any(|all| all.starts_with(events)));
                    assert!(
                        held,
                        "{wrong:?}, power cut after line {at} {line}: {started} is gone"
                    );
                }
            }
        }
    }
    assert!(goes > 2, "{goes} things went");
    met
}

fn sweep(words: &str, files: impl Fn() -> OldFiles) {
    if countdown::library().is_none() {
        return;
    }
    for how in ["KILL_AT", "FAIL_AT"] {
        let mut at = 1;
        while cut(&files(), words, (how, at)) {
            // Readings that are refused change nothing, so some of them do.
            at += if how == "KILL_AT" { 1 } else { 1 + at / 4 };
        }
        assert!(at > 12, "only {at} operations were seen");
    }
}

const SAID: &str = "halved it";

/// A pupil with one sitting and notes on it: no other file brings the folder to the disk.
fn alone() -> OldFiles {
    let files = OldFiles::copied();
    let kept = files.path().join(files.sitting("marten", "a"));
    for entry in fs::read_dir(kept.parent().unwrap()).unwrap() {
        let path = entry.unwrap().path();
        if path != kept {
            fs::remove_file(path).unwrap();
        }
    }
    let text = fs::read_to_string(&kept).unwrap();
    say(&kept, id_of(&text), SAID);
    for other in ["teasel", "lapwing"] {
        fs::remove_dir_all(files.path().join("sessions").join(other)).unwrap();
    }
    files
}

/// The same with an earlier state of the sitting in another folder, for which what a stick brings stands.
fn earlier() -> OldFiles {
    let files = alone();
    let whole = files.path().join(files.sitting("marten", "a"));
    let brought = files.path().join("stick/marten");
    fs::create_dir_all(&brought).unwrap();
    let text = fs::read_to_string(&whole).unwrap();
    fs::rename(&whole, brought.join(whole.file_name().unwrap())).unwrap();
    fs::remove_dir_all(whole.parent().unwrap()).unwrap();
    let term = files.path().join("sessions/term-1");
    fs::create_dir_all(&term).unwrap();
    let first: String = text.split_inclusive('\n').take(20).collect();
    let earlier = term.join("earlier.session.ron");
    fs::write(&earlier, first).unwrap();
    say(&earlier, id_of(&text), SAID);
    files
}

#[test]
fn gathering_that_went_wrong_is_finished_without_a_moment_at_which_a_sitting_is_on_no_disk() {
    sweep("gather stick", earlier);
}

#[test]
fn a_renaming_that_went_wrong_is_finished_without_a_moment_at_which_a_sitting_is_on_no_disk() {
    sweep("rename marten heron", alone);
}
