//! Every operation on the disk refused in turn, while files are erased, renamed, handed over, gathered and typed in:
//! it is done or says why not, and done by the same words on a sound disk.

use std::collections::BTreeMap;
use std::fs;
use std::io::Write as _;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};

use pacebell::clock::{Clock as _, SystemClock};
use pacebell::domain::drill::DrillKind;
use pacebell::domain::header::Alias;
use pacebell::domain::practice::{PracticeEvent, PracticeMoment};
use pacebell::storage::journal;

use crate::countdown;
use crate::old::{Answer, OldFiles};
use crate::rename::{events, is_renamed};
use crate::room::{lived_in, run, tree, with_bytes};

/// What is refused: which operation first, whether all after it, and with which error (`errno(3)`).
#[derive(Clone, Copy, Debug)]
struct Refusal {
    at: u32,
    for_ever: bool,
    error: u32,
}

/// Runs words on a disk that refuses; says whether it has.
fn refused(folder: &Path, words: &str, typed: &str, how: Refusal) -> (Answer, bool) {
    let under = fs::canonicalize(folder).unwrap();
    let outside = tempfile::tempdir().unwrap();
    let told = outside.path().join("refused");
    let (at, error) = (how.at.to_string(), how.error.to_string());
    let env = [
        ("LD_PRELOAD", countdown::library().unwrap()),
        ("KILL_UNDER", under.to_str().unwrap()),
        (
            if how.for_ever {
                "FAIL_FOR_EVER"
            } else {
                "FAIL_AT"
            },
            &at,
        ),
        ("FAIL_WITH", &error),
        ("FAILED_TO", told.to_str().unwrap()),
    ];
    let answer = run(folder, words, typed, &env);
    (answer, told.exists())
}

/// One run after another, each with the next refusal, until nothing is refused any more. `try_one` says whether
/// anything was. Gives how many runs there were.
fn sweep(errors: &[u32], step: fn(u32) -> u32, try_one: impl Fn(Refusal) -> bool) -> u32 {
    let (mut runs, mut failures) = (0, Vec::new());
    for for_ever in [false, true] {
        for error in errors.iter().copied() {
            let mut at = 1;
            loop {
                runs += 1;
                let how = Refusal {
                    at,
                    for_ever,
                    error,
                };
                match catch_unwind(AssertUnwindSafe(|| try_one(how))) {
                    Ok(true) => {}
                    Ok(false) => break,
                    Err(why) => failures.push((how, why.downcast_ref::<String>().cloned())),
                }
                at = step(at);
            }
            assert!(at > 12, "only {at} operations were seen");
        }
    }
    assert!(failures.is_empty(), "{failures:#?}");
    runs
}

/// Done, or told why not in a sentence.
fn done_or_told(answer: &Answer, how: Refusal) -> bool {
    match answer.code {
        Some(0) => true,
        Some(_) => {
            assert!(answer.err.starts_with("pacebell: "), "{how:?}: {answer:?}");
            false
        }
        None => panic!("{how:?}: {answer:?}"),
    }
}

fn erase(how: Refusal) -> bool {
    let files = lived_in();
    let words = "erase marten --by PB";
    let (answer, met) = refused(files.path(), words, "marten\n", how);
    if !done_or_told(&answer, how) {
        let again = run(files.path(), words, "marten\n", &[]);
        let nothing = again.err.contains("nothing is kept");
        assert!(again.code == Some(0) || nothing, "{how:?}: {again:?}");
    }
    let left = with_bytes(files.path(), "marten");
    assert_eq!(left, Vec::<PathBuf>::new(), "{how:?}: {answer:?}");
    let record = fs::read_to_string(files.path().join("sessions/erasures.ron")).unwrap();
    assert_eq!(record.lines().count(), 1, "{how:?}: {record}");
    met
}

fn rename(how: Refusal) -> bool {
    let files = lived_in();
    let before = events(&files, "marten");
    let words = "rename marten heron";
    let (answer, met) = refused(files.path(), words, "", how);
    if !done_or_told(&answer, how) {
        let again = files.run(words);
        let nothing = again.err.contains("nothing is kept");
        assert!(again.code == Some(0) || nothing, "{how:?}: {again:?}");
    }
    is_renamed(&files, &before);
    met
}

fn sessions_of(files: &OldFiles) -> BTreeMap<PathBuf, Vec<u8>> {
    tree(&files.path().join("sessions"))
}

fn export(how: Refusal) -> bool {
    let files = lived_in();
    let mut before = sessions_of(&files);
    let pages = before
        .remove(Path::new("pages.ron"))
        .expect("pages were put down");
    let words = "export marten out";
    let (answer, met) = refused(files.path(), words, "", how);
    let pages = String::from_utf8(pages).unwrap();
    let is_kept = || {
        let mut after = sessions_of(&files);
        let noted = after.remove(Path::new("pages.ron")).unwrap_or_default();
        assert_eq!(after, before, "{how:?}: what is kept is as it was");
        // Where it was exported to is put down beside the pages, of which none is lost.
        let noted = String::from_utf8(noted).unwrap();
        for line in pages.lines() {
            assert!(noted.contains(line), "{how:?}: {line} is gone");
        }
    };
    // What cannot be taken away while everything is refused goes when the list of pages is written next.
    if !how.for_ever {
        is_kept();
    }
    // What could not be read is told, a line each.
    let whole = done_or_told(&answer, how) && answer.out.lines().count() == 1;
    if !whole {
        if how.for_ever || answer.code == Some(0) {
            // What could not be taken back stays.
            let _ = fs::remove_dir_all(files.path().join("out"));
        }
        let again = files.run(words);
        assert_eq!(again.code, Some(0), "{how:?}: {answer:?} {again:?}");
    }
    let sound = files.run("export marten other");
    assert_eq!(sound.code, Some(0), "{sound:?}");
    is_kept();
    let out = |name: &str| {
        let mut all = tree(&files.path().join(name));
        all.remove(Path::new("index.html"))
            .expect("there is a page");
        all
    };
    assert!(out("out") == out("other"), "{how:?}: {answer:?}");
    met
}

fn gather(how: Refusal) -> bool {
    let files = lived_in();
    let before = sessions_of(&files);
    let words = "gather sessions --sessions fresh";
    let (answer, met) = refused(files.path(), words, "", how);
    assert_eq!(
        sessions_of(&files),
        before,
        "{how:?}: what is kept is as it was"
    );
    if !done_or_told(&answer, how) || answer.err.contains("left where it is") {
        let again = files.run(words);
        assert_eq!(again.code, Some(0), "{how:?}: {answer:?} {again:?}");
    }
    is_gathered_as_on_a_sound_disk(&files, &answer, how);
    met
}

/// Both folders have notes of a sitting that the other has not, and their registers differ about one pupil.
fn gather_more(how: Refusal) -> bool {
    let files = lived_in();
    let sitting = files.sitting("marten", "a");
    let copy = sitting.replacen("sessions", "fresh", 1);
    for words in [
        "gather sessions --sessions fresh",
        &format!("set-aside {copy} --because alarm"),
        "set-aside @marten-a --because false-start",
    ] {
        let answer = files.run(words);
        assert_eq!(answer.code, Some(0), "{words}: {answer:?}");
    }
    let register = "(format: 1, pupils: [(alias: \"teasel\", extra_time: 10)])";
    fs::write(files.path().join("fresh/register.ron"), register).unwrap();
    for (inside, bytes) in tree(&files.path().join("fresh")) {
        let path = files.path().join("other").join(inside);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    let words = "gather sessions --sessions fresh";
    let (answer, met) = refused(files.path(), words, "", how);
    if !done_or_told(&answer, how) || answer.err.contains("left where it is") {
        let again = files.run(words);
        assert_eq!(again.code, Some(0), "{how:?}: {answer:?} {again:?}");
    }
    is_gathered_as_on_a_sound_disk(&files, &answer, how);
    let now = tree(&files.path().join("fresh"));
    let registers = now.keys().filter(|path| {
        let name = path.to_string_lossy();
        name.starts_with("register") && name.ends_with(".ron")
    });
    assert_eq!(registers.count(), 2, "{how:?}: the other one is kept");
    let own = String::from_utf8_lossy(&now[Path::new("register.ron")]).into_owned();
    assert!(own.contains("marten"), "{how:?}: {own}");
    met
}

#[track_caller]
fn is_gathered_as_on_a_sound_disk(files: &OldFiles, answer: &Answer, how: Refusal) {
    let sound = files.run("gather sessions --sessions other");
    assert_eq!(sound.code, Some(0), "{sound:?}");
    let (fresh, other) = (files.path().join("fresh"), files.path().join("other"));
    let (fresh, other) = (tree(&fresh), tree(&other));
    let keys = fresh.keys().chain(other.keys());
    // A claim that could not be given back is taken by whoever comes next.
    let differ: Vec<_> = keys
        .filter(|path| **path != Path::new(".keeping.lock"))
        .collect();
    let differ: Vec<_> = differ
        .into_iter()
        .filter(|path| fresh.get(*path) != other.get(*path))
        .collect();
    assert!(differ.is_empty(), "{how:?}: {differ:?} {answer:?}");
}

fn enter(how: Refusal) -> bool {
    let files = OldFiles::copied();
    let questions: Vec<_> = (1..=25).map(|number| number.to_string()).collect();
    let sheets = (1..=6).map(|number| format!("pupil{number}{}\n", ",A".repeat(25)));
    let list = format!(
        "pupil,{}\n{}",
        questions.join(","),
        sheets.collect::<String>()
    );
    fs::write(files.path().join("class.csv"), list).unwrap();
    let words = "enter sample-papers/saltmarsh-a.paper.ron --from class.csv --date 2026-11-20 --sessions kept";
    let (answer, met) = refused(files.path(), words, "", how);
    let kept = files.path().join("kept");
    let found = journal::list(&kept).unwrap_or_default();
    assert!(
        found.unreadable.is_empty(),
        "{how:?}: {:?}",
        found.unreadable
    );
    if !done_or_told(&answer, how) {
        let again = files.run(words);
        assert_eq!(again.code, Some(0), "{how:?}: {answer:?} {again:?}");
    }
    let all = journal::list(&kept).unwrap();
    let numbers = (all.records.len(), all.unreadable.len(), all.copies.len());
    assert_eq!(numbers, (6, 0, 0), "{how:?}: {answer:?}");
    assert!(
        all.records
            .iter()
            .all(|record| record.withdrawn.is_none() && record.sealed)
    );
    // A sheet a pupil, and that the list was read, or a word that it wasn't put down.
    let mut left = tree(&kept);
    let noted = left.remove(Path::new("pages.ron")).unwrap_or_default();
    let is_noted = String::from_utf8(noted).unwrap().contains("class.csv");
    let is_told = answer.err.contains("won't name it later");
    assert!(is_noted || is_told, "{how:?}: {answer:?}");
    // What could not be taken away any more is told, and goes with the next list.
    let other = |path: &PathBuf| !path.to_string_lossy().ends_with(".session.ron");
    let others: Vec<_> = left.keys().filter(|path| other(path)).cloned().collect();
    if !others.is_empty() {
        let told = files.run("doctor kept").out;
        for path in others {
            let name = path.file_name().unwrap().to_str().unwrap();
            assert!(told.contains(name), "{how:?}: {name} {told}");
        }
        files.run(words);
        left = tree(&kept);
        left.remove(Path::new("pages.ron"));
    }
    assert_eq!(left.len(), 6, "{how:?}: {answer:?} {:?}", left.keys());
    met
}

/// What is told as saved can be read back, and the next session goes into a file of its own.
fn practise(how: Refusal) -> bool {
    let files = lived_in();
    let sessions = files.path().join("sessions");
    fs::remove_file(
        sessions
            .join("marten")
            .join(files.sitting("marten", "a").rsplit_once('/').unwrap().1)
            .with_extension("")
            .with_extension("practice.ron"),
    )
    .unwrap();
    let before = sessions_of(&files);
    let words = "practise marten --paper saltmarsh-a --questions 2,3 --plain";
    let typed = "a\nb\n\nc\n?\nd\n\n";
    let (answer, met) = refused(files.path(), words, typed, how);
    let pupil = Alias::new("marten").unwrap();
    let read = || journal::practice_of(&sessions, &pupil);
    let done = done_or_told(&answer, how);
    let first = read();
    assert!(first.unread.is_empty(), "{how:?}: {:?}", first.unread);
    if done {
        let moments = first.logs.last().map(|log| log.moments.clone());
        let moments = moments.unwrap_or_else(|| panic!("{how:?}: {answer:?}"));
        let last = moments.last().map(|moment| &moment.event);
        assert_eq!(last, Some(&PracticeEvent::Stopped), "{how:?}: {answer:?}");
        let tries = |moments: &[PracticeMoment]| {
            let tried =
                |moment: &&PracticeMoment| matches!(moment.event, PracticeEvent::Tried { .. });
            moments.iter().filter(tried).count()
        };
        assert!(tries(&moments) >= 2, "{how:?}: {moments:?}");
    }
    for (path, bytes) in &before {
        let now = fs::read(sessions.join(path)).unwrap_or_default();
        assert!(now == *bytes, "{how:?}: {} is as it was", path.display());
    }
    let again = run(files.path(), words, typed, &[]);
    assert_eq!(again.code, Some(0), "{how:?}: {answer:?} {again:?}");
    let second = read();
    assert!(second.unread.is_empty(), "{how:?}: {:?}", second.unread);
    assert!(second.logs.len() > first.logs.len(), "{how:?}");
    met
}

/// A drill that is told as kept is there, with those before it, or why it isn't is told; the next one is kept.
fn drill(how: Refusal) -> bool {
    let files = lived_in();
    let sessions = files.path().join("sessions");
    let pupil = Alias::new("otter").unwrap();
    let kept = || journal::drills_of(&sessions, &pupil, DrillKind::Sweep).len();
    let words = "drill sweep --pupil otter --plain";
    let typed = format!("start\n{}", "B\n".repeat(25));
    for before in 1..=2 {
        let sound = run(files.path(), words, &typed, &[]);
        assert_eq!((sound.code, kept()), (Some(0), before), "{sound:?}");
    }
    let (answer, met) = refused(files.path(), words, &typed, how);
    let told = answer.out.contains("Not saved: ") || answer.err.contains("Not saved: ");
    let now = kept();
    if done_or_told(&answer, how) && !told {
        assert_eq!(now, 3, "{how:?}: {answer:?}");
    }
    assert!((2..=3).contains(&now), "{how:?}: {answer:?}");
    let again = run(files.path(), words, &typed, &[]);
    assert_eq!(
        (again.code, kept()),
        (Some(0), now + 1),
        "{how:?}: {again:?}"
    );
    met
}

type Job = (&'static str, fn(Refusal) -> bool);

const JOBS: [Job; 8] = [
    ("practise", practise),
    ("drill", drill),
    ("erase", erase),
    ("rename", rename),
    ("export", export),
    ("gather", gather),
    ("gather more", gather_more),
    ("enter", enter),
];

/// Some operations of a job, in the suite.
fn some(job: fn(Refusal) -> bool) {
    if countdown::library().is_some() {
        sweep(&[5], |at| at + 3 + at / 2, job);
    }
}

#[test]
fn an_erasure_that_is_refused_an_operation_is_finished_by_the_same_words() {
    some(erase);
}

#[test]
fn a_renaming_that_is_refused_an_operation_is_finished_by_the_same_words() {
    some(rename);
}

#[test]
fn an_export_that_is_refused_an_operation_leaves_nothing_half_done() {
    some(export);
}

#[test]
fn gathering_that_is_refused_an_operation_is_finished_by_the_same_words() {
    some(gather);
}

#[test]
fn gathering_more_that_is_refused_an_operation_writes_over_nothing() {
    some(gather_more);
}

#[test]
fn a_class_that_is_refused_an_operation_is_entered_whole_by_the_same_words() {
    some(enter);
}

#[test]
fn practice_that_is_refused_an_operation_is_saved_or_says_why_not() {
    some(practise);
}

#[test]
fn a_drill_that_is_refused_an_operation_is_kept_or_says_why_not() {
    some(drill);
}

/// Errors that a disk gives (`errno(3)`): input/output, not allowed, too many open files, no room left, read-only.
const ERRORS: [u32; 5] = [5, 13, 24, 28, 30];

/// `PACEBELL_JOBS` chooses which, by their names with commas between: jobs may then run side by side.
#[test]
#[ignore = "most of an hour: every operation of eight jobs refused with five errors"]
fn what_is_refused_any_operation_is_done_by_the_same_words_or_was_done() {
    if countdown::library().is_none() {
        return;
    }
    let wanted = std::env::var("PACEBELL_JOBS").ok();
    let is_wanted = |name: &str| {
        let wanted = wanted.as_ref();
        wanted.is_none_or(|wanted| wanted.split(',').any(|one| one == name))
    };
    for (name, job) in JOBS.into_iter().filter(|(name, _)| is_wanted(name)) {
        let start = SystemClock.read().mono_ms;
        let runs = sweep(&ERRORS, |at| at + 1, job);
        let took = (SystemClock.read().mono_ms - start) / 1000;
        let _ = writeln!(
            std::io::stderr(),
            "{name}: {runs} runs, 0 failures, {took} s"
        );
    }
}
