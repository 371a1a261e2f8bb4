//! The files behind the review: names first, then what is in them, and files that are wrong.

use std::fs;
use std::path::Path;

use pacebell::commands::review::Reader;
use pacebell::domain::notes::Notes;
use pacebell::screens::kit::Key;
use pacebell::screens::review::{Listed, Review, State};
use pacebell::screens::run::{Arrived, Shelf as _, fulfil, take};
use pacebell::storage::files::notes;

use crate::made;
use crate::room::USUAL;
use crate::written;

/// What the thread that reads the folder sends, to its end.
fn sent(files: &mut Reader) -> Vec<Arrived> {
    files.begin(|| {});
    let mut sent = Vec::new();
    while let Some(arrived) = files.wait() {
        let last = matches!(arrived, Arrived::AllRead);
        sent.push(arrived);
        if last {
            break;
        }
    }
    sent
}

fn season_in(dir: &Path) {
    for (header, log) in &made::season() {
        made::write(dir, header, log);
    }
}

fn keys() -> Vec<std::path::PathBuf> {
    vec![made::sample("")]
}

#[test]
fn every_name_comes_first_and_wrong_files_stop_nothing() {
    let dir = tempfile::tempdir().unwrap();
    season_in(dir.path());
    let (header, log) = made::other("knot", 44, 80, 5);
    let whole = written::file(&header, &log);
    let damaged = made::write(dir.path(), &header, &log);
    fs::write(&damaged, whole.replacen("Answered(5", "Answered(6", 1)).unwrap();
    let torn = damaged.with_file_name("2026-11-20-0900-torn.session.ron");
    fs::write(&torn, whole.get(..whole.len() - 20).unwrap()).unwrap();
    fs::write(damaged.with_file_name("notes.session.ron"), "hello").unwrap();
    fs::write(damaged.with_file_name("other.txt"), "no sitting").unwrap();

    let mut files = Reader::new(dir.path(), &keys(), "P.B.").unwrap();
    let sent = sent(&mut files);
    let Some(Arrived::Named(named)) = sent.first() else {
        panic!("the names come first: {sent:?}");
    };
    assert_eq!(named.len(), 12);
    assert!(named.iter().all(|row| row.state == State::Waiting));
    let mut whens: Vec<_> = named.iter().map(|row| row.when).collect();
    whens.reverse();
    assert!(whens.is_sorted(), "the newest first: {whens:?}");
    let mut review = Review::new("sessions");
    let mut rows: Vec<Listed> = Vec::new();
    for arrived in sent {
        if let Arrived::Read(read) = &arrived {
            rows.extend(read.iter().map(|(_, row)| row.clone()));
        }
        take(&mut review, arrived);
    }
    assert_eq!(rows.len(), 12, "everything is read");
    let state = |name: &str| {
        let row = rows
            .iter()
            .find(|row| row.path.to_string_lossy().contains(name));
        row.unwrap().state.clone()
    };
    let State::Wrong(reason) = state("knot/2026-11-14") else {
        panic!("damage is told");
    };
    assert!(reason.contains("line 11 is damaged"), "{reason}");
    assert!(matches!(state("notes.session"), State::Wrong(_)));
    assert!(matches!(state("torn"), State::Read(summary) if summary.torn));

    // The damaged one opens as far as it is good, and says so.
    for c in "knot 14 Nov 2026, 16:30".chars() {
        review.press(Key::Char(c), USUAL);
    }
    review.press(Key::Down, USUAL);
    let ask = review.press(Key::Enter, USUAL).unwrap();
    fulfil(&mut review, &mut files, ask);
    assert!(review.tab().is_some());
    let opened = files.open(&damaged).unwrap();
    assert!(
        opened.remarks[0].contains("Everything up to the damage is shown"),
        "{:?}",
        opened.remarks
    );
    assert!(files.open(&torn).unwrap().remarks[0].contains("left out"));
}

#[test]
fn the_group_arrives_and_notes_are_saved_beside_the_session() {
    let dir = tempfile::tempdir().unwrap();
    season_in(dir.path());
    let mut files = Reader::new(dir.path(), &keys(), "P.B.").unwrap();
    let mut review = Review::new("sessions");
    for arrived in sent(&mut files) {
        take(&mut review, arrived);
    }
    for c in "otter 2026-11".chars() {
        review.press(Key::Char(c), USUAL);
    }
    let press = |review: &mut Review, files: &mut Reader, key| {
        if let Some(ask) = review.press(key, USUAL) {
            fulfil(review, files, ask);
        }
    };
    press(&mut review, &mut files, Key::Enter);
    let (version, paths) = review.group_wanted().unwrap();
    assert_eq!(paths.len(), 7);
    files.put_together(version, paths);
    let Some(Arrived::Group(version, group)) = files.wait() else {
        panic!("the group arrives");
    };
    assert_eq!(group.people, 7);
    take(&mut review, Arrived::Group(version, group));

    let session = review.path().unwrap().clone();
    let before = fs::read(&session).unwrap();
    for key in [Key::Char('9'), Key::Enter, Key::Char('e'), Key::Char('2')] {
        press(&mut review, &mut files, key);
    }
    assert_eq!(
        fs::read(&session).unwrap(),
        before,
        "the session is never touched"
    );
    let kept: Notes = notes::load(&session, "otter-40").unwrap();
    let said = &kept.questions[&pacebell::domain::rule::QuestionNo(9)];
    assert_eq!(
        (said.cause, &*said.by),
        (Some(pacebell::domain::notes::Cause::Slip), "P.B.")
    );

    // Notes that cannot be read are told, and never written over.
    fs::write(notes::path_beside(&session), "hello").unwrap();
    let opened = files.open(&session).unwrap();
    assert!(opened.notes.is_err());
    review.opened(opened);
    for key in [Key::Char('9'), Key::Enter, Key::Char('e'), Key::Char('2')] {
        press(&mut review, &mut files, key);
    }
    assert_eq!(
        fs::read_to_string(notes::path_beside(&session)).unwrap(),
        "hello"
    );
}

#[test]
fn a_folder_that_is_not_there_holds_nothing_and_a_missing_key_says_the_way_out() {
    let dir = tempfile::tempdir().unwrap();
    let mut files = Reader::new(&dir.path().join("none"), &[], "P.B.").unwrap();
    let sent = sent(&mut files);
    assert!(matches!(&sent[0], Arrived::Named(rows) if rows.is_empty()));

    let (mut header, log) = made::otter(40);
    header.paper.id = "nobody-has-this".into();
    let path = made::write(dir.path(), &header, &log);
    let mut files = Reader::new(dir.path(), &keys(), "P.B.").unwrap();
    let reason = files.open(&path).unwrap().key.unwrap_err();
    assert!(
        reason.contains("nobody-has-this") && reason.contains("--keys"),
        "{reason}"
    );
    assert!(Reader::new(dir.path(), &[dir.path().join("no.key.ron")], "").is_err());
}
