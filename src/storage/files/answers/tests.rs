//! Reading a list sheet by sheet; its sentences are tested through the command.

use std::collections::BTreeMap;
use std::fs;

use proptest::prelude::*;

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
        (list.read(), list.size()),
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

/// A cell as people and spreadsheets leave it, and as nobody should.
fn cell() -> impl Strategy<Value = String> {
    prop_oneof![
        8 => "[ABC01]",
        2 => Just(String::new()),
        1 => prop::sample::select(vec![
            "-", " ", " b ", "a?", "C ??", "NA", "D", "\"A\"", "\"", "A\"", "\"a\nb\"", "\u{feff}A", "\r", "é", "\0",
        ])
        .prop_map(str::to_owned),
    ]
}

/// Lists of any length with any ends of lines, most of them usual ones.
fn list() -> impl Strategy<Value = String> {
    let name = prop_oneof![
        8 => "[a-z]{1,6}",
        1 => prop::sample::select(vec!["", " ", "otter", "\u{feff}a", "\"a,b\"", "x\"y", "\"", "ö"])
            .prop_map(str::to_owned),
    ];
    let width = prop_oneof![9 => Just(2), 1 => 0_usize..4];
    let cells = width.prop_flat_map(|width| prop::collection::vec(cell(), width));
    let end = prop_oneof![8 => Just("\n"), 2 => Just("\r\n"), 1 => prop::sample::select(vec!["\r", "\n\n", "\r\n\r\n", ""])];
    let row = (name, cells, end).prop_map(|(name, cells, end)| {
        let cells: Vec<_> = [name].into_iter().chain(cells).collect();
        cells.join(",") + end
    });
    // Some lists are longer than what is read at once.
    let times = prop_oneof![9 => Just(1_usize), 1 => Just(900)];
    let start = prop::sample::select(vec!["", "\u{feff}", "\n", "\r\n", "\u{feff}\u{feff}"]);
    let rows = prop::collection::vec(row, 0..12);
    (start, rows, times).prop_map(|(start, rows, times)| {
        let rows = rows.concat();
        format!("{start}pupil,1,2\n{}", rows.repeat(times))
    })
}

/// All that is said of a list, from its heading or from there on by the `csv` crate alone.
fn told(path: &Path, is_split: bool) -> Result<(Vec<Vec<u8>>, String, String), String> {
    let blanks = ["NA".to_owned()];
    let list = AnswerList::open(path, &outline(), &blanks);
    let mut list = list.map_err(|trouble| trouble.to_string())?;
    if is_split {
        list.rows.split_from_here();
    }
    let mut sheets = Vec::new();
    while let Some(row) = list.next_row().map_err(|trouble| trouble.to_string())? {
        if let ListedRow::Sheet(codes) = row {
            sheets.push(codes.to_vec());
        }
    }
    let notes: Vec<_> = list.notes().iter().map(Problem::to_string).collect();
    let end = list.end().err().map(|trouble| trouble.to_string());
    Ok((sheets, notes.join("\n"), end.unwrap_or_default()))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    /// What is read as it lies is what the `csv` crate makes of it: cells, sheets, and every line that is named.
    #[test]
    fn a_list_is_read_as_the_splitter_reads_it(text in list()) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("list.csv");
        fs::write(&path, &text).unwrap();
        prop_assert_eq!(told(&path, false), told(&path, true));

        let mut chunk = Chunk::of(Table::open(&path).unwrap());
        chunk.read_on().unwrap();
        let mut rows = AnswerRows::of(chunk, b',', true);
        let mut splitter = csv::ReaderBuilder::new();
        let mut splitter = splitter.has_headers(false).flexible(true).from_reader(text.as_bytes());
        let (mut row, mut record) = (AnswerRow::default(), csv::ByteRecord::new());
        while splitter.read_byte_record(&mut record).unwrap() {
            prop_assert!(rows.next_into(&mut row).unwrap());
            prop_assert_eq!(row.cells.iter().collect::<Vec<_>>(), record.iter().collect::<Vec<_>>());
        }
        prop_assert!(!rows.next_into(&mut row).unwrap());
        prop_assert_eq!(row.end, u64::try_from(text.len()).unwrap());
    }
}

/// A line longer than what is read at once, and a file that ends within one.
#[test]
fn a_line_may_be_longer_than_what_is_read_at_once() {
    let long = "o".repeat(3 * rows::CHUNK);
    for end in ["\n", ""] {
        let (sheets, _) = read(&format!("pupil,1,2\na,A,1\n{long},B,0\nc,C,{end}"), &[]);
        assert_eq!(sheets, [[1, 2], [2, 1], [3, 0]]);
    }
}
