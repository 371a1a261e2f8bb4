//! A class's printed sheets, typed into a table.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use pacebell::domain::header::Mode;
use pacebell::storage::journal::{self, Record};
use serde_json::Value;
use tempfile::TempDir;

/// Two sections: 4 for right and nothing lost, then 7 for right and 2 lost for wrong.
const PAPER: &str = r#"(
    format: 1,
    id: "heron",
    title: "Heron paper",
    minutes: 20,
    options: "ABCDE",
    rule: (start: 3, sections: [
        (name: "1-4", first: 1, last: 4, right: 4),
        (name: "5-8", first: 5, last: 8, right: 7, wrong: -2),
    ]),
    questions: [(), (), (), (), (), (), (), ()],
)"#;

const KEY: &str = "ABCDEABC";

/// Nine sheets as a tutor types them: small letters, dashes, a blank, a guess, spaces.
pub(super) const CLASS: &str = "\
pupil,1,2,3,4,5,6,7,8
otter,A,B,C,D,E,A,B,C
teal,a,b,c,d,e,,,
wren,A,C,C,E,-,-,-,-
lapwing,E,E,E,E,A,B,C,D
teasel,A,B,C,D,E,B,B??,A?
marten,\" A\",B ,-,D,E,A,,C
avocet,A,A,A,A,A,A,A,A
knot,-,-,-,-,-,-,-,-
ruff,D,B,C,D,,A,D??,
";

pub(super) fn folder() -> TempDir {
    let dir = TempDir::new().unwrap();
    fs::write(dir.path().join("heron.paper.ron"), PAPER).unwrap();
    let key = format!("(format: 1, paper: \"heron\", answers: \"{KEY}\")");
    fs::write(dir.path().join("heron.key.ron"), key).unwrap();
    dir
}

pub(super) fn run(dir: &Path, words: &str) -> Output {
    Command::new(env!("CARGO_BIN_EXE_pacebell"))
        .current_dir(dir)
        .args(words.split(' '))
        .envs(crate::user::at_home(dir))
        .stdin(std::process::Stdio::null())
        .output()
        .unwrap()
}

fn said(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// Enters a list, which may be no text.
fn enter(dir: &Path, list: impl AsRef<[u8]>, more: &str) -> Output {
    fs::write(dir.join("class.csv"), list).unwrap();
    let words =
        format!("enter heron.paper.ron --from class.csv --date 2026-11-20 --sessions kept{more}");
    run(dir, &words)
}

fn records(dir: &Path) -> Vec<std::sync::Arc<Record>> {
    let found = journal::list(&dir.join("kept")).unwrap();
    assert!(found.unreadable.is_empty() && found.copies.is_empty());
    found.records
}

/// The problems: line, column and the rest of each.
fn problems(dir: &Path, list: impl AsRef<[u8]>) -> Vec<(usize, usize, String)> {
    let output = enter(dir, list, "");
    assert_eq!(output.status.code(), Some(1), "{}", said(&output));
    assert!(output.stdout.is_empty());
    assert!(
        !dir.join("kept").exists(),
        "nothing is written if one row is wrong"
    );
    let said = said(&output);
    let problem = |line: &str| {
        let rest = line.split_once("class.csv:")?.1;
        let mut parts = rest.splitn(3, ':');
        let (line, column) = (parts.next()?.parse().ok()?, parts.next()?.parse().ok()?);
        Some((line, column, parts.next()?.trim().to_owned()))
    };
    said.lines().filter_map(problem).collect()
}

fn places(found: &[(usize, usize, String)]) -> Vec<(usize, usize)> {
    found
        .iter()
        .map(|(line, column, _)| (*line, *column))
        .collect()
}

/// The mark by hand: the cells as they stand, the key, the rule.
fn naive(cells: &[&str]) -> i64 {
    let mut mark = 3;
    for (index, (cell, right)) in cells.iter().zip(KEY.chars()).enumerate() {
        let given = cell.trim_matches(['"', ' ', '?']).to_uppercase();
        let late = index >= 4;
        mark += match given.as_str() {
            "" | "-" => 0,
            letter if letter == right.to_string() => {
                if late {
                    7
                } else {
                    4
                }
            }
            _ => {
                if late {
                    -2
                } else {
                    0
                }
            }
        };
    }
    mark
}

#[test]
fn nine_sheets_become_nine_sittings_with_the_marks_that_a_second_count_gives() {
    let dir = folder();
    let output = enter(dir.path(), CLASS, " --extra-time 25%");
    assert_eq!(output.status.code(), Some(0), "{}", said(&output));
    assert_eq!(said(&output), "Saved 9 answer sheets.\n");
    let paths = String::from_utf8(output.stdout).unwrap();
    assert_eq!(paths.lines().count(), 9);
    assert!(paths.lines().all(|path| dir.path().join(path).is_file()));
    for record in records(dir.path()) {
        assert_eq!(record.header.mode, Mode::Entered);
        assert_eq!(record.header.started.date_naive().to_string(), "2026-11-20");
        assert_eq!(record.header.arrangements.extra_percent.to_string(), "25");
        assert!(record.sealed && record.is_closed());
    }
    let marks = run(dir.path(), "mark kept --key heron.key.ron --json");
    let marks: Value = serde_json::from_slice(&marks.stdout).unwrap();
    let found = marks.as_array().unwrap().iter().map(|one| {
        let mark = one["mark"]["in_time"].as_str().unwrap().parse().unwrap();
        (one["pupil"].as_str().unwrap().to_owned(), mark)
    });
    let expected = CLASS.lines().skip(1).map(|line| {
        let cells: Vec<_> = line.split(',').collect();
        (cells[0].to_owned(), naive(&cells[1..]))
    });
    let (found, expected): (BTreeMap<_, i64>, BTreeMap<_, _>) =
        (found.collect(), expected.collect());
    assert_eq!((found.len(), &found), (9, &expected));
    // 3 + 16 + 28; 3 + 16 + 7; the guess of teasel was right.
    assert_eq!((expected["otter"], expected["teal"]), (47, 26));
    // The same list says the same of the group.
    let of_list = run(
        dir.path(),
        "group --paper heron.paper.ron --answers class.csv --json",
    );
    let of_sittings = run(dir.path(), "group --paper heron.paper.ron kept --json");
    assert_eq!(of_list.status.code(), Some(0), "{}", said(&of_list));
    let json = |output: &Output| serde_json::from_slice::<Value>(&output.stdout).unwrap();
    assert_eq!(json(&of_list), json(&of_sittings));
}

#[test]
fn guesses_and_doubts_of_a_list_are_kept() {
    let dir = folder();
    enter(dir.path(), CLASS, "");
    let marks = run(dir.path(), "mark kept/teasel --key heron.key.ron --json");
    let marks: Value = serde_json::from_slice(&marks.stdout).unwrap();
    let how = |number: usize| &marks["questions"][number - 1]["how"];
    assert_eq!(
        (how(6), how(7), how(8)),
        (&"worked".into(), &"guessed".into(), &"unsure".into())
    );
    assert_eq!(marks["luck"]["guesses"], 1);
}

#[test]
fn a_list_may_come_as_spreadsheets_write_it() {
    let lines = |separator: &str, end: &str| {
        format!(
            "\u{feff}{}",
            CLASS.replace(',', separator).replace('\n', end)
        )
    };
    for list in [
        lines(",", "\r\n"),
        lines(";", "\r\n"),
        lines("\t", "\n"),
        CLASS.trim_end().to_owned(),
    ] {
        let dir = folder();
        let output = enter(dir.path(), &list, "");
        assert_eq!(output.status.code(), Some(0), "{}", said(&output));
        let marks = |record: &std::sync::Arc<Record>| record.sitting().blanks().count();
        assert_eq!(
            records(dir.path()).iter().map(marks).sum::<usize>(),
            3 + 4 + 2 + 8 + 2
        );
    }
}

/// Every cell that is wrong is named, whatever else is wrong, and nothing is written.
#[test]
fn every_kind_of_wrong_cell_is_named_with_its_place() {
    let dir = folder();
    let list = "pupil,1,2,3,4,5,6,7,8
otter,A,F,C,DD,E,A,B,C
,A,B,C,D,E,A,B,C
Anna B,A,B,C,D,E,A,B,C
otter,A,B,C,D,E,A,B,C
OTTER,A,B,C,D,E,A,B,-?
teal,A,B,C,D,E,A,B
con,A,B,C,D,E,A,B,C
wren,?,A???,=1+1,1,é,\"A\nB\",\"\"\"\",C
../up,A,B,C,D,E,A,B,C
-knot,A,B,C,D,E,A,B,C
,,,,,,,,
ruff,A,B,C,D,E,A,B,C,A
";
    let found = problems(dir.path(), list);
    let expected = [
        (2, 3),
        (2, 5),
        (3, 1),
        (4, 1),
        (5, 1),
        (6, 1),
        (6, 9),
        (7, 1),
        (8, 1),
        // A quoted cell goes over two lines: the row ends on the second.
        (10, 2),
        (10, 3),
        (10, 4),
        (10, 5),
        (10, 6),
        (10, 7),
        (10, 8),
        (11, 1),
        (12, 1),
        (14, 1),
    ];
    assert_eq!(places(&found), expected, "{found:#?}");
    let of = |line: usize, column: usize| {
        let found = found
            .iter()
            .find(|(own, at, _)| (*own, *at) == (line, column));
        found.map(|(_, _, text)| text.as_str()).unwrap()
    };
    assert!(of(2, 3).contains("question 2 (column C): \"F\" isn't one of its options ABCDE"));
    assert!(of(3, 1).contains("this sheet has no pupil"));
    assert!(of(4, 1).contains("\"Anna B\" can't be used as an alias"));
    assert!(of(5, 1).contains("otter is on line 2 too"));
    assert!(of(6, 1).contains("OTTER differs only in capitals from otter on line 2"));
    assert!(of(7, 1).contains("8 cells on this line but 9 in the heading"));
    assert!(of(8, 1).contains("Windows reserves that name"));
}

#[test]
fn more_wrong_cells_than_a_page_holds_are_counted() {
    let dir = folder();
    let rows = (0..300).map(|row| format!("pupil{row},A,B,C,D,X,Y,Z,9\n"));
    let rows = rows.collect::<Vec<_>>().concat();
    let list = format!("pupil,1,2,3,4,5,6,7,8\n{rows}");
    let found = problems(dir.path(), &list);
    let expected = (2..302).flat_map(|line| (6..10).map(move |column| (line, column)));
    let places = places(&found);
    assert_eq!(places[..100], expected.take(100).collect::<Vec<_>>());
    assert_eq!(places.len(), 100);
    let said = said(&enter(dir.path(), list, ""));
    assert!(said.contains("there are 1100 more problems"), "{said}");
}

#[test]
fn hostile_lists_are_refused_without_harm() {
    let dir = folder();
    let head = "pupil,1,2,3,4,5,6,7,8\n";
    let huge = format!("{head}{},A,B,C,D,E,A,B,C\n", "x".repeat(200_000));
    let found = problems(dir.path(), &huge);
    assert_eq!(places(&found), [(2, 1)]);
    assert!(
        found[0].2.len() < 300,
        "a huge cell is not repeated: {}",
        found[0].2.len()
    );
    let huge = format!("{head}otter,{},B,C,D,E,A,B,C\n", "A".repeat(200_000));
    assert_eq!(places(&problems(dir.path(), &huge)), [(2, 2)]);
    let nul = format!("{head}ot\0ter,A,\0,C,D,E,A,B,C\n");
    let found = problems(dir.path(), &nul);
    assert_eq!(places(&found), [(2, 1), (2, 3)]);
    assert!(found.iter().all(|(_, _, text)| !text.contains('\0')));
    let escape = format!("{head}\u{1b}[2Jotter,A,\u{202e},C,D,E,A,B,C\n");
    assert!(
        problems(dir.path(), &escape)
            .iter()
            .all(|(_, _, text)| text.is_ascii())
    );
    let latin = [head.as_bytes(), b"m\xfcller,A,B,C,D,E,A,B,C\n"].concat();
    assert_eq!(places(&problems(dir.path(), &latin)), [(2, 1)]);
    for (list, word) in [
        (b"".to_vec(), "empty"),
        (head.as_bytes().to_vec(), "this list has no answer sheets"),
        (b"pupil,1,2\notter,A,B\n".to_vec(), "no question 3"),
        (
            b"1,2,3,4,5,6,7,8\nA,B,C,D,E,A,B,C\n".to_vec(),
            "has to name the pupils",
        ),
        ([b"\xff\xfe".as_slice(), head.as_bytes()].concat(), "UTF-16"),
        (
            format!(
                "{head}otter,\"A,B,C,D,E,A,B,C\n{}",
                "teal,A,B,C,D,E,A,B,C\n".repeat(60_000)
            )
            .into_bytes(),
            "over 1 MiB",
        ),
    ] {
        let output = enter(dir.path(), &list, "");
        assert_eq!(output.status.code(), Some(1), "{word}");
        if word != "over 1 MiB" {
            assert!(said(&output).contains(word), "{word}: {}", said(&output));
        }
        assert!(!dir.path().join("kept").exists(), "{word}");
    }
}

#[test]
fn the_same_list_again_adds_nothing_and_a_corrected_one_replaces_what_it_corrects() {
    let dir = folder();
    assert_eq!(enter(dir.path(), CLASS, "").status.code(), Some(0));
    let before = records(dir.path());
    let output = enter(dir.path(), CLASS, "");
    assert_eq!(
        said(&output),
        "Saved 0 answer sheets. 9 were saved already, with the same answers.\n"
    );
    assert_eq!(records(dir.path()), before);
    // Three sheets are corrected: without --again each is named, and nothing is written.
    let corrected = CLASS
        .replace("teal,a,b,c,d,e,,,", "teal,a,b,c,d,e,a,,")
        .replace("wren,A,C", "wren,A,B")
        .replace("knot,-", "knot,A");
    let output = enter(dir.path(), &corrected, "");
    assert_eq!(output.status.code(), Some(1));
    let refused = said(&output);
    assert_eq!(
        refused.matches("already has an answer sheet").count(),
        3,
        "{refused}"
    );
    assert_eq!(refused.lines().count(), 3, "{refused}");
    for line in ["class.csv:3:1: ", "class.csv:4:1: ", "class.csv:9:1: "] {
        assert!(refused.contains(line), "{refused}");
    }
    assert_eq!(records(dir.path()), before);
    let output = enter(dir.path(), &corrected, " --again");
    let expected = "Saved 3 answer sheets. 3 of them replace an earlier one. 6 were saved already, with the same answers.\n";
    assert_eq!(said(&output), expected);
    let all = records(dir.path());
    assert_eq!(all.len(), 12);
    assert_eq!(
        all.iter()
            .filter(|record| record.withdrawn.is_some())
            .count(),
        3
    );
    // The group counts nine sheets, the corrected ones among them.
    let group = run(dir.path(), "group --paper heron.paper.ron kept --json");
    let group: Value = serde_json::from_slice(&group.stdout).unwrap();
    let marks = group["marks"].as_array().unwrap().iter().map(|row| {
        let mark: i64 = row["mark"].as_str().unwrap().parse().unwrap();
        (mark, row["count"].as_u64().unwrap())
    });
    let mut expected = BTreeMap::new();
    for line in corrected.lines().skip(1) {
        let cells: Vec<_> = line.split(',').collect();
        *expected.entry(naive(&cells[1..])).or_default() += 1;
    }
    assert_eq!(marks.collect::<BTreeMap<_, _>>(), expected);
}

#[test]
fn an_absent_pupil_has_no_sitting_and_the_list_says_so() {
    let dir = folder();
    let list = format!("{CLASS}bittern,,,,,,,,\n");
    let output = enter(dir.path(), list, "");
    assert_eq!(output.status.code(), Some(0), "{}", said(&output));
    assert!(
        said(&output).contains("No sheet for bittern: every cell is empty."),
        "{}",
        said(&output)
    );
    assert_eq!(records(dir.path()).len(), 9);
    assert!(!dir.path().join("kept/bittern").exists());
}

#[test]
fn a_pupil_who_is_known_is_written_as_before() {
    let dir = folder();
    enter(dir.path(), CLASS, "");
    let list = "pupil,1,2,3,4,5,6,7,8\nOtter,A,B,C,D,E,A,B,C\n";
    let output = enter(dir.path(), list, "");
    assert_eq!(output.status.code(), Some(1));
    assert!(
        said(&output).contains(
            "class.csv:2:1: pupil (column A): Otter differs only in capitals from the pupil otter"
        ),
        "{}",
        said(&output)
    );
    assert_eq!(records(dir.path()).len(), 9);
}

#[test]
fn two_lists_of_one_class_are_held_against_each_other() {
    let dir = folder();
    let second = CLASS
        .replace("wren,A,C", "wren,A,D")
        .replace("D,E,A,,C\n", "D,E,A,B,C\n")
        .replace("teasel,A,B,C,D,E,B,B??,A?", "teasel,A,B,C,D,E,B,B?,A?")
        .replace("ruff,", "reeve,");
    fs::write(dir.path().join("second.csv"), &second).unwrap();
    let output = enter(dir.path(), CLASS, " --twice=second.csv");
    assert_eq!(output.status.code(), Some(1));
    let expected = "\
pacebell: wren, question 2: C in class.csv, line 4; D in second.csv, line 4
pacebell: teasel, question 7: B?? in class.csv, line 6; B? in second.csv, line 6
pacebell: marten, question 7: - in class.csv, line 7; B in second.csv, line 7
pacebell: ruff: the sheet is only in class.csv
pacebell: reeve: the sheet is only in second.csv
";
    assert!(said(&output).starts_with(expected), "{}", said(&output));
    assert_eq!(said(&output).lines().count(), 6);
    assert!(!dir.path().join("kept").exists());
    // In another order it is the same class.
    let (head, rows) = CLASS.split_once('\n').unwrap();
    let turned: Vec<_> = rows.lines().rev().collect();
    fs::write(
        dir.path().join("second.csv"),
        format!("{head}\n{}\n", turned.join("\n")),
    )
    .unwrap();
    assert_eq!(
        enter(dir.path(), CLASS, " --twice=second.csv")
            .status
            .code(),
        Some(0)
    );
    assert_eq!(records(dir.path()).len(), 9);
}

#[test]
fn a_list_that_is_saved_again_under_another_day_is_told_of() {
    let dir = folder();
    let first = enter(dir.path(), CLASS, "");
    assert!(
        !said(&first).contains("another") && !said(&first).contains("note:"),
        "{first:?}"
    );
    // One pupil of the nine has other answers the second time.
    let second = CLASS.replace("otter,A,B,C,D,E,A,B,C", "otter,A,B,C,D,E,A,B,D");
    fs::write(dir.path().join("class.csv"), second).unwrap();
    let words = "enter heron.paper.ron --from class.csv --date 2026-11-21 --sessions kept";
    let again = run(dir.path(), words);
    assert!(again.status.success(), "{again:?}");
    assert!(
        said(&again).contains("note: 8 pupils already have the same answers under 20 Nov 2026."),
        "{}",
        said(&again)
    );
    assert_eq!(records(dir.path()).len(), 18);
    let one = run(
        dir.path(),
        "enter heron.paper.ron --pupil otter --answers ABCDEABC --date 2026-11-22 --sessions kept",
    );
    let told = said(&one);
    assert!(
        told.contains("note: 1 pupil already has the same answers under 20 Nov 2026."),
        "{told}"
    );
}

#[test]
fn the_pupils_of_one_day_are_marked_in_alphabetical_order() {
    let dir = folder();
    assert!(enter(dir.path(), CLASS, "").status.success());
    let told = run(dir.path(), "mark kept --key heron.key.ron --json");
    let told: Value = serde_json::from_slice(&told.stdout).unwrap();
    let found = told.as_array().unwrap().iter();
    let found: Vec<_> = found.map(|one| one["pupil"].as_str().unwrap()).collect();
    let mut sorted = found.clone();
    sorted.sort_unstable();
    assert_eq!((found.len(), &found), (9, &sorted));
}

/// Two rows of a list with the same answers are named, whoever they are; sheets without an answer are not.
#[test]
fn pupils_of_one_list_with_the_same_answers_are_named() {
    let dir = folder();
    let list = "pupil,1,2,3,4,5,6,7,8\n\
        smew,E,E,E,E,A,A,A,A\n\
        otter,A,B,C,D,E,A,B,C\n\
        dunlin,E,E,E,E,A,A,A,A\n\
        knot,-,-,-,-,-,-,-,-\n\
        ruff,-,-,-,-,-,-,-,-\n";
    let entered = enter(dir.path(), list, "");
    assert!(entered.status.success(), "{}", said(&entered));
    let told = said(&entered);
    assert!(
        told.contains("smew and dunlin have the same answers in this list"),
        "{told}"
    );
    assert_eq!(told.matches("have the same answers").count(), 1, "{told}");

    // One who comes later is told of both.
    let one = run(
        dir.path(),
        "enter heron.paper.ron --pupil teal --answers EEEEAAAA --date 2026-11-20 --sessions kept",
    );
    let told = said(&one);
    assert!(
        told.contains("teal has the same answers as dunlin and smew"),
        "{told}"
    );
}
