//! Folders brought together: whatever the order and however often, the same folder; nothing lost, nothing invented.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use chrono::DateTime;
use pacebell::domain::notes::{Notes, Ruling, Said, Vouched};
use pacebell::domain::rule::QuestionNo;
use pacebell::storage::files::notes;
use pacebell::storage::journal;
use pacebell::storage::keeping::{NotKept, gather};
use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::countdown;
use crate::old::{OldFiles, memory};
use crate::room::{chained, killed_at, renewed, tree};

/// The records of a session file, without their checksums.
fn records(text: &str) -> Vec<String> {
    let records = text.lines().map(|line| line.rsplit_once(" // ").unwrap().0);
    records.map(str::to_owned).collect()
}

fn written(records: &[String]) -> String {
    chained(&records.iter().map(String::as_str).collect::<Vec<_>>())
}

/// Folders as sticks and other machines may hold them.
struct World {
    dir: tempfile::TempDir,
    folders: Vec<PathBuf>,
}

impl World {
    fn drawn(random: &mut ChaCha8Rng) -> Self {
        let old = OldFiles::copied();
        let dir = memory::folder();
        let folders: Vec<_> = (0..4)
            .map(|n| dir.path().join(format!("stick-{n}")))
            .collect();
        let sat = [("marten", "a"), ("teasel", "a"), ("lapwing", "b")];
        for folder in &folders {
            for (pupil, paper) in sat {
                let file = old.sitting(pupil, paper);
                let text = fs::read_to_string(old.path().join(&file)).unwrap();
                let name = Path::new(&file)
                    .file_name()
                    .unwrap()
                    .to_str()
                    .unwrap()
                    .to_owned();
                let inside = if random.random_bool(0.5) {
                    "sessions"
                } else {
                    "deep/down"
                };
                let own = folder.join(inside).join(pupil);
                fs::create_dir_all(&own).unwrap();
                for copy in 0..random.random_range(0..3) {
                    let text = varied(&text, random);
                    let name = if copy == 0 {
                        name.clone()
                    } else {
                        format!("copy-{copy}-of-{name}")
                    };
                    let id = text.split_once("sitting:\"").unwrap().1;
                    let id = id.split('"').next().unwrap().to_owned();
                    fs::write(own.join(&name), &text).unwrap();
                    if random.random_bool(0.6) {
                        let ended = text.contains("Closed(");
                        notes::save(&own.join(&name), &noted(&id, ended, random)).unwrap();
                    }
                }
                if random.random_bool(0.5) {
                    let drills: Vec<_> = (0..random.random_range(1..4_u8))
                        .map(|n| {
                            format!(
                                "(n:{n},drill:{})",
                                if random.random_bool(0.2) { 7 } else { 1 }
                            )
                        })
                        .collect();
                    fs::write(own.join("sweep.drill.ron"), written(&drills)).unwrap();
                }
            }
            let pupils = ["marten", "teasel", "heron"]
                .into_iter()
                .filter(|_| random.random_bool(0.5));
            let pupils: Vec<_> = pupils
                .map(|pupil| format!("(alias: \"{pupil}\", extra_time: 25)"))
                .collect();
            let register = format!("(format: 1, pupils: [{}])", pupils.join(", "));
            fs::create_dir_all(folder).unwrap();
            fs::write(folder.join("register.ron"), register).unwrap();
        }
        Self { dir, folders }
    }

    /// Gathers groups of folders one after another into a new folder.
    fn gathered(&self, name: &str, calls: &[Vec<usize>]) -> BTreeMap<PathBuf, Vec<u8>> {
        let into = self.dir.path().join(name);
        for call in calls {
            let from: Vec<_> = call.iter().map(|at| self.folders[*at].clone()).collect();
            gather(&from, &into).unwrap();
        }
        tree(&into)
    }
}

/// A state of a sitting as a stick may hold it: cut short, gone on with elsewhere, with other line ends, torn,
/// damaged, or another sitting of the same minute.
fn varied(text: &str, random: &mut ChaCha8Rng) -> String {
    let mut all = records(text);
    if random.random_bool(0.3) {
        all.truncate(random.random_range(3..all.len()));
    }
    if random.random_bool(0.3) {
        let last = all.last_mut().unwrap();
        let (before, after) = last.split_once(",utc:").unwrap();
        *last = format!("{before}{},utc:{after}", random.random_range(0..3));
    }
    let mut text = written(&all);
    if random.random_bool(0.15) {
        text = text.replacen("sitting:\"", "sitting:\"second-", 1);
        text = written(&records(&text));
    }
    match random.random_range(0..8) {
        0 => text = text.replace('\n', "\r\n"),
        1 => text += "(n:99,at:",
        2 => text = text.replacen("Opened(", "Opened(1", 1),
        _ => {}
    }
    text
}

fn noted(id: &str, ended: bool, random: &mut ChaCha8Rng) -> Notes {
    let at = |random: &mut ChaCha8Rng| {
        let minute = random.random_range(10..14);
        DateTime::parse_from_rfc3339(&format!("2026-11-25T16:{minute}:00+00:00")).unwrap()
    };
    let mut notes = Notes::new(id);
    for _ in 0..random.random_range(0..3) {
        let said = Said {
            cause: None,
            text: format!("word {}", random.random_range(0..6)),
            by: "PB".into(),
            at: at(random),
        };
        notes.say(QuestionNo(random.random_range(1..4)), said);
    }
    // What is not over yet may go on in two ways, and only one of them is then decided about.
    if ended && random.random_bool(0.5) {
        notes.decisions.push(Ruling {
            at: at(random),
            counts: random.random_bool(0.5),
            because: "alarm".into(),
            by: "PB".into(),
        });
    }
    if random.random_bool(0.3) {
        notes.vouched.push(Vouched {
            at: at(random),
            timed: true,
            supervised: random.random_bool(0.5),
            sentence: "calm".into(),
            by: "PB".into(),
        });
    }
    notes
}

/// A file as this program writes it.
fn plain(bytes: &[u8]) -> Vec<u8> {
    String::from_utf8_lossy(bytes)
        .replace("\r\n", "\n")
        .into_bytes()
}

#[test]
fn any_order_and_any_number_of_times_give_the_same_folder() {
    the_same_folder(0..4);
}

#[test]
#[ignore = "minutes long: a hundred worlds"]
fn any_order_and_any_number_of_times_give_the_same_folder_in_a_hundred_worlds() {
    the_same_folder(4..104);
}

fn the_same_folder(seeds: std::ops::Range<u64>) {
    for seed in seeds {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let world = World::drawn(&mut random);
        let wanted = world.gathered("all", &[vec![0, 1, 2, 3]]);
        for turn in 0..3 {
            let mut order = vec![0, 1, 2, 3, 0, 1, 2, 3];
            order.shuffle(&mut random);
            let mut calls: Vec<Vec<usize>> = Vec::new();
            for at in order {
                match calls.last_mut() {
                    Some(last) if random.random_bool(0.5) && !last.contains(&at) => last.push(at),
                    _ => calls.push(vec![at]),
                }
            }
            let other = world.gathered(&format!("turn-{turn}"), &calls);
            let differ = wanted.keys().chain(other.keys());
            let differ: BTreeSet<_> = differ
                .filter(|path| wanted.get(*path) != other.get(*path))
                .collect();
            assert!(differ.is_empty(), "seed {seed}, {calls:?}: {differ:?}");
        }
        nothing_is_lost(&world, &wanted, seed);
    }
}

/// By the bytes alone: each file's whole lines begin a file in the folder, and each file there is one of those.
#[track_caller]
fn nothing_is_lost(world: &World, there: &BTreeMap<PathBuf, Vec<u8>>, seed: u64) {
    let is_log = |path: &Path| {
        let name = path.to_string_lossy().into_owned();
        name.ends_with(".session.ron") || name.ends_with(".drill.ron")
    };
    let mut texts = BTreeSet::new();
    let mut brought = Vec::new();
    for folder in &world.folders {
        for (path, bytes) in tree(folder) {
            if is_log(&path) {
                let bytes = plain(&bytes);
                let torn = bytes.ends_with(b"at:");
                let end = if torn { bytes.len() - 9 } else { bytes.len() };
                let whole = bytes[..end].to_vec();
                let any = there.values().any(|there| plain(there).starts_with(&whole));
                assert!(any, "seed {seed}: {} is nowhere", path.display());
                brought.push(bytes);
            } else if path.to_string_lossy().ends_with(".notes.ron") {
                let notes = notes::from_bytes(&path, &bytes).unwrap().value;
                texts.extend(
                    notes
                        .questions
                        .values()
                        .map(|said| (notes.sitting.clone(), said.text.clone())),
                );
            }
        }
    }
    for (path, bytes) in there.iter().filter(|(path, _)| is_log(path)) {
        assert!(
            brought.contains(&plain(bytes)),
            "seed {seed}: {} is made up",
            path.display()
        );
    }
    let mut kept = BTreeSet::new();
    for (path, bytes) in there
        .iter()
        .filter(|(path, _)| path.to_string_lossy().ends_with(".notes.ron"))
    {
        let notes = notes::from_bytes(path, bytes).unwrap().value;
        let said = notes
            .questions
            .values()
            .chain(notes.earlier.iter().map(|own| &own.said));
        kept.extend(said.map(|said| (notes.sitting.clone(), said.text.clone())));
    }
    assert_eq!(
        texts.difference(&kept).count(),
        0,
        "seed {seed}: notes are lost"
    );
}

#[test]
fn a_stick_brings_what_is_new_and_the_longer_state_and_says_what_differs() {
    let home = OldFiles::copied();
    let stick = OldFiles::copied();
    let file = home.sitting("marten", "a");
    let text = fs::read_to_string(home.path().join(&file)).unwrap();
    let short = written(&records(&text)[..20]);
    fs::write(home.path().join(&file), &short).unwrap();
    fs::remove_dir_all(home.path().join("sessions/teasel")).unwrap();
    let other = home.sitting("lapwing", "b");
    let mut parted = records(&fs::read_to_string(stick.path().join(&other)).unwrap());
    parted.truncate(30);
    let last = parted.pop().unwrap().replacen(",utc:", "1,utc:", 1);
    parted.push(last);
    fs::write(stick.path().join(&other), written(&parted)).unwrap();
    let told = home.run(&format!("gather {}", stick.path().display()));
    assert_eq!(told.code, Some(0), "{}", told.err);
    assert!(told.out.contains("1 longer than before"), "{}", told.out);
    assert!(told.err.contains("say different things"), "{}", told.err);
    let marten = fs::read_dir(home.path().join("sessions/marten")).unwrap();
    let marten: Vec<_> = marten
        .map(|entry| fs::read_to_string(entry.unwrap().path()).unwrap())
        .collect();
    assert!(marten.contains(&text) && !marten.contains(&short));
    let once = tree(&home.path().join("sessions"));
    let again = home.run(&format!("gather {}", stick.path().display()));
    assert!(
        again.out.contains("0 sittings new, 0 longer"),
        "{}",
        again.out
    );
    assert!(tree(&home.path().join("sessions")) == once);
    // The stick is as it was, and its other version waits for the tutor.
    let counted = home.run("progress lapwing").out;
    assert!(
        counted
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
            .contains("two files that say different")
    );
}

#[test]
fn folders_that_make_no_sense_are_told_and_nothing_is_changed() {
    let home = OldFiles::copied();
    let before = tree(home.path());
    for (words, part) in [
        ("gather sessions", "the same, or one is in the other"),
        ("gather sessions/marten", "the same, or one is in the other"),
        ("gather .", "the same, or one is in the other"),
        ("gather nowhere", "no such folder"),
        (
            "gather sample-papers/saltmarsh-a.paper.ron",
            "no such folder",
        ),
    ] {
        let told = home.run(words);
        assert_eq!(told.code, Some(1), "{words}");
        assert!(told.err.contains(part), "{words}: {}", told.err);
        assert!(tree(home.path()) == before, "{words}");
    }
}

#[cfg(unix)]
#[test]
fn links_and_what_cannot_be_read_are_named_and_left() {
    let home = OldFiles::copied();
    let stick = OldFiles::copied();
    let own = stick.path().join("sessions/otter");
    fs::create_dir_all(&own).unwrap();
    std::os::unix::fs::symlink("/etc", own.join("elsewhere")).unwrap();
    fs::write(own.join("cut.session.ron"), "(n:0,header").unwrap();
    fs::write(stick.path().join("1.drill.ron"), "(n:1)").unwrap();
    fs::write(
        own.join("odd.notes.ron"),
        "(format: 2, sitting: \"nowhere\")",
    )
    .unwrap();
    let told = home.run(&format!("gather {}", stick.path().display()));
    assert_eq!(told.code, Some(0), "{}", told.err);
    for part in ["elsewhere", "cut.session.ron", "odd.notes.ron"] {
        assert!(told.err.contains(part), "{part}: {}", told.err);
    }
}

#[test]
fn a_register_that_says_something_else_is_kept_beside_and_named() {
    let home = OldFiles::copied();
    let stick = OldFiles::copied();
    let register = |files: &OldFiles, text: &str| {
        fs::write(files.path().join("sessions/register.ron"), text).unwrap();
    };
    register(
        &home,
        "(format: 1, pupils: [(alias: \"otter\", extra_time: 25)])",
    );
    register(
        &stick,
        "(format: 1, pupils: [(alias: \"otter\", extra_time: 50), (alias: \"teasel\", plain: true)])",
    );
    let told = home.run(&format!("gather {}", stick.path().display()));
    assert!(
        told.err.contains("something else about otter"),
        "{}",
        told.err
    );
    let now = fs::read_to_string(home.path().join("sessions/register.ron")).unwrap();
    assert!(
        now.contains("\"otter\", extra_time: 25") && now.contains("\"teasel\", plain: true"),
        "{now}"
    );
    let kept = tree(&home.path().join("sessions"));
    let kept = kept
        .keys()
        .filter(|path| path.to_string_lossy().starts_with("register-"));
    assert_eq!(kept.count(), 1);
}

/// Ids without the alias are drawn from the file, so that two machines draw the same.
#[test]
fn files_renamed_alike_on_two_machines_are_the_same_sittings() {
    let home = OldFiles::copied();
    let stick = OldFiles::copied();
    assert_eq!(home.run("rename marten heron").code, Some(0));
    assert_eq!(stick.run("rename marten heron").code, Some(0));
    let gather = format!("gather {}", stick.path().display());
    let told = home.run(&gather);
    assert!(
        told.out.contains("0 sittings new"),
        "renamed alike, they are the same: {}",
        told.out
    );
}

/// A stick with a renamed pupil's old files, cut short or whole, changes nothing, in whatever order.
#[test]
fn a_renamed_pupils_old_files_bring_nothing_in_any_order() {
    for seed in 0..3 {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let home = crate::room::lived_in();
        let into = home.path().join("sessions");
        let dir = memory::folder();
        let mut sticks = Vec::new();
        for (n, cut) in [false, true, false].into_iter().enumerate() {
            let stick = dir.path().join(format!("stick-{n}"));
            for (inside, bytes) in tree(&into.join("marten")) {
                let path = stick.join("sessions/marten").join(&inside);
                fs::create_dir_all(path.parent().unwrap()).unwrap();
                let name = inside.to_string_lossy();
                let is_log = name.ends_with(".session.ron");
                if cut && is_log {
                    let mut all = records(&String::from_utf8(bytes).unwrap());
                    all.truncate(random.random_range(3..all.len()));
                    fs::write(path, written(&all)).unwrap();
                } else if is_log
                    || name.ends_with(".practice.ron")
                    || name.ends_with(".drill.ron")
                    || !cut && name.ends_with(".notes.ron")
                {
                    fs::write(path, bytes).unwrap();
                }
            }
            let register = into.join("register.ron");
            fs::copy(register, stick.join("register.ron")).unwrap();
            sticks.push(stick);
        }
        assert_eq!(home.run("rename marten heron").code, Some(0));
        let before = tree(&into);
        for _ in 0..3 {
            sticks.shuffle(&mut random);
            for call in [&sticks[..1], &sticks[1..], &sticks[..]] {
                let report = gather(call, &into).unwrap();
                assert_eq!((report.new, report.longer, report.exercises), (0, 0, 0));
                assert!(!report.left.is_empty());
                assert!(report.differing.is_empty(), "{:?}", report.differing);
                let now = tree(&into);
                let differ = before.keys().chain(now.keys());
                let differ: BTreeSet<_> = differ
                    .filter(|path| before.get(*path) != now.get(*path))
                    .collect();
                assert!(
                    differ.is_empty(),
                    "seed {seed}: {differ:?} {:?}",
                    report.left
                );
            }
        }
        let told = home.run(&format!("gather {}", sticks[0].display()));
        assert!(
            told.err.contains("marten are already here under heron"),
            "{}",
            told.err
        );
    }
}

#[test]
fn two_sittings_of_one_minute_both_stay() {
    let home = OldFiles::copied();
    let stick = OldFiles::copied();
    let file = stick.sitting("marten", "a");
    let text = fs::read_to_string(stick.path().join(&file)).unwrap();
    fs::write(stick.path().join(&file), renewed(&text)).unwrap();
    let count = |files: &OldFiles| {
        journal::list(&files.path().join("sessions"))
            .unwrap()
            .records
            .len()
    };
    let before = count(&home);
    gather(&[stick.path().to_owned()], &home.path().join("sessions")).unwrap();
    assert_eq!(count(&home), before + 1);
}

#[test]
fn a_sitting_that_is_going_on_is_left_alone() {
    let home = OldFiles::copied();
    let stick = OldFiles::copied();
    let file = home.path().join(home.sitting("marten", "a"));
    let text = fs::read_to_string(&file).unwrap();
    let short = written(&records(&text)[..20]);
    fs::write(&file, &short).unwrap();
    let (lock, _) = journal::Lock::take(&file).unwrap();
    let from = [stick.path().to_owned()];
    let into = home.path().join("sessions");
    let report = gather(&from, &into).unwrap();
    assert_eq!(report.longer, 0);
    assert_eq!(report.left.len(), 1, "{:?}", report.left);
    assert_eq!(fs::read_to_string(&file).unwrap(), short);
    lock.release();
    assert_eq!(gather(&from, &into).unwrap().longer, 1);
    let begun = "(format:1,job:Rename(from:\"marten\",to:\"heron\"))\n";
    fs::write(into.join("unfinished.ron"), begun).unwrap();
    let refused = gather(&from, &into).unwrap_err();
    assert!(matches!(refused, NotKept::Unfinished { .. }));
}

/// Killed before each of its changes to the disk, one after another, and begun again.
#[test]
fn gathering_that_is_killed_anywhere_is_finished_by_the_same_words() {
    if countdown::library().is_none() {
        return;
    }
    let mut random = ChaCha8Rng::seed_from_u64(5);
    let world = World::drawn(&mut random);
    let first = vec![vec![0, 1]];
    let wanted = world.gathered("wanted", &[vec![0, 1], vec![2, 3]]);
    let mut at = 1;
    loop {
        let name = format!("killed-{at}");
        world.gathered(&name, &first);
        let under = world.dir.path().join(&name);
        let words = format!("gather stick-2 stick-3 --sessions {name}");
        let killed = killed_at(world.dir.path(), &under, &words, "", at).code;
        if killed == Some(0) {
            assert!(at > 20, "only {at} changes were seen");
            break;
        }
        let again = crate::room::run(world.dir.path(), &words, "", &[]);
        assert_eq!(again.code, Some(0), "{at}: {}", again.err);
        let now = tree(&under);
        let differ = wanted.keys().chain(now.keys());
        let differ: BTreeSet<_> = differ
            .filter(|path| wanted.get(*path) != now.get(*path))
            .collect();
        assert!(differ.is_empty(), "killed at {at}: {differ:?}");
        at += 1 + at / 5;
    }
}

#[test]
fn a_sitting_under_two_aliases_is_named_with_the_way_out() {
    let files =
        |pupils: [&str; 2]| pupils.map(|pupil| PathBuf::from(format!("s/{pupil}/a.session.ron")));
    let said = pacebell::words::keeping::differing(&files(["marten", "heron"]));
    assert!(
        said.contains("only the alias differs")
            && said.contains("pacebell rename heron marten --join"),
        "{said}"
    );
    let said = pacebell::words::keeping::differing(&files(["marten", "marten"]));
    assert!(said.contains("pacebell set-aside FILE"), "{said}");
}

/// Two sticks that disagree about a pupil of whom the register here says nothing: nothing is arranged, and that is said.
#[test]
fn registers_that_disagree_about_a_new_pupil_are_said_to_arrange_nothing() {
    let home = OldFiles::copied();
    let register = |folder: &str, text: &str| {
        let folder = home.path().join(folder);
        fs::create_dir_all(&folder).unwrap();
        fs::write(folder.join("register.ron"), text).unwrap();
    };
    register(
        "sessions",
        "(format: 1, pupils: [(alias: \"otter\", plain: true)])",
    );
    register(
        "one",
        "(format: 1, pupils: [(alias: \"vole\", extra_time: 25)])",
    );
    register(
        "two",
        "(format: 1, pupils: [(alias: \"vole\", extra_time: 50), (alias: \"otter\", extra_time: 5)])",
    );
    let told = home.run("gather one two");
    assert_eq!(told.code, Some(0), "{}", told.err);
    let now = fs::read_to_string(home.path().join("sessions/register.ron")).unwrap();
    assert!(!now.contains("vole"), "{now}");
    let said = told.err.matches("register.ron has no row for vole").count();
    assert_eq!(said, 2, "{}", told.err);
    assert!(told.err.contains("nothing is arranged"), "{}", told.err);
    // Of otter the register here holds.
    let otter = told.err.lines().filter(|line| line.contains("otter"));
    let otter: Vec<_> = otter.collect();
    assert!(
        otter.len() == 1 && otter[0].contains("register.ron holds until you change it"),
        "{otter:?}"
    );
}

/// What is counted is what came, not what is here.
#[test]
fn a_stick_without_sittings_is_named_and_nothing_is_there_already() {
    let home = OldFiles::copied();
    fs::create_dir_all(home.path().join("stick/photos")).unwrap();
    fs::write(home.path().join("stick/photos/a.txt"), "a").unwrap();
    let told = home.run("gather stick");
    assert_eq!(told.code, Some(0), "{}", told.err);
    assert!(
        told.out.contains("0 new, 0 longer") || told.out.contains("0 sittings new"),
        "{}",
        told.out
    );
    assert!(told.out.contains("0 there already"), "{}", told.out);
    assert!(
        told.err
            .contains("stick: there are no sittings in this folder"),
        "{}",
        told.err
    );
    let one = home.sitting("marten", "a");
    let to = home.path().join("stick/marten");
    fs::create_dir_all(&to).unwrap();
    let name = Path::new(&one).file_name().unwrap();
    fs::copy(home.path().join(&one), to.join(name)).unwrap();
    let told = home.run("gather stick");
    assert!(told.out.contains("1 there already"), "{}", told.out);
    assert!(!told.err.contains("there are no sittings"), "{}", told.err);
}

/// A link of somebody else's under the name that a sitting is to have.
#[cfg(unix)]
#[test]
fn what_lies_under_a_name_already_is_not_written_over() {
    let files = OldFiles::copied();
    let session = files.sitting("marten", "a");
    let there = files.path().join(session.replacen("sessions", "fresh", 1));
    fs::create_dir_all(there.parent().unwrap()).unwrap();
    fs::write(files.path().join("elsewhere"), "somebody else's").unwrap();
    std::os::unix::fs::symlink(files.path().join("elsewhere"), &there).unwrap();
    let answer = files.run("gather sessions --sessions fresh");
    assert_eq!(answer.code, Some(1), "{answer:?}");
    assert!(answer.err.contains("says something else"), "{answer:?}");
    assert_eq!(fs::read_to_string(&there).unwrap(), "somebody else's");
    fs::remove_file(&there).unwrap();
    let again = files.run("gather sessions --sessions fresh");
    assert_eq!(again.code, Some(0), "{again:?}");
    assert!(journal::read(&there).is_ok());
}

/// A word on question 1 beside a sitting, and what a load of its notes says.
pub(crate) fn say(session: &Path, id: &str, text: &str) {
    let mut said = Notes::new(id);
    let at = DateTime::parse_from_rfc3339("2026-11-25T16:10:00+00:00").unwrap();
    let word = Said {
        cause: None,
        text: text.into(),
        by: "PB".into(),
        at,
    };
    said.say(QuestionNo(1), word);
    notes::save(session, &said).unwrap();
}

fn said(session: &Path, id: &str) -> Vec<String> {
    let notes = notes::load(session, id).unwrap();
    let questions = notes.questions.values();
    questions.map(|said| said.text.clone()).collect()
}

pub(crate) fn id_of(text: &str) -> &str {
    let (_, after) = text.split_once("sitting:\"").unwrap();
    after.split('"').next().unwrap()
}

/// Of an earlier state that a longer one stands for nothing is left, and its notes are the longer one's.
#[test]
fn an_earlier_state_goes_with_its_notes_and_its_lock() {
    let home = OldFiles::copied();
    let file = home.path().join(home.sitting("marten", "a"));
    let text = fs::read_to_string(&file).unwrap();
    let earlier = file.with_file_name("earlier.session.ron");
    fs::write(&earlier, written(&records(&text)[..20])).unwrap();
    say(&earlier, id_of(&text), "halved it");
    let (lock, _) = journal::Lock::take(&earlier).unwrap();
    drop(lock);
    let beside = || {
        let names = fs::read_dir(file.parent().unwrap()).unwrap();
        let names = names.map(|entry| entry.unwrap().file_name().into_string().unwrap());
        let of_it = names.filter(|name| name.starts_with("earlier."));
        of_it.collect::<BTreeSet<_>>()
    };
    let endings = ["lock", "notes.ron", "session.ron"];
    assert_eq!(
        beside(),
        endings.map(|ending| format!("earlier.{ending}")).into()
    );
    fs::create_dir_all(home.path().join("stick")).unwrap();
    let stick = home.path().join("stick");
    gather(&[stick], &home.path().join("sessions")).unwrap();
    assert_eq!(beside(), BTreeSet::new());
    assert_eq!(fs::read_to_string(&file).unwrap(), text);
    assert_eq!(said(&file, id_of(&text)), ["halved it"]);
}

/// Another sitting of the same minute takes the name, and has no notes; those that lay there stay with their own.
#[test]
fn notes_go_with_their_sitting_where_another_takes_its_name() {
    let home = OldFiles::copied();
    let stick = OldFiles::copied();
    let inside = home.sitting("marten", "a");
    let file = home.path().join(&inside);
    let whole = fs::read_to_string(&file).unwrap();
    let short = written(&records(&whole)[..20]);
    fs::write(&file, &short).unwrap();
    say(&file, id_of(&short), "halved it");
    let other = renewed(&whole);
    fs::write(stick.path().join(&inside), &other).unwrap();
    assert_ne!(id_of(&other), id_of(&short));
    let into = home.path().join("sessions");
    gather(&[stick.path().to_owned()], &into).unwrap();
    assert_eq!(fs::read_to_string(&file).unwrap(), other);
    assert_eq!(said(&file, id_of(&other)), Vec::<String>::new());
    let now = tree(&into);
    let own = now.iter().find(|(_, bytes)| **bytes == short.as_bytes());
    let own = into.join(own.expect("the sitting has another name").0);
    assert_eq!(said(&own, id_of(&short)), ["halved it"]);
    let notes = now.keys().filter(|path| path.starts_with("marten"));
    let notes = notes.filter(|path| path.to_string_lossy().ends_with(".notes.ron"));
    assert_eq!(notes.count(), 1);
}
