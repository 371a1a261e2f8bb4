//! What can be wrong with a class answer list, each with its line, its column and the way out.

use std::fs;

use clap::Parser;
use pacebell::commands::Args;

use crate::room::{PaperText, Room};

fn room() -> Room {
    Room::new(&PaperText::plain("ABCDE", 3), "ABC", "")
}

/// The sentence after the file's name.
fn said(text: &str) -> String {
    let told = room().list(text, &[]);
    let sentence = told.sentence();
    assert_eq!(told.result.unwrap_err().code(), 1);
    sentence
        .lines()
        .map(|line| {
            line.split_once("answers.csv")
                .map_or(line, |(_, rest)| rest)
                .to_owned()
                + "\n"
        })
        .collect()
}

#[test]
fn an_answer_that_is_no_option_is_told_with_line_and_column() {
    assert_eq!(
        said("pupil,1,2,3\na,A,B,C\nb,A,F,C\n"),
        ":3:3: question 2 (column C): \"F\" isn't one of its options ABCDE; correct it, leave the cell empty for a blank, or name the code with --blank-codes\n"
    );
}

#[test]
fn lines_are_counted_over_empty_lines_line_ends_and_a_byte_order_mark() {
    for text in [
        "pupil,1,2,3\n\n\na,A,B,X\n",
        "\u{feff}pupil,1,2,3\r\n\r\n\r\na,A,B,X\r\n",
        "pupil,1,2,3\n\n\"a\nb\",A,B,X",
    ] {
        assert!(
            said(text).starts_with(":4:4: question 3 (column D): \"X\""),
            "{text:?}: {}",
            said(text)
        );
    }
}

#[test]
fn several_problems_are_told_at_once_but_not_a_thousand() {
    let told = said("pupil,1,2,3\na,X,B,Y\nb,A,B\nc,A,B,C,D\nd,NA,A,A\n");
    let places: Vec<&str> = told
        .lines()
        .filter_map(|line| line.split(": ").next())
        .collect();
    assert_eq!(places, [":2:2", ":2:4", ":3:1", ":4:1", ":5:2"]);
    assert!(told.contains(
        "there are 3 cells on this line but 4 in the heading; write every question's cell"
    ));
    assert!(told.contains(
        "there are 5 cells on this line but 4 in the heading; delete the cells after the last question"
    ));
    let many = said(&format!("pupil,1,2,3\n{}", "a,X,B,C\n".repeat(1000)));
    assert_eq!(many.lines().count(), 101);
    assert!(many.contains("there are 900 more problems; correct these first"));
}

#[test]
fn a_heading_must_name_the_pupil_and_every_question_once() {
    for (head, place, sentence) in [
        (
            "1,2,3",
            ":1:1: ",
            "the first column is headed \"1\" but has to name the pupils",
        ),
        ("pupil,1,2", ":1:3: ", "the heading has no question 3"),
        (
            "pupil,1,2,2",
            ":1:4: ",
            "question 2 is in the heading twice",
        ),
        (
            "pupil,1,2,3,4",
            ":1:5: ",
            "the paper has no question 4, only 1 to 3",
        ),
        (
            "pupil,1,total,3",
            ":1:3: ",
            "\"total\" isn't a question number",
        ),
        ("pupil", ":1:1: ", "the first column is headed \"pupil\""),
    ] {
        let told = said(&format!("{head}\na,A,B,C\n"));
        assert!(
            told.starts_with(place) && told.contains(sentence),
            "{head}: {told}"
        );
    }
}

#[test]
fn a_list_without_sheets_is_no_group() {
    assert!(said("").contains("the file is empty; write a heading such as pupil,1,2,3"));
    assert!(said("\u{feff}\r\n \n").contains("the file is empty"));
    assert!(said("pupil,1,2,3\n\n").contains("there is a heading but there are no answer sheets"));
    assert!(
        said("pupil,1,2,3\n,,,\n").contains("there is a heading but there are no answer sheets")
    );
    let told = room().group(&["--answers", "/no/such/list.csv"]);
    assert!(told.sentence().contains("there's no such file"), "{told:?}");
    let told = room().group(&["--answers", env!("CARGO_MANIFEST_DIR")]);
    assert!(told.sentence().contains("that's a folder"), "{told:?}");
}

#[test]
fn a_list_of_another_encoding_says_so() {
    let room = room();
    let path = room.path().join("wide.csv");
    fs::write(&path, b"\xff\xfep\0u\0").unwrap();
    let told = room.group(&["--answers", &path.display().to_string()]);
    assert!(
        told.sentence()
            .contains("the file is UTF-16; save it as CSV UTF-8"),
        "{told:?}"
    );
}

#[test]
fn columns_in_any_order_other_signs_and_small_letters_are_read() {
    let room = room();
    let plain = room.json("pupil,1,2,3\na,A,B,C\nb,-,,C\nc,A,A,A\n", &[]);
    for text in [
        "name;Q3;Q1;Q2\na;c;a;b\nb;C; - ;\nc;A;A;A",
        "\u{feff}pupil\t2\t3\t1\r\na\t B \tC\tA\r\nb\t-\tC\t\r\n\r\nc\tA\ta\tA\r\n",
        "pupil,1,2,3\na,A,\"B\",C\n,,,\nb,-,na,C\nc,A,A,A\n",
    ] {
        assert_eq!(room.json(text, &["--blank-codes", "NA"]), plain, "{text:?}");
    }
}

#[test]
fn what_somebody_may_want_to_know_is_noted_and_does_not_stop_it() {
    let told = room().list(
        "pupil,1,2,3\notter,A,B,C\nrobin,A,B,C\n otter ,A,B,C\n,,,\n",
        &["--json"],
    );
    assert_eq!(told.json()["people"], 3);
    assert!(
        told.notes
            .contains("answers.csv:4:1: note: the pupil \"otter\" is on an earlier line too"),
        "{}",
        told.notes
    );
    assert!(
        told.notes
            .contains("answers.csv:5:1: note: this line has no pupil and no answer"),
        "{}",
        told.notes
    );
}

#[test]
fn a_key_of_another_length_or_a_csv_over_an_input_is_refused() {
    let room = Room::new(&PaperText::plain("ABCDE", 3), "ABCD", "");
    let told = room.list("pupil,1,2,3\na,A,B,C\n", &[]);
    assert!(told.sentence().contains("heron.key.ron:"), "{told:?}");
    let room = self::room();
    let own = room.path().join("answers.csv").display().to_string();
    let told = room.list("pupil,1,2,3\na,A,B,C\n", &["--csv", &own]);
    assert!(
        told.sentence()
            .contains("would overwrite a file that is being read"),
        "{told:?}"
    );
    assert_eq!(told.result.unwrap_err().code(), 2);
    assert!(fs::read_to_string(&own).unwrap().starts_with("pupil"));
}

#[test]
fn the_words_must_say_where_the_answers_are() {
    let typed = |more: &[&str]| {
        let words = ["pacebell", "group", "--paper", "p", "--key", "k"];
        Args::try_parse_from(words.iter().chain(more)).map_err(|error| error.to_string())
    };
    assert!(typed(&[]).unwrap_err().contains("--answers"));
    assert!(typed(&["--answers", "a.csv", "b.session.ron"]).is_err());
    assert!(typed(&["--in-time", "a.session.ron", "b.session.ron"]).is_ok());
}

/// By hand, of three questions at a mark each: 3, 2 and 0 marks; the mean is 5/3. Whoever has nothing in any cell was
/// absent, which is no mark of 0; a dash is a sheet that was left blank (common practice, no source).
#[test]
fn a_pupil_without_a_sheet_counts_nowhere() {
    let told = room().list(
        "pupil,1,2,3\na,A,B,C\nb,A,B,\nc,,,\nd,-,,\ne, , ,\n",
        &["--json"],
    );
    let found = told.json();
    assert_eq!(found["people"], 3);
    let mean = found["mean"].as_f64().unwrap();
    assert!((mean - 5.0 / 3.0).abs() < 1e-12, "{mean}");
    for line in [
        "answers.csv:4:1: note: no sheet for \"c\", because every cell is empty; write - in a cell if the sheet was left blank",
        "answers.csv:6:1: note: no sheet for \"e\", because every cell is empty",
    ] {
        assert!(told.notes.contains(line), "{}", told.notes);
    }
    // A code for a blank is something that was written down.
    let coded = room().json("pupil,1,2,3\na,A,B,C\nb,0,,\n", &["--blank-codes", "0"]);
    assert_eq!(coded["people"], 2);
}
