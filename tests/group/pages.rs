//! The page and the CSV file.

use std::fs;

use crate::room::{PaperText, Room, sheets};

/// Forty pupils; question 4 has a wrong key, the last is hardly reached.
fn class() -> (Room, String) {
    let mut paper = PaperText::plain("ABCDE", 6);
    paper.sections = vec![(1, 4, "4", "0", "0"), (5, 6, "7", "-1", "0")];
    paper.awards = "(name: \"dunlin\", boundary: 12), (name: \"tern\", boundary: 24)".into();
    let mut rows: Vec<String> = Vec::new();
    for index in 0..40_u32 {
        let strong = index % 4 != 0;
        let first = if index % 8 == 0 { "B" } else { "A" };
        let second = ["A", "B", "C", "D"][(index % 4) as usize];
        let third = if strong { "C" } else { "E" };
        let fourth = if strong && index % 10 != 0 { "E" } else { "D" };
        let fifth = if strong { "E" } else { "-" };
        let sixth = if index % 10 == 0 { "A" } else { "-" };
        rows.push(format!("{first}{second}{third}{fourth}{fifth}{sixth}"));
    }
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    (Room::new(&paper, "ABCDEA", ""), sheets(&rows))
}

#[test]
fn the_page_keeps_to_eighty_columns_and_remarks_on_what_is_worth_a_look() {
    let (room, list) = class();
    let told = room.list(&list, &["--options"]);
    assert_eq!((told.result, told.notes.as_str()), (Ok(()), ""));
    let page = told.out;
    for line in page.lines() {
        assert!(
            line.chars().count() <= 80 && line.trim_end() == line,
            "{line:?}"
        );
        assert!(!line.contains('\u{1b}'));
    }
    for words in [
        "Heron paper",
        "40 answer sheets, from a list, so there are no times. Marks are out of 30.",
        "< tern 24",
        "dunlin (12 marks and more): 31 people, 78%.",
        "1. Question 4: 28 of 40 chose E and did better elsewhere, 12 chose D, the answer key's option. Is the answer key right?",
        "2. Time: 8 of 40 did not get as far as question 5, 36 not to question 6.",
        "A practice estimate from 40 answer sheets; not an official result.",
        "publish numbers of fewer than 10 people",
        "Difficulty: in logits",
        "C key 30 (",
    ] {
        let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(words), "{words}\n{page}");
    }
}

#[test]
fn few_people_have_signs_for_correlations_and_no_scale() {
    let (room, list) = class();
    let few: Vec<&str> = list.lines().take(13).collect();
    let page = room.list(&few.join("\n"), &[]).out;
    let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("The number is not shown below 30 people"),
        "{page}"
    );
    assert!(
        flat.contains("12 answer sheets are too few, about 30 are needed"),
        "{page}"
    );
    assert!(
        !page.contains("Top-low") && !page.contains("Difficulty "),
        "{page}"
    );
}

#[test]
fn the_csv_file_has_a_line_a_question_and_two_columns_an_option() {
    let (room, list) = class();
    let path = room.path().join("out.csv");
    let told = room.list(&list, &["--csv", &path.display().to_string()]);
    assert_eq!(told.result, Ok(()));
    let text = fs::read_to_string(&path).unwrap();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let head = reader.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!((rows.len(), head.len()), (6, 17 + 10));
    let cell = |row: usize, name: &str| {
        let place = head.iter().position(|column| column == name).unwrap();
        rows[row][place].to_owned()
    };
    assert_eq!(
        (cell(1, "key"), cell(1, "E_count"), cell(1, "E_mean_rest")),
        ("B".into(), "0".into(), String::new())
    );
    assert_eq!(
        (cell(0, "right"), cell(0, "facility")),
        ("35".into(), "0.875".into())
    );
    assert_eq!(
        (cell(5, "not_reached"), cell(5, "median_seconds")),
        ("36".into(), String::new())
    );
    let json = room.json(&list, &[]);
    let discrimination: f64 = cell(2, "discrimination").parse().unwrap();
    assert_eq!(
        json["questions"][2]["discrimination"].as_f64(),
        Some(discrimination)
    );
}
