//! Reading a list sheet by sheet; its sentences are tested through the command.

use std::collections::BTreeMap;
use std::fs;

use super::*;
use crate::domain::labels::Labels;
use crate::papers;

fn outline() -> Outline {
    let section = papers::section(1, 2, ["1", "0", "0"]);
    Outline {
        options: Labels::new("ABC").unwrap(),
        own_options: BTreeMap::from([(QuestionNo(2), Labels::new("01").unwrap())]),
        ..papers::paper("Heron", 60, [section]).outline
    }
}

/// The codes of every sheet, and the notes.
fn read(text: &str, blanks: &[&str]) -> (Vec<Vec<u8>>, Vec<String>) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("list.csv");
    fs::write(&path, text).unwrap();
    let blanks: Vec<String> = blanks.iter().map(|code| (*code).to_owned()).collect();
    let mut list = AnswerList::open(&path, &outline(), &blanks).unwrap();
    let mut sheets = Vec::new();
    while let Some(codes) = list.next_sheet().unwrap() {
        sheets.push(codes.to_vec());
    }
    assert_eq!(
        (list.row.end(), list.size()),
        (text.len() as u64, text.len() as u64)
    );
    let notes = list.sheets.notes();
    (sheets, notes.iter().map(Problem::to_string).collect())
}

#[test]
fn codes_are_places_among_the_questions_own_labels() {
    let (sheets, notes) = read("pupil,2,1\na,1,c\nb,,-\nc,0,A\n", &[]);
    assert_eq!(sheets, [[3, 2], [0, 0], [1, 1]]);
    assert!(notes.is_empty());
}

#[test]
fn a_code_for_a_blank_wins_over_an_option() {
    let (sheets, notes) = read("pupil,1,2\na,na,0\nb,A,1\n", &["0", " NA", ""]);
    assert_eq!(sheets, [[0, 0], [1, 2]]);
    assert_eq!(
        notes,
        ["note: 0 is counted as a blank, as you asked, although it's an option of question 2"]
    );
}

#[test]
fn the_same_pupil_two_hundred_times_is_noted_a_hundred_times() {
    let (sheets, notes) = read(&format!("pupil,1,2\n{}", "otter,A,1\n".repeat(200)), &[]);
    assert_eq!((sheets.len(), notes.len()), (200, 101));
    assert_eq!(
        notes.last().map(String::as_str),
        Some("note: and 99 more of this kind")
    );
}
