//! The files behind the review: names first, then what is in them, and files that are wrong.

use std::fs;
use std::path::Path;

use pacebell::commands::review::Reader;
use pacebell::domain::notes::Notes;
use pacebell::screens::kit::{Frame, Key};
use pacebell::screens::review::{Listed, Review, State};
use pacebell::screens::run::{Arrived, Shelf as _, fulfil, take};
use pacebell::screens::theme::Theme;
use pacebell::storage::files::notes;
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::widgets::Widget as _;

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
    let State::Wrong(reason) = state(&Path::new("knot").join("2026-11-14").to_string_lossy())
    else {
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
    assert!(paths.len() >= 7, "{paths:?}");
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

/// A review over a folder, with every row read.
fn reviewed(files: &mut Reader) -> Review {
    let mut review = Review::new("sessions").noting(files.past_keeping());
    for arrived in sent(files) {
        take(&mut review, arrived);
    }
    review
}

fn typed(review: &mut Review, files: &mut Reader, keys: &[Key]) {
    for key in keys {
        if let Some(ask) = review.press(*key, USUAL) {
            fulfil(review, files, ask);
        }
        for arrived in files.arrived() {
            take(review, arrived);
        }
    }
}

fn letters(text: &str) -> Vec<Key> {
    text.chars().map(Key::Char).collect()
}

#[test]
fn a_sitting_is_left_out_and_counted_again_by_a_key_and_ticked_for_the_evidence_sheet() {
    let dir = tempfile::tempdir().unwrap();
    season_in(dir.path());
    let mut files = Reader::new(dir.path(), &keys(), "P.B.").unwrap();
    let mut review = reviewed(&mut files);
    typed(&mut review, &mut files, &letters("otter 2026-11"));
    typed(&mut review, &mut files, &[Key::Enter]);
    let session = review.path().unwrap().clone();
    let (version, group) = review.group_wanted().unwrap();
    typed(&mut review, &mut files, &[Key::Esc]);
    let notes = || notes::load(&session, "otter-40").unwrap();
    let log = fs::read(&session).unwrap();

    typed(&mut review, &mut files, &[Key::F(4)]);
    typed(&mut review, &mut files, &letters("fire bell?"));
    assert!(shown(&review).contains("fire bell?_"), "{}", shown(&review));
    typed(&mut review, &mut files, &[Key::Enter]);
    let ruling = notes().decisions.last().unwrap().clone();
    assert_eq!(
        (ruling.counts, &*ruling.because, &*ruling.by),
        (false, "fire bell?", "P.B.")
    );
    let list = shown(&review);
    assert!(list.contains("Left out of every figure now"), "{list}");
    let row = list
        .lines()
        .find(|line| line.contains("> ") && line.contains("otter"));
    assert!(row.unwrap().contains("not counted"), "{list}");

    // The group of its paper is put together anew, without it.
    typed(&mut review, &mut files, &[Key::Enter]);
    let (again, fewer) = review.group_wanted().unwrap();
    assert_eq!((again, fewer.len()), (version, group.len() - 1));
    assert!(!fewer.contains(&session));
    let remarks = files.open(&session).unwrap().remarks;
    assert!(remarks[0].contains("set aside"), "{remarks:?}");

    // The same key on the sitting's own page counts it again.
    typed(&mut review, &mut files, &[Key::F(4)]);
    assert!(notes().decisions.last().unwrap().counts);
    assert!(
        shown(&review).contains("This sitting counts"),
        "{}",
        shown(&review)
    );
    assert_eq!(review.group_wanted().unwrap().1.len(), group.len());

    // Leaving the reason without keeping it decides nothing.
    typed(
        &mut review,
        &mut files,
        &[Key::F(4), Key::Char('x'), Key::Esc],
    );
    assert_eq!(notes().decisions.len(), 2);

    typed(&mut review, &mut files, &[Key::F(5), Key::F(2)]);
    typed(&mut review, &mut files, &letters("Calm"));
    assert!(shown(&review).contains("[x] F2"), "{}", shown(&review));
    assert!(shown(&review).contains("[ ] F3"), "{}", shown(&review));
    typed(&mut review, &mut files, &[Key::Enter]);
    let vouched = notes().vouched.last().unwrap().clone();
    assert_eq!(
        (vouched.timed, vouched.supervised, &*vouched.sentence),
        (true, false, "Calm")
    );
    // The next ticks begin from these.
    typed(
        &mut review,
        &mut files,
        &[Key::F(5), Key::F(3), Key::F(2), Key::Enter],
    );
    let vouched = notes().vouched.last().unwrap().clone();
    assert_eq!(
        (vouched.timed, vouched.supervised, &*vouched.sentence),
        (false, true, "Calm")
    );
    assert_eq!(
        fs::read(&session).unwrap(),
        log,
        "the session is never touched"
    );
}

fn shown(review: &Review) -> String {
    let page = Frame {
        page: review,
        theme: Theme::plain(),
    };
    let mut buffer = Buffer::empty(Rect::from((Position::ORIGIN, USUAL)));
    page.render(*buffer.area(), &mut buffer);
    crate::room::text(&buffer)
}

#[test]
fn a_row_says_why_its_sitting_does_not_count() {
    let dir = tempfile::tempdir().unwrap();
    let (header, log) = made::other("knot", 44, 80, 5);
    let mut sheet = (header, log);
    sheet.0.mode = pacebell::domain::header::Mode::Entered;
    let first = sheet.0.sitting.clone();
    made::write(dir.path(), &sheet.0, &sheet.1);
    sheet.0.sitting = "20261114-corrected".to_owned();
    sheet.0.replaces = Some(first);
    made::write(dir.path(), &sheet.0, &sheet.1);
    let mut files = Reader::new(dir.path(), &keys(), "P.B.").unwrap();
    let list = shown(&reviewed(&mut files));
    assert_eq!(list.matches("replaced:").count(), 1, "{list}");
    assert_eq!(list.matches("not counted").count(), 1, "{list}");
    assert!(!list.contains("two version"), "{list}");
}

/// F4 with no words on a sheet that another one replaces.
#[test]
fn the_key_says_of_a_replaced_sheet_that_it_still_does_not_count() {
    let dir = tempfile::tempdir().unwrap();
    let (header, log) = made::other("knot", 44, 80, 5);
    let mut sheet = (header, log);
    sheet.0.mode = pacebell::domain::header::Mode::Entered;
    let first = sheet.0.sitting.clone();
    let replaced = made::write(dir.path(), &sheet.0, &sheet.1);
    sheet.0.sitting = "20261114-corrected".to_owned();
    sheet.0.replaces = Some(first);
    let later = made::write(dir.path(), &sheet.0, &sheet.1);
    for (file, says) in [
        (
            &replaced,
            "Still doesn't count: it was replaced by a later answer sheet.",
        ),
        (&later, "This sitting counts."),
    ] {
        let mut files = Reader::new(dir.path(), &keys(), "P.B.").unwrap();
        let mut review = reviewed(&mut files);
        for _row in 0..2 {
            typed(&mut review, &mut files, &[Key::Enter]);
            if review.path() == Some(file) {
                break;
            }
            typed(&mut review, &mut files, &[Key::Esc, Key::Down]);
        }
        assert_eq!(review.path(), Some(file));
        typed(&mut review, &mut files, &[Key::F(4)]);
        let asked = shown(&review);
        assert!(!asked.contains("means that it counts"), "{asked}");
        typed(&mut review, &mut files, &[Key::Enter]);
        assert!(shown(&review).contains(says), "{}", shown(&review));
    }
}

#[test]
fn files_past_their_day_are_told_above_the_list() {
    let dir = tempfile::tempdir().unwrap();
    season_in(dir.path());
    let mut files = Reader::new(dir.path(), &keys(), "P.B.").unwrap();
    assert!(!shown(&reviewed(&mut files)).contains("Past the day"));
    let register = "(format: 1, pupils: [(alias: \"otter\", keep_until: \"2020-02-29\")])";
    fs::write(dir.path().join("register.ron"), register).unwrap();
    let mut files = Reader::new(dir.path(), &keys(), "P.B.").unwrap();
    let list = shown(&reviewed(&mut files));
    assert!(list.contains("otter (29 Feb 2020)"), "{list}");
}
