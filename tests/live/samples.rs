//! In an empty folder each front door offers the sample papers, and writes none unasked.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use crate::common::Start;

/// The samples as they stand in the sources, by name.
fn samples() -> BTreeMap<String, String> {
    files(&Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-papers"))
}

/// The files of a folder, by name; none where it is not there.
fn files(folder: &Path) -> BTreeMap<String, String> {
    let entries = fs::read_dir(folder).into_iter().flatten();
    let paths = entries.map(|entry| entry.unwrap().path());
    let read = paths.map(|path| {
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        (name, fs::read_to_string(path).unwrap())
    });
    read.collect()
}

#[test]
fn the_start_page_writes_them_after_two_keys_and_a_sitting_begins() {
    let room = tempfile::tempdir().unwrap();
    let written = room.path().join(".local/share/pacebell/sample-papers");
    let mut seat = Start::new(room.path(), &[]).run();
    for (keys, then) in [
        ("", "Who is sitting?"),
        ("\r", "> Alias:"),
        ("wren\r", "> Go straight to the papers"),
        ("\r", "No paper was found."),
        ("\r", "Press W, then Enter"),
        ("w", "Enter writes the sample papers."),
        // Any other key goes back, and then Enter alone writes nothing.
        ("x", "W then Enter"),
        ("\r", "Press W, then Enter"),
    ] {
        seat.press(keys);
        seat.sees(then);
    }
    assert!(!written.exists());
    for (keys, then) in [
        ("w", "Enter writes the sample papers."),
        ("\r", "> Saltmarsh Shield: first practice paper"),
        ("\r", "Time allowed: 20 minutes"),
        ("\r", "Read this out"),
        ("s", "Enter starts the clock at once"),
        ("\r", "Esc menu"),
        ("c", "[C]"),
    ] {
        seat.press(keys);
        seat.sees(then);
    }
    assert_eq!(samples().len(), 12);
    assert_eq!(files(&written), samples());
}

#[test]
fn sit_asks_before_it_takes_the_terminal_and_leaves_what_is_there() {
    let room = tempfile::tempdir().unwrap();
    fs::create_dir(room.path().join("sessions")).unwrap();
    let papers = room.path().join("sample-papers");
    fs::create_dir(&papers).unwrap();
    // A key without its paper, changed by the tutor.
    fs::write(papers.join("saltmarsh-b.key.ron"), "mine").unwrap();
    let words = ["sit", "saltmarsh-a", "--pupil", "otter"];
    let mut seat = Start::new(room.path(), &words).run();
    seat.sees("1 Not now");
    seat.press("1\r");
    assert_eq!(seat.end(), 1);
    assert_eq!(files(&papers).len(), 1);
    let mut seat = Start::new(room.path(), &words).run();
    seat.sees("2 Write the sample papers");
    seat.press("2\r");
    seat.sees("Read this out");
    let mut expected = samples();
    expected.insert("saltmarsh-b.key.ron".to_owned(), "mine".to_owned());
    assert_eq!(files(&papers), expected);
}

#[test]
fn the_list_of_papers_and_the_tutors_list_ask_too() {
    let room = tempfile::tempdir().unwrap();
    fs::create_dir(room.path().join("sessions")).unwrap();
    let mut seat = Start::new(room.path(), &["paper", "list"]).run();
    seat.sees("2 Write the sample papers");
    seat.press("2\r");
    seat.sees("saltmarsh-short");
    assert_eq!(seat.end(), 0);
    assert_eq!(files(&room.path().join("sample-papers")), samples());

    let room = tempfile::tempdir().unwrap();
    fs::create_dir(room.path().join("sessions")).unwrap();
    let mut seat = Start::new(room.path(), &["tutor"]).run();
    for (keys, then) in [
        ("", "> Open the start page for pupils"),
        ("see what g\r", "> Not now"),
        ("\r", "> See what guesses can give"),
        ("\r", "> Not now"),
        ("\x1b[B", "> Write the sample papers"),
        ("\r", "Which paper?"),
        ("\r", "Which questions are guessed?"),
    ] {
        seat.press(keys);
        seat.sees(then);
    }
    assert_eq!(files(&room.path().join("sample-papers")), samples());
}
