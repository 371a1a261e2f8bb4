//! The reference cohorts through the command; the tables and their sources are in `tests/reference/README.md`.

use std::collections::HashMap;
use std::fs;

use serde_json::Value;

use crate::room::{PaperText, Room, near};

type Row = HashMap<String, String>;

fn reference(name: &str) -> String {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/");
    fs::read_to_string(format!("{folder}{name}")).unwrap()
}

fn table(name: &str) -> Vec<Row> {
    let text = reference(name);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<Row> = reader.deserialize().map(Result::unwrap).collect();
    assert!(!rows.is_empty(), "{name} is empty");
    rows
}

/// Fails unless the number is the table's, both undefined or both within 1e-10.
fn same(found: &Value, row: &Row, column: &str, tolerance: f64) {
    let cell = &row[column];
    if cell == "NA" {
        assert_eq!(found, &Value::Null, "{column} of {row:?}");
    } else {
        near(
            found,
            cell.parse().unwrap(),
            tolerance,
            &format!("{column} of {row:?}"),
        );
    }
}

/// The raw answers with questions numbered in place of their names. An empty cell is a blank of a sheet that was handed
/// in there, one that is blank altogether included: here that is a dash.
fn numbered(file: &str) -> String {
    let raw = reference(file);
    let (head, body) = raw.split_once('\n').unwrap();
    let numbers: Vec<String> = (1..head.split(',').count())
        .map(|n| n.to_string())
        .collect();
    let row = |line: &str| {
        let cells = line
            .split(',')
            .map(|cell| if cell.is_empty() { "-" } else { cell });
        cells.collect::<Vec<_>>().join(",") + "\n"
    };
    let body: String = body.lines().map(row).collect();
    format!("pupil,{}\n{body}", numbers.join(","))
}

fn room(prefix: &str, options: &str, own: &str) -> Room {
    let keys = table(&format!("{prefix}_key.csv"));
    let usual = options.len().to_string();
    let mut paper = PaperText::plain(options, keys.len());
    paper.own = (1..)
        .zip(&keys)
        .filter(|(_, row)| row["n_options"] != usual)
        .map(|(number, _)| (number, own.to_owned()))
        .collect();
    let answers: String = keys.iter().map(|row| row["key"].as_str()).collect();
    Room::new(&paper, &answers, "")
}

fn questions_are_the_tables(prefix: &str, found: &Value) {
    let items = table(&format!("{prefix}_item_stats.csv"));
    let questions = found["questions"].as_array().unwrap();
    assert_eq!(questions.len(), items.len());
    for (question, row) in questions.iter().zip(&items) {
        same(&question["facility"], row, "facility", 1e-10);
        same(&question["discrimination"], row, "r_item_rest", 1e-10);
        same(&question["upper_lower_27"], row, "D27_prop", 1e-10);
        for (field, column) in [
            ("number", "position"),
            ("omitted", "omitted_strict"),
            ("not_reached", "not_reached_strict"),
            ("blank", "n_blank"),
        ] {
            assert_eq!(question[field].to_string(), row[column], "{field}");
        }
        assert_eq!(question["median_seconds"], Value::Null);
    }
    let numbers: HashMap<&str, &Value> = (items.iter().map(|row| row["item"].as_str()))
        .zip(questions)
        .collect();
    for row in table(&format!("{prefix}_option_stats.csv")) {
        let option = &numbers[row["item"].as_str()]["options"][&row["option"]];
        assert_eq!(option["count"].to_string(), row["count"], "{row:?}");
        same(&option["mean_rest"], &row, "mean_rest_of_choosers", 1e-10);
    }
}

fn totals_are_the_tables(prefix: &str, found: &Value) {
    let stats: HashMap<String, String> = table(&format!("{prefix}_test_stats.csv"))
        .into_iter()
        .map(|row| (row["statistic"].clone(), row["value"].clone()))
        .collect();
    for (field, statistic) in [
        ("people", "n_persons"),
        ("mean", "mean"),
        ("sd", "sd_n_minus_1"),
        ("sd_population", "sd_n"),
        ("median", "median"),
        ("q1", "q1_type7"),
        ("q3", "q3_type7"),
        ("kr20", "kr20"),
        ("alpha", "cronbach_alpha_01"),
        ("sem", "sem_sd_n_minus_1"),
    ] {
        near(
            &found[field],
            stats[statistic].parse().unwrap(),
            1e-10,
            field,
        );
    }
    assert_eq!(found["max"], stats["n_items"]);
    let marks = found["marks"].as_array().unwrap();
    let expected = table(&format!("{prefix}_score_distribution.csv"));
    let expected: Vec<_> = expected.iter().filter(|row| row["count"] != "0").collect();
    assert_eq!(marks.len(), expected.len());
    for (mark, row) in marks.iter().zip(expected) {
        assert_eq!(mark["mark"], row["n_right"]);
        assert_eq!(mark["count"].to_string(), row["count"]);
    }
}

#[test]
fn twelve_people_come_out_as_in_the_tables() {
    let found = room("tiny", "12345", "").json(&numbered("tiny_raw.csv"), &[]);
    questions_are_the_tables("tiny", &found);
    totals_are_the_tables("tiny", &found);
    // Twelve are too few for a scale, in every form of the figures.
    for question in found["questions"].as_array().unwrap() {
        assert_eq!(question["rasch"]["difficulty"], Value::Null, "{question}");
    }
}

/// Condon & Revelle (2014): 0 and NA are blanks, a blank is not right, also on the Rasch scale.
#[test]
fn fifteen_hundred_people_come_out_as_in_the_tables() {
    let room = room("iqitems", "123456", "12345678");
    let found = room.json(&numbered("iqitems_raw.csv"), &["--blank-codes", "0,NA"]);
    questions_are_the_tables("iqitems", &found);
    totals_are_the_tables("iqitems", &found);
    scale_is_the_tables("iqitems", &found);
}

/// The same with 0 as an option that a blank code hides: the figures stay, and a note says so.
#[test]
fn a_blank_code_may_hide_an_option() {
    let room = room("iqitems", "0123456", "012345678");
    let list = numbered("iqitems_raw.csv");
    let told = room.list(&list, &["--blank-codes", "0,NA", "--json"]);
    questions_are_the_tables("iqitems", &told.json());
    assert!(
        told.notes.contains(
            "0 is counted as a blank, as you asked, although it's an option of question 1"
        )
    );
}

/// Bock & Lieberman (1970); conditional maximum likelihood.
#[test]
fn a_thousand_people_on_five_questions_have_the_difficulties_of_the_table() {
    let paper = PaperText::plain("01", 5);
    let room = Room::new(&paper, "11111", "");
    let found = room.json(&numbered("lsat6.csv"), &[]);
    scale_is_the_tables("lsat6", &found);
    near(&found["kr20"], 0.294_997_19, 1e-8, "KR-20");
}

fn scale_is_the_tables(prefix: &str, found: &Value) {
    let items = table(&format!("{prefix}_rasch_items.csv"));
    let mut sum = 0.0;
    for (question, row) in found["questions"].as_array().unwrap().iter().zip(&items) {
        let rasch = &question["rasch"];
        same(&rasch["difficulty"], row, "cml_difficulty", 1e-6);
        same(&rasch["se"], row, "cml_se", 1e-5);
        same(&rasch["infit"], row, "infit_msq", 1e-5);
        same(&rasch["outfit"], row, "outfit_msq", 1e-5);
        sum += rasch["difficulty"].as_f64().unwrap();
    }
    assert!(sum.abs() < 1e-9, "the scale is centred: {sum}");
}

/// Two weighted rules of the scheme table: 5, 6, 6 with 0, -1, -2 for a wrong answer (S4), and 3, 4, 5 with a
/// quarter lost (S6); two voids dropped (S8) and credited (S9); a second answer accepted (S10).
#[test]
fn weighted_rules_give_the_alphas_and_errors_of_the_table() {
    let mut costly = PaperText::plain("12345", 10);
    costly.sections = vec![
        (1, 6, "5", "0", "0"),
        (7, 8, "6", "-1", "0"),
        (9, 10, "6", "-2", "0"),
    ];
    let mut quarters = costly.clone();
    quarters.sections = vec![
        (1, 3, "3", "\"-3/4\"", "0"),
        (4, 6, "4", "-1", "0"),
        (7, 10, "5", "-1.25", "0"),
    ];
    let stats = table("tiny_scheme_stats.csv");
    let (mut checked, list) = (0, numbered("tiny_raw.csv"));
    for (paper, scheme, more) in [
        (&costly, "S4_", ""),
        (&quarters, "S6_", ""),
        (&costly, "S8_", "void: {5: dropped, 7: dropped}"),
        (&costly, "S9_", "void: {5: credited, 7: credited}"),
        (&costly, "S10_", "also_right: {10: \"1\"}"),
    ] {
        let row = stats
            .iter()
            .find(|row| row["scheme"].starts_with(scheme))
            .unwrap();
        let found = Room::new(paper, "1234512345", more).json(&list, &[]);
        same(&found["mean"], row, "mean", 1e-10);
        same(&found["sd"], row, "sd_n_minus_1", 1e-10);
        same(&found["sd_population"], row, "sd_n", 1e-10);
        same(&found["median"], row, "median", 1e-10);
        same(&found["alpha"], row, "cronbach_alpha_of_item_marks", 1e-10);
        same(&found["sem"], row, "sem_sd_n_minus_1", 1e-10);
        assert_eq!(found["max"], row["max_mark"], "{scheme}");
        let negative = found["marks"].as_array().unwrap().iter();
        let negative = negative.filter(|one| one["mark"].as_str().unwrap().starts_with('-'));
        let people: u64 = negative.map(|one| one["count"].as_u64().unwrap()).sum();
        assert_eq!(people.to_string(), row["n_negative_totals"], "{scheme}");
        checked += 1;
    }
    assert_eq!(checked, 5);
}
