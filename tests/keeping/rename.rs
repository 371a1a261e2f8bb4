//! A pupil renamed: the same events under another alias, nothing lost, whenever the program was killed in between.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use pacebell::domain::event::Stamped;
use pacebell::storage::files::notes;
use pacebell::storage::journal;

use crate::countdown;
use crate::old::OldFiles;
use crate::room::{chained, killed_at, listed, lived_in, tree, with_bytes};

/// The events of each sitting of a pupil, by when it was started.
pub(crate) fn events(files: &OldFiles, pupil: &str) -> BTreeMap<String, Vec<Stamped>> {
    let listing = journal::list(&files.path().join("sessions")).unwrap();
    assert!(listing.unreadable.is_empty(), "{:?}", listing.unreadable);
    let own = listing.records.iter();
    let own = own.filter(|record| record.header.pupil.as_str() == pupil);
    own.map(|record| (record.header.started.to_rfc3339(), record.events.clone()))
        .collect()
}

/// What the files of a renamed pupil must be, whatever way they came about.
#[track_caller]
pub(crate) fn is_renamed(files: &OldFiles, before: &BTreeMap<String, Vec<Stamped>>) {
    assert_eq!(events(files, "heron"), *before);
    assert!(events(files, "marten").is_empty());
    let sessions = files.path().join("sessions");
    let mut left = with_bytes(&sessions, "marten");
    // The pages that were made before are still called what they were.
    left.retain(|path| path != Path::new("pages.ron"));
    let text = sessions.join("heron/letters/to-parents.txt");
    assert_eq!(left, Vec::<PathBuf>::new());
    assert_eq!(fs::read_to_string(text).unwrap(), "heron did well");
    let register = fs::read_to_string(sessions.join("register.ron")).unwrap();
    assert!(register.contains("\"heron\", extra_time: 25"), "{register}");
    let fallback = files.path().join(".local/share/pacebell/sessions");
    assert_eq!(with_bytes(&fallback, "marten"), Vec::<PathBuf>::new());
    assert_eq!(journal::list(&fallback).unwrap().records.len(), 1);
    for record in journal::list(&sessions).unwrap().records {
        let notes = notes::load(&record.path, &record.header.sitting).unwrap();
        let is_a =
            record.header.paper.id == "saltmarsh-a" && record.header.pupil.as_str() == "heron";
        assert_eq!(notes.decisions.len(), if is_a { 2 } else { 0 });
    }
    let practice = tree(&sessions.join("heron"));
    let practice = practice
        .iter()
        .find(|(path, _)| path.to_string_lossy().ends_with("practice.ron"));
    let practice = String::from_utf8(practice.unwrap().1.clone()).unwrap();
    let mut crc = 0;
    for line in practice.lines() {
        let (record, stated) = line.rsplit_once(" // ").unwrap();
        crc = crc32fast::hash(format!("{crc:08x}{record}").as_bytes());
        assert_eq!(stated, format!("{crc:08x}"), "{practice}");
    }
    assert!(practice.contains("pupil:\"heron\""), "{practice}");
}

#[test]
fn a_renamed_pupil_has_the_same_events_notes_plans_and_figures() {
    let files = lived_in();
    let before = events(&files, "marten");
    let figures = |pupil: &str| {
        let all = files.run(&format!("progress {pupil} --json"));
        let json: serde_json::Value = serde_json::from_str(&all.out).unwrap();
        ["trends", "topics", "compared"].map(|name| json[name].clone())
    };
    let known = figures("marten");
    listed(&files);
    let others = tree(&files.path().join("sessions/teasel"));
    let answer = files.run("rename marten heron");
    assert_eq!(answer.code, Some(0), "{}", answer.err);
    is_renamed(&files, &before);
    assert_eq!(figures("heron"), known);
    assert!(tree(&files.path().join("sessions/teasel")) == others);
    assert!(
        answer.err.contains("still has the old alias"),
        "{}",
        answer.err
    );
    // What lists remember of the pupil went with the old alias.
    let cached = with_bytes(&files.path().join(".cache"), "marten");
    assert_eq!(cached, Vec::<PathBuf>::new());
    // The pages under the old alias still go with their pupil.
    let erased = crate::room::typed(&files, "erase heron", "heron\n");
    assert_eq!(erased.code, Some(0), "{}", erased.err);
    let left = with_bytes(files.path(), "marten");
    assert_eq!(left, Vec::<PathBuf>::new());
}

#[test]
fn an_alias_that_is_somebodys_is_refused_whatever_its_capitals() {
    let files = lived_in();
    let before = tree(files.path());
    for (words, code) in [
        ("rename marten teasel", 2),
        ("rename marten Teasel", 2),
        ("rename marten Marten", 2),
        ("rename marten marten", 2),
        ("rename marten ../otter", 2),
        ("rename marten con", 2),
        ("rename ../marten heron", 2),
        ("rename nobody heron", 1),
        ("rename sessions heron", 1),
    ] {
        let answer = files.run(words);
        assert_eq!(answer.code, Some(code), "{words}: {}", answer.err);
        assert!(tree(files.path()) == before, "{words}");
    }
}

#[test]
fn a_damaged_sitting_stops_it_before_anything_is_changed() {
    let files = lived_in();
    let session = files.path().join(files.sitting("marten", "a"));
    let text = fs::read_to_string(&session).unwrap();
    fs::write(&session, text.replacen("Answered(1,", "Answered(2,", 1)).unwrap();
    let before = tree(files.path());
    assert_eq!(files.run("rename marten heron").code, Some(3));
    assert!(tree(files.path()) == before);
}

/// A stick brings the old files again: renamed too, they are the same sittings, and count once.
#[test]
fn the_same_sittings_renamed_again_are_there_once() {
    let files = lived_in();
    let before = events(&files, "marten");
    let old = tree(&files.path().join("sessions/marten"));
    assert_eq!(files.run("rename marten heron").code, Some(0));
    let renamed = tree(&files.path().join("sessions/heron"));
    for (inside, bytes) in old {
        let path = files.path().join("sessions/marten").join(inside);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    assert_eq!(files.run("rename marten heron").code, Some(2));
    let joined = files.run("rename marten heron --join");
    assert_eq!(joined.code, Some(0), "{}", joined.err);
    assert!(tree(&files.path().join("sessions/heron")) == renamed);
    is_renamed(&files, &before);
}

/// Marten's old files lie beside heron's, as an earlier gathering left them.
fn under_two_aliases() -> OldFiles {
    let files = OldFiles::copied();
    let old = tree(&files.path().join("sessions/marten"));
    assert_eq!(files.run("rename marten heron").code, Some(0));
    // As of format 2, where an id stays.
    for (inside, bytes) in old {
        let path = files.path().join("sessions/marten").join(inside);
        let text = String::from_utf8(bytes).unwrap();
        let id = text.split_once("sitting:\"").unwrap().1;
        let id = id.split('"').next().unwrap();
        let records: Vec<_> = text
            .lines()
            .map(|line| {
                line.rsplit_once(" // ")
                    .unwrap()
                    .0
                    .replace(id, "20260923-1")
            })
            .collect();
        let records: Vec<_> = records.iter().map(String::as_str).collect();
        let marten = chained(&records);
        let heron = records[0].replace("pupil:\"marten\"", "pupil:\"heron\"");
        let mut records = records;
        records[0] = &heron;
        let heron = chained(&records);
        if path.to_string_lossy().contains("saltmarsh-a") {
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(&path, marten).unwrap();
            let name = path.file_name().unwrap();
            fs::write(files.path().join("sessions/heron").join(name), heron).unwrap();
        }
    }
    files
}

#[test]
fn a_sitting_under_two_aliases_has_one_way_out_wherever_it_is_asked_for() {
    let files = under_two_aliases();
    for pupil in ["marten", "heron"] {
        for words in [
            "mark PUPIL",
            "mark PUPIL --json",
            "progress PUPIL",
            "progress PUPIL --json",
            "export PUPIL out-PUPIL",
        ] {
            let words = words.replace("PUPIL", pupil);
            let told = files.run(&words);
            let said = format!("{} {}", told.out, told.err);
            let said = said.replace("\\\"", "\"");
            let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(
                said.contains("pacebell rename heron marten --join"),
                "{words}: {said}"
            );
            assert!(!said.contains("no sitting"), "{words}: {said}");
            assert!(!said.contains("set-aside"), "{words}: {said}");
        }
    }
    let group = files.run("group --paper @a.paper --key @a.key sessions");
    assert!(
        group.err.contains("pacebell rename heron marten --join"),
        "{}",
        group.err
    );
    // The tutor had set one of them aside; the file that is kept counts all the same.
    let old = files.sitting("marten", "a");
    let aside = files.run(&format!("set-aside {old} --because twice"));
    assert_eq!(aside.code, Some(0), "{}", aside.err);
    let joined = files.run("rename marten heron --join");
    assert_eq!(joined.code, Some(0), "{}", joined.err);
    let listing = journal::list(&files.path().join("sessions")).unwrap();
    let of_a = |record: &&std::sync::Arc<journal::Record>| {
        record.header.pupil.as_str() == "heron" && record.header.paper.id == "saltmarsh-a"
    };
    let of_a: Vec<_> = listing.records.iter().filter(of_a).collect();
    assert_eq!(of_a.len(), 1);
    assert_eq!(of_a[0].withdrawn, None);
    assert!(listing.copies.is_empty(), "{:?}", listing.copies);
}

#[test]
fn something_else_that_was_begun_comes_first() {
    let files = lived_in();
    let begun = "(format:1,job:Rename(from:\"marten\",to:\"heron\"))\n";
    let path = files.path().join("sessions/unfinished.ron");
    fs::write(&path, begun).unwrap();
    let refused = files.run("rename teasel heron-2");
    assert_eq!(refused.code, Some(1));
    assert!(
        refused.err.contains("pacebell rename marten heron"),
        "{}",
        refused.err
    );
    assert_eq!(files.run("rename marten heron").code, Some(0));
    assert!(!path.exists());
}

/// Killed before each of its changes to the disk, one after another, and begun again.
#[test]
fn a_renaming_that_is_killed_anywhere_is_finished_by_the_same_words() {
    if countdown::library().is_none() {
        return;
    }
    let mut at = 1;
    loop {
        let files = lived_in();
        let before = events(&files, "marten");
        let killed = killed_at(files.path(), files.path(), "rename marten heron", "", at).code;
        if killed == Some(0) {
            assert!(at > 60, "only {at} changes were seen");
            break;
        }
        assert_eq!(killed, None);
        let again = files.run("rename marten heron");
        assert!(
            again.code == Some(0) || again.err.contains("nothing is kept"),
            "{at}: {}",
            again.err
        );
        is_renamed(&files, &before);
        assert!(
            !tree(files.path())
                .keys()
                .any(|path| path.to_string_lossy().ends_with(".part"))
        );
        at += 1 + at / 8;
    }
}
